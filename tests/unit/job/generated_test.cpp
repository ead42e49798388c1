// What is generated is not stale, and the schema takes the demo jobs and refuses what the reader refuses.
#include <cmath>

#include "base/tree.h"
#include "demo.h"

namespace witnessline::job {
namespace {

constexpr const char* fix = "is stale; run build/release/write_generated . , look at the difference and commit it";

TEST(Generated, SchemaIsFresh) { EXPECT_EQ(text_of("data/schema/job.schema.json"), job_schema_json()) << fix; }

TEST(Generated, KeyTablesOfTheDocumentationAreFresh) {
  EXPECT_EQ(text_of("docs/job_keys.md"), job_key_tables()) << fix;
}

/// The part of JSON Schema 2020-12 that the schema uses, after its text (json-schema.org, core and validation).
class Validator {
 public:
  explicit Validator(const Tree& root) : root_(root) {}

  bool takes(const Tree& schema, const Tree& value) {
    for (const Tree::Entry& rule : schema.table)
      if (!holds(rule, schema, value)) {
        last_broken = rule.key + " at line " + std::to_string(value.line);
        return false;
      }
    return true;
  }
  std::string last_broken;

 private:
  bool holds(const Tree::Entry& rule, const Tree& schema, const Tree& value) {
    using Is = Tree::Is;
    const Tree& r = rule.value;
    const bool number = value.is == Is::integer || value.is == Is::number;
    const double size = value.is == Is::integer ? static_cast<double>(value.integer) : value.number;
    const auto limit = [&] { return r.is == Is::integer ? static_cast<double>(r.integer) : r.number; };
    const auto each = [&](const Tree& options) {
      int taken = 0;
      for (const Tree& option : options.list) taken += takes(option, value);
      return taken;
    };
    if (rule.key == "type") {
      if (r.text == "object") return value.is == Is::table;
      if (r.text == "array") return value.is == Is::list;
      if (r.text == "string") return value.is == Is::text;
      if (r.text == "boolean") return value.is == Is::boolean;
      if (r.text == "integer") return value.is == Is::integer;
      return r.text == "number" && number && std::isfinite(size);
    }
    if (rule.key == "$ref") return takes(*root_.find("$defs")->find(r.text.substr(8)), value);
    if (rule.key == "enum") {
      for (const Tree& word : r.list)
        if (value.is == Is::text && value.text == word.text) return true;
      return false;
    }
    if (rule.key == "minimum") return !number || size >= limit() - 1e-9 * std::abs(limit());
    if (rule.key == "maximum") return !number || size <= limit() + 1e-9 * std::abs(limit());
    if (rule.key == "minLength")
      return value.is != Is::text || value.text.size() >= static_cast<std::size_t>(r.integer);
    if (rule.key == "minItems") return value.is != Is::list || value.list.size() >= static_cast<std::size_t>(r.integer);
    if (rule.key == "items") {
      for (const Tree& item : value.list)
        if (!takes(r, item)) return false;
      return true;
    }
    if (rule.key == "properties") {
      for (const Tree::Entry& property : r.table)
        if (const Tree* given = value.find(property.key); given != nullptr && !takes(property.value, *given))
          return false;
      return true;
    }
    if (rule.key == "required") {
      for (const Tree& key : r.list)
        if (value.find(key.text) == nullptr) return false;
      return true;
    }
    if (rule.key == "additionalProperties") {
      for (const Tree::Entry& given : value.table)
        if (schema.find("properties")->find(given.key) == nullptr) return false;
      return true;
    }
    if (rule.key == "anyOf") return each(r) >= 1;
    if (rule.key == "oneOf") return each(r) == 1;
    if (rule.key == "allOf") return each(r) == static_cast<int>(r.list.size());
    const bool says_nothing =
        rule.key == "$schema" || rule.key == "title" || rule.key == "description" || rule.key == "$defs";
    EXPECT_TRUE(says_nothing) << "the check does not know " << rule.key;
    return says_nothing;
  }

  const Tree& root_;
};

TEST(Schema, TakesTheDemoJobsAndRefusesDamage) {
  std::vector<Error> faults;
  const Tree schema = read_json(job_schema_json(), "job.schema.json", faults);
  ASSERT_TRUE(faults.empty()) << all_texts(faults);
  for (const std::string& path : demo_jobs()) {
    Validator validator(schema);
    EXPECT_TRUE(validator.takes(schema, read_toml(text_of(path), path, faults)))
        << path << ": " << validator.last_broken;
  }
  const auto takes = [&](const std::string& right, const std::string& wrong) {
    std::string text = text_of(demo_jobs()[0]);
    const std::size_t at = text.find(right);
    EXPECT_NE(at, std::string::npos) << right;
    text.replace(at, right.size(), wrong);
    return Validator(schema).takes(schema, read_toml(text, "", faults));
  };
  EXPECT_TRUE(takes("thickness_um = 9", "thickness_mil = 0.35"));
  EXPECT_TRUE(takes("temperature_degC = 20", "temperature_degF = 68"));
  EXPECT_FALSE(takes("thickness_um = 9", "thickness = 9"));
  EXPECT_FALSE(takes("thickness_um = 9", "thickness_um = -9"));
  EXPECT_FALSE(takes("thickness_um = 9", "thickness_mil = 900"));
  EXPECT_FALSE(takes("do = \"clean\"", "do = \"cleen\""));
  EXPECT_FALSE(takes("cloths = 4", "wet_um = 4"));
  EXPECT_FALSE(takes("title = \"Octave", "titel = \"Octave"));
  EXPECT_TRUE(faults.empty()) << all_texts(faults);
}

}  // namespace
}  // namespace witnessline::job

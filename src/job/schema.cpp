// JSON Schema (2020-12) of a job file, and its key tables for docs/formats.md, from the shapes.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

#include "job/files.h"
#include "job/read.h"
#include "job/shape.h"

namespace witnessline::job {
namespace {

Tree text(std::string value) { return Tree::of(std::move(value)); }

Member member_of(const Shape::Key& k) { return {k.key, k.doc, k.bench, k.low, k.high, k.required}; }

/// The key itself and what it may be called in other units of its kind.
std::vector<Unit> units_of(const Shape::Key& k) {
  const Member m = member_of(k);
  return stem_of(m) == m.key ? std::vector<Unit>{k.bench} : units_like(k.bench);
}
std::string key_for(const Shape::Key& k, const Unit& u) {
  return u.symbol == k.bench.symbol ? k.key : key_in(member_of(k), u);
}

class Schema {
 public:
  Tree whole(const Shape& job) {
    Tree schema = Tree::empty_table();
    schema.put("$schema", text("https://json-schema.org/draft/2020-12/schema"));
    schema.put("title", text("Witnessline job"));
    schema.put("description", text("A job file, read as TOML. Generated from the program's own description of a job."));
    for (Tree::Entry& e : table({&job}).table) schema.put(e.key, std::move(e.value));
    schema.put("$defs", std::move(defs_));
    return schema;
  }

 private:
  Tree of(const Shape& s, const Shape::Key* k, const Unit& unit) {
    Tree t = Tree::empty_table();
    switch (s.is) {
      case Shape::Is::boolean:
        t.put("type", text("boolean"));
        break;
      case Shape::Is::integer:
      case Shape::Is::number:
        t.put("type", text(s.is == Shape::Is::integer ? "integer" : "number"));
        if (k != nullptr && std::isfinite(k->low)) t.put("minimum", limit(k->low, *k, unit));
        if (k != nullptr && std::isfinite(k->high)) t.put("maximum", limit(k->high, *k, unit));
        break;
      case Shape::Is::text:
        t.put("type", text("string"));
        if (k != nullptr && k->required) t.put("minLength", Tree::of(std::int64_t{1}));
        break;
      case Shape::Is::word: {
        Tree words = Tree::empty_list();
        for (const std::string& word : s.words) words.list.push_back(text(word));
        t.put("enum", std::move(words));
        break;
      }
      case Shape::Is::list:
        t.put("type", text("array"));
        t.put("items", of(s.of.front(), nullptr, unit));
        if (k != nullptr && k->required) t.put("minItems", Tree::of(std::int64_t{1}));
        break;
      case Shape::Is::table:
        define(s);
        t.put("$ref", text("#/$defs/" + s.name));
        break;
      case Shape::Is::choice:
        break;
    }
    return t;
  }

  static Tree limit(double bench, const Shape::Key& k, const Unit& unit) {
    const double value = unit.symbol == k.bench.symbol ? bench : unit.from_si(k.bench.to_si(bench));
    return Tree::of(as_read(value));
  }

  void define(const Shape& s) {
    if (!defined_.insert(s.name).second) return;
    const auto choice =
        std::find_if(s.keys.begin(), s.keys.end(), [](const Shape::Key& k) { return k.shape.is == Shape::Is::choice; });
    Tree definition;
    if (choice == s.keys.end()) {
      definition = table({&s});
    } else {  // one table a variant, each with the keys that all have
      definition = Tree::empty_table();
      Tree variants = Tree::empty_list();
      for (const Shape& one : choice->shape.of) variants.list.push_back(table({&s, &one}));
      definition.put("oneOf", std::move(variants));
    }
    defs_.put(s.name, std::move(definition));
  }

  Tree table(const std::vector<const Shape*>& shapes) {
    Tree properties = Tree::empty_table(), required = Tree::empty_list(), either = Tree::empty_list();
    for (const Shape* s : shapes)
      for (const Shape::Key& k : s->keys) {
        if (k.shape.is == Shape::Is::choice) continue;
        Tree any = Tree::empty_list();
        const std::vector<Unit> units = units_of(k);
        for (const Unit& u : units) {
          Tree property = of(k.shape, &k, u);
          property.put("description", text(u.symbol.empty() ? k.doc : fmt::format("{} [{}]", k.doc, u.symbol)));
          properties.put(key_for(k, u), std::move(property));
          Tree names = Tree::empty_list(), one = Tree::empty_table();
          names.list.push_back(text(key_for(k, u)));
          one.put("required", std::move(names));
          any.list.push_back(std::move(one));
        }
        if (!k.required) continue;
        if (units.size() == 1) {
          required.list.push_back(text(k.key));
        } else {
          Tree choice = Tree::empty_table();
          choice.put("anyOf", std::move(any));
          either.list.push_back(std::move(choice));
        }
      }
    Tree t = Tree::empty_table();
    t.put("type", text("object"));
    t.put("properties", std::move(properties));
    t.put("required", std::move(required));
    if (!either.list.empty()) t.put("allOf", std::move(either));
    t.put("additionalProperties", Tree::of(false));
    return t;
  }

  Tree defs_ = Tree::empty_table();
  std::set<std::string> defined_;
};

/// Key tables in Markdown, one a struct, the outermost first.
class KeyTables {
 public:
  std::string text;

  void tables(const Shape& s, const std::string& heading) {
    if (!explained_.insert(s.name).second) return;
    std::vector<std::pair<const Shape*, std::string>> inner;
    text += "### " + heading + "\n\n| key | holds | usual | doc |\n|---|---|---|---|\n";
    for (const Shape::Key& k : s.keys) {
      if (k.shape.is == Shape::Is::choice) {
        std::string words;
        for (const Shape& one : k.shape.of)
          words += (words.empty() ? "`" : ", `") + one.keys.front().shape.words.front() + "`";
        text += fmt::format("| **`{}`** | {} | | {}; the keys of that step go beside it |\n", k.key, words, k.doc);
        for (const Shape& one : k.shape.of)
          inner.emplace_back(&one, fmt::format("{}: `do = \"{}\"`", heading, one.keys.front().shape.words.front()));
        continue;
      }
      if (!k.shape.words.empty() && k.shape.name.empty()) continue;  // the word of a step, in the heading already
      text += fmt::format("| {} | {} | {} | {} |\n", k.required ? "**`" + k.key + "`**" : "`" + k.key + "`",
                          holds(k.shape, k), usual(k), k.doc);
      const Shape* s_inner = k.shape.is == Shape::Is::list ? &k.shape.of.front() : &k.shape;
      if (s_inner->is == Shape::Is::table)
        inner.emplace_back(s_inner, (k.shape.is == Shape::Is::list ? "`[[" : "`[") + k.key +
                                        (k.shape.is == Shape::Is::list ? "]]`" : "]`"));
    }
    text += "\n";
    for (const auto& [shape, title] : inner) tables(*shape, title);
  }

 private:
  static std::string holds(const Shape& s, const Shape::Key& k) {
    switch (s.is) {
      case Shape::Is::boolean:
        return "true or false";
      case Shape::Is::integer:
      case Shape::Is::number: {
        const std::string what = s.is == Shape::Is::integer ? "whole number" : "number";
        if (!std::isfinite(k.low) || !std::isfinite(k.high)) return what;
        return fmt::format("{} {:.10g} to {:.10g}", what, k.low, k.high);
      }
      case Shape::Is::text:
        return "text";
      case Shape::Is::word:
        return one_of(s.words);
      case Shape::Is::list:
        return "list: " + holds(s.of.front(), k);
      default:
        return "table";
    }
  }
  static std::string usual(const Shape::Key& k) {
    const bool stated = !k.required && (k.shape.is == Shape::Is::integer || k.shape.is == Shape::Is::number ||
                                        k.shape.is == Shape::Is::boolean || k.shape.is == Shape::Is::word ||
                                        (k.shape.is == Shape::Is::text && !k.shape.unset.text.empty()));
    return stated && k.shape.unset.is != Tree::Is::nothing ? "`" + print_json(k.shape.unset) + "`" : "";
  }

  std::set<std::string> explained_;
};

}  // namespace

double as_read(double value) { return std::isfinite(value) ? std::stod(fmt::format("{:.12g}", value)) : value; }

std::string job_schema_json() { return print_json(Schema().whole(shape_of(Job{})), 1) + "\n"; }

Tree tree_of_shape(const Shape& shape) {
  constexpr std::array kinds{"boolean", "integer", "number", "text", "word", "list", "table", "choice"};
  Tree tree = Tree::empty_table();
  tree.put("is", text(kinds[static_cast<std::size_t>(shape.is)]));
  if (!shape.name.empty()) tree.put("name", text(shape.name));
  if (!shape.words.empty()) tree.put("words", tree_of(shape.words));
  if (shape.may_be_null) tree.put("may_be_null", Tree::of(true));
  const auto list_of = [](const auto& parts, const auto& one) {
    Tree list = Tree::empty_list();
    for (const auto& part : parts) list.list.push_back(one(part));
    return list;
  };
  if (!shape.of.empty()) tree.put("of", list_of(shape.of, tree_of_shape));
  if (!shape.keys.empty())
    tree.put("keys", list_of(shape.keys, [](const Shape::Key& k) {
               Tree key = Tree::empty_table();
               key.put("key", text(k.key)), key.put("doc", text(k.doc)), key.put("unit", text(k.unit));
               if (std::isfinite(k.low)) key.put("low", Tree::of(k.low));
               if (std::isfinite(k.high)) key.put("high", Tree::of(k.high));
               if (k.required) key.put("required", Tree::of(true));
               if (k.shape.unset.is != Tree::Is::nothing) key.put("unset", k.shape.unset);
               key.put("shape", tree_of_shape(k.shape));
               return key;
             }));
  return tree;
}

std::string key_tables(const Shape& shape, const std::string& heading) {
  KeyTables keys;
  keys.tables(shape, heading);
  return keys.text.substr(0, keys.text.size() - 1);
}

std::string job_key_tables() {
  return "# Keys of a job file\n\nGenerated from the program's own description of a job. Keys in bold must be given. "
         "`usual` is what holds "
         "when the key\nis absent. A key that ends in a unit may end in another one of its kind instead "
         "(`thickness_um`, `thickness_mil`;\n`temperature_degC`, `temperature_degF`).\n\n" +
         key_tables(shape_of(Job{}), "The file");
}

}  // namespace witnessline::job

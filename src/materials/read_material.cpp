#include "materials/read_material.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <iterator>

#include "base/tree.h"
#include "materials/properties.h"

namespace witnessline::materials {

namespace {
const std::vector<std::string> kinds{"measured", "computed", "published", "memory", "estimate"};
const std::vector<std::string> datum_keys{"value", "sd", "kind", "source", "locator", "valid"};
const std::vector<std::string> spectra_keys{"file", "id", "kind", "source"};
const std::vector<std::string> plain_keys{"name",
                                          "role",
                                          "binder",
                                          "spectra",
                                          "specular_included",
                                          "holds",
                                          "metallic",
                                          "skin_notation",
                                          "cautions",
                                          "passes_cartridges",
                                          "harmless_vapour",
                                          "invented",
                                          "family",
                                          "unifac_groups",
                                          "thins_water_borne",
                                          "blend",
                                          "conifer",
                                          "growth_lines"};

std::optional<double> number_in(const Tree& tree) {
  if (tree.is == Tree::Is::integer) return static_cast<double>(tree.integer);
  return tree.is == Tree::Is::number ? std::optional(tree.number) : std::nullopt;
}

template <class Enum>
std::vector<std::string> words_of() {
  const auto all = words(static_cast<const Enum*>(nullptr));
  return {all.begin(), all.end()};
}
}  // namespace

// One file being read. Each fault is written down and reading goes on, so that one run shows them all.
struct MaterialReader::File {
  MaterialReader& reader;
  std::string path;

  /// `at`: a value, or the entry whose key is at fault.
  template <class Placed>
  void fault(const Placed& at, std::string key, std::string what, std::string expected = "", std::string fix = "") {
    reader.faults_.push_back(
        {std::move(what), {path, at.line, at.column, std::move(key)}, std::move(expected), std::move(fix)});
  }

  /// Index of a word in `known`; a fault and -1 otherwise.
  int word(const Tree& node, const std::string& key, const std::vector<std::string>& known) {
    const std::string& text = node.text;
    const auto it = std::find(known.begin(), known.end(), text);
    if (it != known.end()) return static_cast<int>(it - known.begin());
    fault(node, key, text.empty() ? "this is not a word" : fmt::format("'{}' is not known", text),
          fmt::format("one of {}", fmt::join(known, ", ")), did_you_mean(text, known));
    return -1;
  }

  std::string text(const Tree& node, const std::string& key) {
    if (node.text.empty()) fault(node, key, "this is not a text", "a text in quotes");
    return node.text;
  }

  bool yes_or_no(const Tree& node, const std::string& key) {
    if (node.is != Tree::Is::boolean) fault(node, key, "this is neither true nor false", "true or false");
    return node.boolean;
  }

  std::string source(const Tree& table, const std::string& key) {
    const Tree* node = table.find("source");
    if (!node) {
      fault(table, key, "source is missing", "source = a key of sources.bib");
      return "";
    }
    return source_key(*node, key + ".source");
  }

  std::string source_key(const Tree& node, const std::string& key) {
    const std::string name = text(node, key);
    const std::vector<std::string>& known = reader.source_keys_;
    // Without a readable sources.bib every key would look unknown; its own faults are told instead.
    if (!name.empty() && !known.empty() && std::find(known.begin(), known.end(), name) == known.end())
      fault(node, key, fmt::format("'{}' is not in sources.bib", name), "one of its keys", did_you_mean(name, known));
    return name;
  }

  Kind kind(const Tree& table, const std::string& key) {
    const Tree* node = table.find("kind");
    if (!node) {
      fault(table, key, "kind is missing", fmt::format("kind = one of {}", fmt::join(kinds, ", ")));
      return Kind::estimate;
    }
    const int index = word(*node, key + ".kind", kinds);
    return index < 0 ? Kind::estimate : static_cast<Kind>(index);
  }

  void unknown_keys(const Tree& table, const std::string& key, const std::vector<std::string>& known) {
    for (const Tree::Entry& entry : table.table) {
      const std::string& word = entry.key;
      if (std::find(known.begin(), known.end(), word) == known.end())
        fault(entry, key, fmt::format("unknown key '{}'", word), fmt::format("{}", fmt::join(known, ", ")),
              did_you_mean(word, known));
    }
  }

  std::optional<double> number(const Tree& table, const char* name, const std::string& key) {
    const Tree* node = table.find(name);
    if (!node) return std::nullopt;
    const auto value = number_in(*node);
    if (value && std::isfinite(*value)) return value;
    fault(*node, key + "." + name, "this is not a number", "a finite number");
    return std::nullopt;
  }

  Validity validity(const Tree& node, const std::string& key) {
    const std::vector<Tree> range = node.table.size() == 1 ? node.table[0].value.list : std::vector<Tree>{};
    const auto low = range.size() == 2 ? number_in(range[0]) : std::nullopt;
    const auto high = range.size() == 2 ? number_in(range[1]) : std::nullopt;
    if (low && high && *low <= *high) return {node.table[0].key, *low, *high};
    fault(node, key + ".valid", "a range is not written like this", "{ variable_unit = [low, high] }");
    return {};
  }

  std::optional<Datum> datum(const Tree& node, const PropertyRow& row, const std::string& key) {
    if (node.is != Tree::Is::table) {
      fault(node, key, "a bare value has neither kind nor source",
            "{ value = .., sd = .., kind = \"..\", source = \"..\" }");
      return std::nullopt;
    }
    unknown_keys(node, key, datum_keys);
    Datum datum;
    datum.unit = row.si;
    datum.kind = kind(node, key);
    datum.source = source(node, key);
    if (const Tree* locator = node.find("locator")) datum.locator = text(*locator, key + ".locator");
    if (const Tree* valid = node.find("valid")) datum.valid = validity(*valid, key);
    const std::optional<double> value = number(node, "value", key), sd = number(node, "sd", key);
    if (!node.find("value")) fault(node, key, "value is missing", "value = a number");
    if (!value) return std::nullopt;
    if (*value < row.low || *value > row.high)
      fault(*node.find("value"), key, fmt::format("{} is outside what this can be", *value),
            fmt::format("{} to {} {}", row.low, row.high, row.unit.symbol), "check the unit");
    if (sd && *sd < 0) fault(*node.find("sd"), key, "sd is negative", "0 or more");
    if (datum.kind == Kind::estimate && sd.value_or(0) <= 0)
      fault(node, key, "an estimate must state its uncertainty", "sd above 0");
    datum.value = row.unit.to_si(*value);
    datum.sd = sd.value_or(0) * row.unit.scale;
    return datum;
  }

  /// What a material holds that can hurt: by its file, and by its binder once that is known.
  void holds(const Tree& node, const std::string& key, Material& material) {
    if (node.is != Tree::Is::list) return fault(node, key, "this is not a list of words", "[\"lead\"]");
    for (const Tree& item : node.list)
      if (const int index = word(item, key, words_of<Harmful>()); index >= 0)
        material.holds.push_back(static_cast<Harmful>(index));
  }

  /// True for { none = true, source = ".." }: the source was looked up and gives no value.
  bool none_published(const Tree& node, const PropertyRow& row, const std::string& key, Material& material) {
    const Tree* none = node.is == Tree::Is::table ? node.find("none") : nullptr;
    if (!none) return false;
    unknown_keys(node, key, {"none", "source", "locator"});
    if (!yes_or_no(*none, key + ".none")) fault(*none, key, "none = false is not allowed", "true, or a value instead");
    material.none_published[row.property] = source(node, key);
    return true;
  }

  /// One datum, or several published ones of which the property's ruling picks the one in use.
  void data(const Tree& node, const PropertyRow& row, const std::string& key, Material& material) {
    std::vector<Datum> read;
    if (node.is != Tree::Is::list) {
      if (std::optional<Datum> one = datum(node, row, key)) read.push_back(std::move(*one));
    } else {
      for (std::size_t i = 0; i < node.list.size(); ++i)
        if (std::optional<Datum> one = datum(node.list[i], row, fmt::format("{}[{}]", key, i + 1)))
          read.push_back(std::move(*one));
    }
    if (read.empty()) return;
    auto used = read.begin();
    if (row.ruling == Ruling::lowest)
      used =
          std::min_element(read.begin(), read.end(), [](const Datum& a, const Datum& b) { return a.value < b.value; });
    material.data[row.property] = *used;
    for (auto it = read.begin(); it != read.end(); ++it)
      if (it != used) material.overruled.emplace(row.property, *it);
  }

  void spectra(const Tree& node, const std::string& key, bool specular_included, Material& material) {
    const Tree *in_file = node.find("file"), *id_in_file = node.find("id");
    if (!in_file || !id_in_file) {
      fault(node, key, "spectra are not named like this",
            "{ file = \"name.csv\", id = \"..\", kind = \"..\", source = \"..\" }");
      return;
    }
    unknown_keys(node, key, spectra_keys);
    material.kind = kind(node, key);
    material.source = source(node, key);
    const std::string file = text(*in_file, key + ".file"), id = text(*id_in_file, key + ".id");
    const auto in = reader.spectra_.find(file);
    if (in == reader.spectra_.end()) {
      std::vector<std::string> names;
      for (const auto& [name, spectra] : reader.spectra_) names.push_back(name);
      fault(*in_file, key + ".file", fmt::format("no spectra file '{}' was read", file), "a file in spectra/",
            did_you_mean(file, names));
      return;
    }
    const auto found = in->second.find(id);
    if (found == in->second.end()) {
      std::vector<std::string> ids;
      for (const auto& [name, quantities] : in->second) ids.push_back(name);
      fault(*id_in_file, key + ".id", fmt::format("'{}' is not in {}", id, file), "an id in that file",
            did_you_mean(id, ids));
      return;
    }
    const std::map<std::string, Spectrum>& given = found->second;
    const auto reflectance = [&](const char* quantity) { return Reflectance{given.at(quantity)}; };
    if (given.count("reflectance")) material.reflectance = reflectance("reflectance");
    if (given.count("absorption_per_m")) material.absorption_per_m = given.at("absorption_per_m");
    if (given.count("yellowing_per_m")) material.yellowing_per_m = given.at("yellowing_per_m");
    if (!given.count("over_black")) return;
    const Datum* thickness = material.find(Property::drawdown_thickness);
    if (!given.count("over_white") || !given.count("card_black") || !given.count("card_white") || !thickness) {
      fault(node, key, "a drawdown is incomplete",
            "over_black, over_white, card_black, card_white, and the material's drawdown_thickness_um");
      return;
    }
    material.drawdown = Drawdown{reflectance("over_black"),
                                 reflectance("over_white"),
                                 reflectance("card_black"),
                                 reflectance("card_white"),
                                 specular_included,
                                 thickness->value,
                                 thickness->kind == Kind::estimate,
                                 material.source};
  }

  void unifac_groups(const Tree& node, const std::string& key, Material& material) {
    if (node.is != Tree::Is::table || node.table.empty())
      fault(node, key, "this is not a table of groups", "{ CH3 = 2, CH2 = 5 }");
    for (const Tree::Entry& entry : node.table) {
      if (entry.value.is == Tree::Is::integer && entry.value.integer > 0)
        material.unifac_groups.push_back({entry.key, static_cast<int>(entry.value.integer)});
      else
        fault(entry, key + "." + entry.key, "this is not a count of groups", "a whole number from 1 up");
    }
  }

  void blend(const Tree& node, const std::string& key, Material& material) {
    double sum = 0;
    if (node.is == Tree::Is::table)
      for (const Tree::Entry& entry : node.table)
        if (const std::optional<double> share = number_in(entry.value); share && *share > 0)
          material.blend.push_back({entry.key, *share}), sum += *share;
    if (std::abs(sum - 1) > 1e-9 || material.blend.size() != node.table.size())
      fault(node, key, "this is not a blend that adds up to 1", "{ acetone = 0.6, toluene = 0.4 }, by volume");
  }

  void growth_lines(const Tree& node, const std::string& key, GrowthLines& lines) {
    const std::vector<std::pair<std::string, double*>> numbers{{"ring_mm", &lines.ring_mm},
                                                               {"contrast", &lines.contrast},
                                                               {"late_share", &lines.late_share},
                                                               {"pores", &lines.pores},
                                                               {"curl", &lines.curl}};
    for (const Tree::Entry& entry : node.table) {
      const auto found =
          std::find_if(numbers.begin(), numbers.end(), [&](const auto& n) { return n.first == entry.key; });
      const std::optional<double> value = number_in(entry.value);
      if (entry.key == "quarter_sawn")
        lines.quarter_sawn = yes_or_no(entry.value, key + ".quarter_sawn");
      else if (found != numbers.end() && value && *value >= 0)
        *found->second = *value;
      else
        fault(entry, key + "." + entry.key, "this is not how growth lines are drawn",
              "ring_mm, contrast, late_share, pores, curl: 0 or more; quarter_sawn = true");
    }
  }

  void unknown_property(const Tree::Entry& entry, const std::string& id) {
    const std::string& word = entry.key;
    std::vector<std::string> known = plain_keys;
    for (const PropertyRow& row : property_table()) {
      if (word == stem(row)) {
        fault(entry, id, fmt::format("the unit of '{}' is missing", word), std::string(row.key),
              "give the unit in the key");
        return;
      }
      known.emplace_back(row.key);
    }
    fault(entry, id, fmt::format("unknown key '{}'", word),
          "a property or one of " + fmt::format("{}", fmt::join(plain_keys, ", ")), did_you_mean(word, known));
  }

  void material(const Tree::Entry& name) {
    Material material;
    material.id = name.key;
    bool specular_included = true, has_role = false;
    const Tree* spectra_node = nullptr;
    for (const Tree::Entry& entry : name.value.table) {
      const Tree& node = entry.value;
      const std::string &word = entry.key, where = material.id + "." + word;
      const auto& rows = property_table();
      const auto row = std::find_if(rows.begin(), rows.end(), [&](const PropertyRow& r) { return r.key == word; });
      if (row != rows.end()) {
        if (!none_published(node, *row, where, material)) data(node, *row, where, material);
      } else if (word == "name") {
        material.name = text(node, where);
      } else if (word == "role") {
        const int index = this->word(node, where, words_of<Role>());
        has_role = true;
        if (index >= 0) material.role = static_cast<Role>(index);
      } else if (word == "binder") {
        const int index = this->word(node, where, words_of<Binder>());
        if (index >= 0) material.binder = static_cast<Binder>(index);
      } else if (word == "spectra") {
        spectra_node = &node;
      } else if (word == "specular_included") {
        specular_included = yes_or_no(node, where);
      } else if (word == "holds") {
        holds(node, where, material);
      } else if (word == "skin_notation") {
        material.skin_notation = source_key(node, where);
      } else if (word == "passes_cartridges") {
        material.passes_cartridges = source_key(node, where);
      } else if (word == "harmless_vapour") {
        material.harmless_vapour = yes_or_no(node, where);
      } else if (word == "family") {
        const int index = this->word(node, where, words_of<SolventFamily>());
        if (index >= 0) material.family = static_cast<SolventFamily>(index);
      } else if (word == "unifac_groups") {
        unifac_groups(node, where, material);
      } else if (word == "blend") {
        blend(node, where, material);
      } else if (word == "conifer") {
        material.conifer = yes_or_no(node, where);
      } else if (word == "growth_lines") {
        growth_lines(node, where, material.growth_lines);
      } else if (word == "thins_water_borne") {
        material.thins_water_borne = yes_or_no(node, where);
      } else if (word == "metallic") {
        material.metallic = yes_or_no(node, where);
      } else if (word == "invented") {
        material.invented = yes_or_no(node, where);
      } else if (word == "cautions" && node.is == Tree::Is::list) {
        for (const Tree& caution : node.list) material.cautions.push_back(text(caution, where));
      } else if (word == "cautions") {
        fault(node, where, "this is not a list of texts", "[\"..\"]");
      } else {
        unknown_property(entry, material.id);
      }
    }
    for (const Harmful what : always_in(material.binder))
      if (!material.contains(what)) material.holds.push_back(what);
    std::sort(material.holds.begin(), material.holds.end());
    if (spectra_node) spectra(*spectra_node, material.id + ".spectra", specular_included, material);
    if (material.name.empty()) fault(name, material.id, "name is missing", "name = \"name used at the bench\"");
    if (!has_role)
      fault(name, material.id, "role is missing", fmt::format("role = one of {}", fmt::join(words_of<Role>(), ", ")));
    else
      for (const Property property : required_of(material.role))
        if (!material.find(property))
          fault(name, material.id, fmt::format("{} is missing", row_of(property).key),
                fmt::format("a {} has it", words(static_cast<const Role*>(nullptr))[static_cast<int>(material.role)]));
    const auto [first, is_new] = reader.defined_.emplace(material.id, Place{path, name.line, 0, ""});
    if (!is_new)
      fault(name, material.id, "this material is defined already",
            fmt::format("one id per material; see {}:{}", first->second.file, first->second.line), "choose another id");
    reader.materials_.push_back(std::move(material));
  }
};

MaterialReader::MaterialReader(const std::vector<Source>& sources, const std::map<std::string, SpectraFile>& spectra)
    : spectra_(spectra) {
  for (const Source& source : sources) source_keys_.push_back(source.key);
}

void MaterialReader::read(const std::string& path) {
  File file{*this, path};
  std::ifstream stream(path, std::ios::binary);
  const std::string text{std::istreambuf_iterator<char>(stream), {}};
  if (!stream) faults_.push_back({"the file cannot be read", {path, 0, 0, ""}, "", "check its permissions"});
  const Tree root = read_toml(text, path, faults_);
  for (const Tree::Entry& entry : root.table) {
    if (entry.value.is == Tree::Is::table)
      file.material(entry);
    else
      file.fault(entry, entry.key, "this is outside any material", "[material_id] above it");
  }
}

}  // namespace witnessline::materials

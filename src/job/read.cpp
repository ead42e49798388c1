#include "job/read.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace witnessline::job {
namespace {

// Units a key may carry instead of its own: those of the same kind. A bench in inches writes thickness_mil.
constexpr Unit cm{"cm", 1e-2}, L{"L", 1e-3}, cm3{"cm3", 1e-6}, kg{"kg"}, s{"s"}, ft_min{"ft/min", 0.3048 / 60.0},
    klx_h{"klx h", 3.6e6}, fraction{"fraction"}, rad{"rad"};
const std::vector<std::vector<Unit>> kinds{
    {unit::um, unit::mm, cm, unit::m, unit::mil, unit::in},
    {unit::mL, L, cm3, unit::m3, unit::fl_oz, unit::qt},
    {unit::g, kg, unit::oz},
    {unit::degC, unit::degF, unit::K},
    {s, unit::min, unit::h, unit::day},
    {unit::m_s, ft_min},
    {unit::m3_h, unit::cfm},
    {unit::m2, unit::ft2},
    {unit::Mlx_h, klx_h},
    {unit::pct, fraction},
    {unit::deg, rad},
};

std::string as_in_keys(std::string_view symbol) {
  std::string text(symbol);
  std::replace_if(
      text.begin(), text.end(), [](char c) { return c == ' ' || c == '/' || c == '.'; }, '_');
  return text;
}

// Everyday words for a kind of number, for a person who wrote one instead of the key.
const std::vector<std::pair<std::string_view, std::string_view>> everyday{
    {"thickness", "um"}, {"film", "um"},      {"depth", "um"}, {"time", "min"},   {"minutes", "min"},
    {"time", "h"},       {"hours", "h"},      {"days", "h"},   {"temp", "degC"},  {"volume", "mL"},
    {"amount", "mL"},    {"humidity", "pct"}, {"width", "mm"}, {"light", "Mlx h"}};

const Member* nearest_member(const std::string& key, const std::vector<Member>& members) {
  std::vector<std::string> keys, stems;
  for (const Member& m : members) keys.emplace_back(m.key), stems.emplace_back(stem_of(m));
  for (const auto* words : {&keys, &stems})
    for (std::size_t i = 0; i < words->size(); ++i)
      if (const std::string near = nearest_word(key, *words); !near.empty() && near == (*words)[i]) return &members[i];
  for (const auto& [word, symbol] : everyday)
    if (key.find(word) != std::string::npos)
      for (const Member& m : members)
        if (m.unit.symbol == symbol) return &m;
  return nullptr;
}

}  // namespace

std::vector<Error> Faults::all() const {
  std::vector<Error> sorted = list;
  std::stable_sort(sorted.begin(), sorted.end(), [](const Error& a, const Error& b) {
    return std::pair(a.where.line, a.where.column) < std::pair(b.where.line, b.where.column);
  });
  if (unlisted > 0)
    sorted.push_back({fmt::format("{} more errors are not listed", unlisted),
                      {file, 0, 0, ""},
                      "",
                      "fix the ones above first, and check that this is the file you meant"});
  return sorted;
}

namespace {

std::string_view line_of(std::string_view text, int number) {
  for (int i = 1; i < number && !text.empty(); ++i) text.remove_prefix(std::min(text.find('\n'), text.size() - 1) + 1);
  return text.substr(0, text.find('\n'));
}

/// The word before the first = of a line.
std::string key_of(std::string_view line) {
  std::string key(line.substr(0, line.find('=')));
  std::erase_if(key, [](char c) { return c == ' ' || c == '\t' || c == '"' || c == '\''; });
  return key;
}

}  // namespace

Tree read_toml(std::string_view text, Faults& faults) {
  Tree tree = base::read_toml(text, faults.file, faults.list);
  for (const Error& fault : faults.list) {
    const std::string key = key_of(line_of(text, fault.where.line));
    if (key.empty() || key.front() == '[')
      faults.add_missing = false;
    else
      faults.broken.insert(key);
  }
  return tree;
}

std::vector<Unit> units_like(const Unit& unit) {
  for (const auto& kind : kinds)
    for (const Unit& u : kind)
      if (u.symbol == unit.symbol) return kind;
  return {unit};
}

std::string key_in(const Member& m, const Unit& unit) {
  return std::string(stem_of(m)) + "_" + as_in_keys(unit.symbol);
}

std::string one_of(const std::vector<std::string>& words) {
  constexpr std::size_t most = 16;
  std::string all;
  for (std::size_t i = 0; i < std::min(words.size(), most); ++i)
    all += (i == 0 ? "" : i + 1 == words.size() ? " or " : ", ") + words[i];
  return words.size() > most ? all + ", ..." : all;
}

std::string below(const std::string& path, std::string_view key) {
  return path.empty() ? std::string(key) : path + "." + std::string(key);
}

std::string item_path(const std::string& list_path, const Tree& item, std::size_t index) {
  const Tree* id = item.find("id");
  if (id != nullptr && id->is == Tree::Is::text && !id->text.empty()) return list_path + "." + id->text;
  return fmt::format("{}[{}]", list_path, index + 1);
}

std::string_view stem_of(const Member& m) {
  const std::string suffix = "_" + as_in_keys(m.unit.symbol);
  if (m.unit.symbol.empty() || m.key.size() <= suffix.size() || !m.key.ends_with(suffix)) return m.key;
  return m.key.substr(0, m.key.size() - suffix.size());
}

std::optional<Unit> unit_of_key(const std::string& key, const Member& m) {
  if (stem_of(m) == m.key) return std::nullopt;
  for (const Unit& u : units_like(m.unit))
    if (key == key_in(m, u)) return u;
  return std::nullopt;
}

const Tree::Entry* TableReader::take(const Member& m, Unit& unit) {
  members_.push_back(m);
  const Tree::Entry* found = nullptr;
  for (const Tree::Entry& e : table_.table) {
    const std::optional<Unit> written = e.key == m.key ? m.unit : unit_of_key(e.key, m);
    if (!written) continue;
    taken_.insert(e.key);
    if (found != nullptr) {
      faults_.add(e.line, e.column, below(path_, e.key), "gives the same value as " + found->key, "",
                  "keep one of the two");
      continue;
    }
    found = &e;
    unit = *written;
  }
  if (found == nullptr && m.required) missing_.push_back(m);
  return found;
}

void report_unknown(const Tree& table, const std::string& path, const std::vector<Member>& members,
                    const std::set<std::string>& taken, std::set<std::string_view>& meant, Faults& faults) {
  std::vector<std::string> keys;
  std::vector<Member> open;  // not written yet: better guesses than those that are
  for (const Member& m : members) {
    keys.emplace_back(m.key);
    if (table.find(m.key) == nullptr) open.push_back(m);
  }
  for (const Tree::Entry& e : table.table) {
    if (taken.count(e.key) != 0) continue;
    const std::string at = below(path, e.key);
    if (faults.full()) {  // a guess costs more than the rest of the reading
      faults.add(e.line, e.column, at, "unknown key");
      continue;
    }
    const auto same_stem = std::find_if(open.begin(), open.end(), [&](const Member& m) {
      const std::string stem(stem_of(m));
      return stem != m.key && (e.key == stem || e.key.starts_with(stem + "_"));
    });
    if (same_stem != open.end()) {
      std::vector<std::string> choices;
      for (const Unit& u : units_like(same_stem->unit)) choices.push_back(key_in(*same_stem, u));
      const bool bare = e.key == stem_of(*same_stem);
      faults.add(e.line, e.column, at, bare ? "unit missing" : "unknown unit", one_of(choices),
                 "did you mean '" + std::string(same_stem->key) + "'?");
      meant.insert(same_stem->key);
      continue;
    }
    const Member* near = nearest_member(e.key, open);
    if (near == nullptr) near = nearest_member(e.key, members);
    const bool number_without_unit = near != nullptr && stem_of(*near) != near->key &&
                                     (e.value.is == Tree::Is::integer || e.value.is == Tree::Is::number) &&
                                     nearest_word(e.key, {std::string(near->key)}).empty();
    faults.add(e.line, e.column, at, number_without_unit ? "unknown key, unit missing" : "unknown key", one_of(keys),
               near == nullptr ? "" : "did you mean '" + std::string(near->key) + "'?");
    if (near != nullptr) meant.insert(near->key);
  }
}

bool read_number(const Tree& tree, const Member& m, const Unit& unit, const std::string& path, bool whole,
                 Faults& faults, double& si) {
  const std::string symbol = unit.symbol.empty() ? "" : " " + std::string(unit.symbol);
  const double low = unit.from_si(m.unit.to_si(m.low)), high = unit.from_si(m.unit.to_si(m.high));
  expects(!whole || std::isfinite(low + high), "a whole number has a range in its description");
  std::string range = whole ? "a whole number" : "a number";
  if (std::isfinite(low) && std::isfinite(high))
    range += fmt::format(" from {:.6g} to {:.6g}{}", low, high, symbol);
  else
    range += symbol.empty() ? "" : " in" + symbol;
  if (tree.is != Tree::Is::integer && tree.is != Tree::Is::number) {
    const bool digits =
        tree.is == Tree::Is::text && !tree.text.empty() && std::isdigit(static_cast<unsigned char>(tree.text[0]));
    faults.add(tree, path, "cannot be " + tree.in_words(), range,
               digits ? "write the number alone, without quotes or unit" : "");
    return false;
  }
  const double value = tree.is == Tree::Is::integer ? static_cast<double>(tree.integer) : tree.number;
  if (!std::isfinite(value)) {
    faults.add(tree, path, std::isnan(value) ? "is not a number (nan)" : "is infinite", range);
    return false;
  }
  if (whole && tree.is == Tree::Is::number) {
    faults.add(tree, path, "cannot be " + tree.in_words(), range, "leave the decimal point out");
    return false;
  }
  // A limit converted to another unit may differ in its last digit; that must not refuse the limit itself.
  const double slack = 1e-12 * std::max(std::abs(low), std::abs(high));
  const double room = std::isfinite(slack) ? slack : 0.0;
  if (value < low - room || value > high + room) {
    const char* what = value < 0 && low >= 0 ? "is negative" : value < low ? "is too small" : "is too large";
    faults.add(tree, path, fmt::format("{}: {}{}", what, shortest(value, false), symbol), range);
    return false;
  }
  si = unit.to_si(value);
  return true;
}

}  // namespace witnessline::job

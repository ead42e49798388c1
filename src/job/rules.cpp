#include "job/rules.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace witnessline::job {

namespace {
// ESTIMATES: no violin or lute that is still played is older; nobody at a bench dates a tin or a test earlier.
constexpr int first_instrument_year = 1400, first_bench_year = 1900;
}  // namespace

void JobRules::fault(const At& at, std::string what, std::string expected, std::string fix) {
  faults_.add(*at.tree, at.path, std::move(what), std::move(expected), std::move(fix));
}

void JobRules::id(const std::string& word, const At& at) {
  const bool fit =
      std::all_of(word.begin(), word.end(), [](unsigned char c) { return std::isalnum(c) || c == '_' || c == '-'; });
  if (!fit) fault(at, "is not a word: " + in_quotes(word), "letters, digits, _ and - only");
}

void JobRules::once(std::map<std::string, int>& seen, const std::string& word, const At& at) {
  if (word.empty()) return;
  const auto [first, fresh] = seen.emplace(word, at.tree->line);
  if (!fresh)
    fault(at, "is used twice: " + in_quotes(word), "a word of its own",
          first->second > 0 ? fmt::format("the first is on line {}", first->second) : "");
}

void JobRules::known(const std::string& word, const At& at, const std::vector<std::string>& words,
                     const std::string& what) {
  if (word.empty() || std::find(words.begin(), words.end(), word) != words.end()) return;
  fault(at, "no such " + what + ": " + in_quotes(word), words.empty() ? "" : one_of(words), did_you_mean(word, words));
}

void JobRules::date(const std::string& text, const At& at) { date(text, at, this_year_); }

void JobRules::date(const std::string& text, const At& at, int last) {
  if (text.empty()) return;
  int y = 0, m = 0, d = 0;
  char rest = 0;
  const bool form = text.size() == 10 && std::sscanf(text.c_str(), "%4d-%2d-%2d%c", &y, &m, &d, &rest) == 3;
  constexpr int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  const bool leap = (y % 4 == 0 && y % 100 != 0) || y % 400 == 0;
  const bool fit = form && m >= 1 && m <= 12 && d >= 1 && d <= days[m - 1] + (m == 2 && leap ? 1 : 0);
  if (!fit) return fault(at, "is no day of the calendar: " + in_quotes(text), "YYYY-MM-DD");
  if (y < first_bench_year || y > last)
    fault(at, fmt::format("is in the year {}", y), fmt::format("{} to {}", first_bench_year, last), "check the year");
}

void JobRules::made(const std::string& words, const At& at) {
  for (std::size_t from = 0; from < words.size();) {
    const auto digit = [&](std::size_t i) { return i < words.size() && words[i] >= '0' && words[i] <= '9'; };
    std::size_t to = from;
    while (digit(to)) ++to;
    if (to - from == 4)
      if (const int year = std::stoi(words.substr(from, 4)); year < first_instrument_year || year > this_year_)
        fault(at, fmt::format("no instrument was made in {}", year),
              fmt::format("{} to {}", first_instrument_year, this_year_), "check the year");
    from = to + 1;
  }
}

void JobRules::lab(const std::vector<double>& values, const At& at) {
  if (values.empty()) return;
  if (values.size() != 3) return fault(at, fmt::format("has {} numbers", values.size()), "three: L*, a*, b*");
  if (values[0] < 0 || values[0] > 100) fault(at[0], "L* is out of range", "0 to 100");
  for (const std::size_t i : {std::size_t{1}, std::size_t{2}})
    if (std::abs(values[i]) > 150) fault(at[i], "is out of range", "-150 to 150");
}

void JobRules::material(const std::string& word, const At& at, const std::vector<Role>& roles) {
  if (word.empty()) return;
  const Material* found = library_.find(word);
  std::vector<std::string> fit;
  for (const Material& m : library_.all())
    if (roles.empty() || std::find(roles.begin(), roles.end(), m.role) != roles.end()) fit.push_back(m.id);
  if (found == nullptr) return known(word, at, fit, "material");
  if (std::find(fit.begin(), fit.end(), word) == fit.end())
    fault(at, in_quotes(word) + " is a " + word_for(found->role), one_of(fit));
}

void JobRules::mixture_or_material(const std::string& word, const At& at) {
  std::vector<std::string> words;
  for (const Mixture& m : job_.mixtures) words.push_back(m.id);
  for (const Material& m : library_.all())
    if (m.role != Role::wood && m.role != Role::solvent && m.role != Role::cleaner && m.role != Role::compound)
      words.push_back(m.id);
  if (const Material* m = library_.find(word);
      m != nullptr && std::find(words.begin(), words.end(), word) == words.end())
    return fault(at, in_quotes(word) + " is a " + word_for(m->role) + " and makes no coat", one_of(words));
  known(word, at, words, "mixture or material");
}

void JobRules::face(const std::string& word, const At& at, const std::vector<std::string>& faces) {
  if (std::find(faces.begin(), faces.end(), word) == faces.end())
    fault(at, "cannot be " + in_quotes(word), one_of(faces), did_you_mean(word, faces));
}

void JobRules::patch(const Patch& p, const At& at) {
  face(p.face, at["face"], {"front", "back", "sides"});
  if (p.to_x_m.has_value() != p.to_y_m.has_value())
    fault(at, "has only one of to_x and to_y", "both for a long patch, neither for a round one");
}

void JobRules::where(const Where& w, const At& at) {
  std::vector<std::string> regions;
  for (const char* word : words(static_cast<const Region*>(nullptr))) regions.emplace_back(word);
  const auto each = [&](const std::vector<std::string>& entries, const At& list) {
    for (std::size_t i = 0; i < entries.size(); ++i) {
      std::size_t from = 0;
      while (from < entries[i].size()) {
        const std::size_t to = std::min(entries[i].find(' ', from), entries[i].size());
        known(entries[i].substr(from, to - from), list[i], regions, "region");
        from = to + 1;
      }
      if (entries[i].empty()) fault(list[i], "is empty", one_of(regions));
    }
  };
  each(w.on, at["on"]);
  each(w.except, at["except"]);
  for (std::size_t i = 0; i < w.patches.size(); ++i) patch(w.patches[i], at["patches"][i]);
}

void JobRules::patches(const std::vector<Patch>& all, const At& at) {
  for (std::size_t i = 0; i < all.size(); ++i) patch(all[i], at[i]);
}

std::vector<std::string> JobRules::coat_names() const {
  std::vector<std::string> names;
  for (const ExistingCoat& c : job_.coats) names.push_back(c.name);
  return names;
}

std::vector<std::string> JobRules::life_ids() const {
  std::vector<std::string> ids;
  for (const Life& l : job_.lives) ids.push_back(l.id);
  return ids;
}

}  // namespace witnessline::job

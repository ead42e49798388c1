#include <algorithm>
#include <cmath>
#include <map>

#include "match/characterise.h"

namespace witnessline::match {

namespace {

constexpr std::size_t parts = 3;

std::vector<bool> colorants_in(const FilmReading& film) {
  std::vector<bool> in;
  for (const double share : film.shares) in.push_back(share > 0);
  return in;
}

// Mean Delta E 2000 of mixtures left out, part by part; infinite where a part cannot be characterised.
double left_out_difference(const std::vector<std::string>& names, const std::vector<FilmReading>& films,
                           const std::vector<std::size_t>& part_of, const FilmFit& fit) {
  double sum = 0, count = 0;
  for (std::size_t part = 0; part < parts; ++part) {
    std::vector<FilmReading> kept;
    for (std::size_t f = 0; f < films.size(); ++f)
      if (part_of[f] != part) kept.push_back(films[f]);
    const auto set = characterise(names, kept, fit);
    if (!set) return HUGE_VAL;
    for (std::size_t f = 0; f < films.size(); ++f) {
      if (part_of[f] != part) continue;
      for (const OverGround& over : films[f].over) {
        const auto predicted = predict(*set, films[f].shares, over.ground, {films[f].thickness_ratio, 0});
        if (!predicted) return HUGE_VAL;
        sum += delta_e_2000(predicted->lab, to_lab(over.film, Lamp::D65, Observer::deg10)), ++count;
      }
    }
  }
  return sum / count;
}

}  // namespace

FilmFit fit_suited_to(const std::vector<std::string>& names, const std::vector<FilmReading>& films) {
  FilmFit usual;
  std::map<std::vector<bool>, std::size_t> combinations;
  std::vector<std::size_t> part_of;
  for (const FilmReading& f : films) {
    const std::vector<bool> in = colorants_in(f);
    const bool mixture = std::count(in.begin(), in.end(), true) > 1;
    part_of.push_back(mixture ? combinations.try_emplace(in, combinations.size()).first->second % parts : parts);
  }
  if (combinations.size() < 3 * parts) return usual;
  FilmFit best = usual;
  best.rounds = std::min(usual.rounds, 3);  // enough to tell which; the set itself is fitted in full
  constexpr double has_to_earn = 0.95;      // ESTIMATE: nearer than a twentieth, parts this small cannot tell
  double least = has_to_earn * left_out_difference(names, films, part_of, best);
  const FilmFit base = best;
  for (const auto& [matt, as_lightness] : {std::pair{false, true}, {true, false}, {true, true}}) {
    FilmFit tried = base;
    if (matt) tried.face = {0, 0};
    tried.as_lightness = as_lightness;
    const double off = left_out_difference(names, films, part_of, tried);
    if (off < least) least = off, best = tried;
  }
  best.rounds = usual.rounds;
  return best;
}

}  // namespace witnessline::match

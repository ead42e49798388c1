// Leave-out folds over measured mixtures, for the tests and for tools/validate_colour.
#pragma once

#include <algorithm>
#include <numeric>
#include <string>
#include <vector>

#include "base/random.h"
#include "match/characterise.h"

namespace witnessline::match {

struct Scores {
  std::vector<double> delta_e;
  double mean() const {
    return std::accumulate(delta_e.begin(), delta_e.end(), 0.0) / static_cast<double>(delta_e.size());
  }
  /// Share of the scores at or below which a score lies, by nearest rank.
  double quantile(double share) const {
    std::vector<double> sorted = delta_e;
    std::sort(sorted.begin(), sorted.end());
    return sorted[static_cast<std::size_t>(share * static_cast<double>(sorted.size() - 1))];
  }
  void add(const Scores& other) { delta_e.insert(delta_e.end(), other.delta_e.begin(), other.delta_e.end()); }
};

/// Which films to leave out: up to `most` mixtures in the order of `seed`, while each colorant of a mixture left out
/// still has another mixture to be known by.
inline std::vector<std::size_t> left_out(const std::vector<FilmReading>& films, std::uint64_t seed, std::size_t most) {
  std::vector<std::size_t> order, chosen;
  std::vector<int> mixtures(films.at(0).shares.size(), 0);
  for (std::size_t f = 0; f < films.size(); ++f) {
    if (*std::max_element(films[f].shares.begin(), films[f].shares.end()) > 0.999) continue;
    order.push_back(f);
    for (std::size_t i = 0; i < mixtures.size(); ++i) mixtures[i] += films[f].shares[i] > 0;
  }
  std::sort(order.begin(), order.end(),
            [&](std::size_t a, std::size_t b) { return mixed(seed ^ mixed(a)) < mixed(seed ^ mixed(b)); });
  for (const std::size_t f : order) {
    bool known = chosen.size() < most;
    for (std::size_t i = 0; i < mixtures.size(); ++i) known = known && (films[f].shares[i] == 0 || mixtures[i] > 1);
    if (!known) continue;
    chosen.push_back(f);
    for (std::size_t i = 0; i < mixtures.size(); ++i) mixtures[i] -= films[f].shares[i] > 0;
  }
  return chosen;
}

inline double difference(const Prediction& p, const Reflectance& read) {
  return delta_e_2000(p.lab, to_lab(read, Lamp::D65, Observer::deg10));
}

/// Predicted from composition, ground and the thickness each film names.
inline Scores from_composition(const ColorantSet& set, const std::vector<FilmReading>& films) {
  Scores scores;
  for (const FilmReading& f : films)
    for (const OverGround& over : f.over)
      scores.delta_e.push_back(
          difference(*predict(set, f.shares, over.ground, {f.thickness_ratio, f.thickness_log_sd}), over.film));
  return scores;
}

/// One thickness from the reading over the first ground; only the one over the second is scored.
inline Scores with_thickness(const ColorantSet& set, const std::vector<FilmReading>& films, double log_sd) {
  Scores scores;
  for (const FilmReading& f : films) {
    FilmReading dark = f;
    dark.over.resize(1), dark.thickness_log_sd = log_sd;
    scores.delta_e.push_back(
        difference(*predict(set, f.shares, f.over.at(1).ground, thickness_from_reading(set, dark)), f.over.at(1).film));
  }
  return scores;
}

}  // namespace witnessline::match

// A batch in the cup: what it looks like, and what more of a tin would do to it.
#pragma once

#include <optional>

#include "match/match.h"
#include "match/setting.h"

namespace witnessline::match {

/// Law: what the panel reads apart from the prediction is carried over, in XYZ under each lamp; as aged it is taken as
/// on the day. Everything it is made from must outlive it.
class Cup {
 public:
  Cup(const std::vector<Tin>& shelf, const Aim&, const LaidFilm&, const std::vector<double>& mass_kg,
      const Reflectance& read);

  /// Every view of a batch of these masses.
  std::vector<ViewDifference> seen(const std::vector<double>& mass_kg) const;
  double closeness(const std::vector<double>& mass_kg) const;
  /// Of a panel as predicted on the day and as aged.
  double closeness(const Reflectance& on_the_day, const Reflectance& as_aged) const;

  struct Addition {
    double added_kg = 0;
    std::vector<double> mass_kg;  ///< in the cup then
    double closeness = 0;
  };
  /// The nearest that `added_kg` of the colorants allowed can bring it. None: there is not so much left.
  std::optional<Addition> with(double added_kg, const std::vector<bool>& allowed);
  /// The least addition within the tolerance; where none is, the one that comes nearest.
  std::optional<Addition> least(const std::vector<bool>& allowed, double tolerance, double from_kg, double most_kg);

  double cup_kg() const { return cup_kg_; }

 private:
  std::vector<ViewDifference> carried_over(const Reflectance& on_the_day, const Reflectance& as_aged) const;

  const std::vector<Tin>& shelf_;
  const Aim& aim_;
  const LaidFilm& laying_;
  const std::vector<double>& mass_kg_;
  std::vector<View> views_;
  SearchProblem problem_;
  std::vector<Xyz> apart_, relative_;
  double cup_kg_;
};

}  // namespace witnessline::match

// How likely cold checks one film on one wood, over all that is not known of it: what is asked before anything is
// cooled.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "base/figure.h"
#include "bench/check_count.h"
#include "bench/step.h"
#include "cracking/expected.h"

namespace witnessline::bench {

/// One film on one wood, and where it stood.
struct FilmInCold {
  double thickness_m = 0, area_m2 = 0.3, wood_m = 0.045;
  double stood_s = 0;
  std::optional<double> plasticiser_frac;  ///< as laid; absent: the usual of its binder
  double room_K = 294.15;
  std::optional<double> room_humidity;  ///< absent: as it was laid, 50 %
  std::optional<double> unchecked_K;    ///< the coldest it came through; absent: a night in the room
  int shocks = 1;
  ColdBy by = ColdBy::cold_room;
  std::vector<CheckCount> found;  ///< on untouched parts
  double closest_m = 3e-3;        ///< mean distance below which checks run too far
};

/// What is not well known of it; each moved by a standard normal.
enum class CheckUncertainty {
  toughness,
  film_expansion,
  modulus,
  transition,
  shrinkage,
  wood_expansion,
  supple,
  flaw_count,
  flaw_depth,
  thickness,
  cold
};
inline constexpr std::size_t check_doubts = 11;
using CheckDraw = std::array<double, check_doubts>;  ///< in standard deviations
struct UncertainInput {
  const char* name;
  double sd;  ///< of the logarithm; of kelvins where it is a temperature
};

/// What one cold is likely to do. Chances over all draws.
struct ColdOutcome {
  double opens = 0, few = 0, too_far = 0;
  std::optional<double> distance_m;  ///< where more than two open; absent: they hardly do, or it cannot be said
  Band distance;
  bool as_counted = false;  ///< by the checks found, not by the model
};

inline constexpr double coldest_followed_K = 233.15;

/// Films alike: drawn over what is not known, weighed by their having come through unchecked.
/// Law: Bayes' theorem. Source: ESTIMATE (the spreads; docs/models/cracking.md). Valid: one coat on flat wood.
/// Departs: checks start from spots only, and do not meet.
class FilmsInCold {
 public:
  /// Errors: film or wood without the properties cracking asks.
  static Result<FilmsInCold> of(const FilmInCold&, const Material& film, const Material& wood, double tangential_share);

  const std::vector<CheckDraw>& alike() const { return alike_; }
  CheckDraw usual() const;  ///< their mean
  const std::array<UncertainInput, check_doubts>& doubts() const { return doubts_; }

  CheckDrive drive(double to_K, const CheckDraw&) const;
  /// Cold in which one check is expected on the area; the end of the range where none is; the room where one is there.
  double opening_K(const CheckDraw&) const;
  ColdOutcome outcome(double to_K) const;

 private:
  explicit FilmsInCold(const FilmInCold& asked) : asked_(asked) {}
  double grown(CheckUncertainty, const CheckDraw&) const;
  ExpectedChecks expected(double to_K, const CheckDraw&) const;
  double unchecked(const CheckDraw&) const;
  void survive();
  void set_distance(ColdOutcome&, const std::vector<std::pair<double, double>>& drawn) const;

  FilmInCold asked_;
  CrackingFilm film_;
  CrackingWood wood_;
  double usual_ = 0;
  std::array<UncertainInput, check_doubts> doubts_{};
  std::vector<CheckDraw> alike_;
};

}  // namespace witnessline::bench

// Checks growing over a body from their starters, as far as they are driven.
#pragma once

#include <functional>
#include <vector>

#include "bench/check_count.h"
#include "bench/starters.h"
#include "cracking/driving.h"

namespace witnessline::bench {

/// What drives a check at a place of the surface, and the part 0..1 of the cold that reaches it.
struct DrivenPlace {
  CheckDrive drive;
  double reach = 0;
};

struct Grown {
  std::vector<Mark> marks;
  double across_grain_m = 0, along_grain_m = 0;  ///< length of checks that run so
  int ends[4] = {0, 0, 0, 0};                    ///< by Stop
  bool as_found = false;                         ///< by a pattern
  int crossings = 0, reopened = 0;
  double reopened_m = 0;  ///< counted in neither length
};
/// Why a check ends: no longer driven, film gone, met another, or as long as is followed.
enum class Stop { arrest, film_gone, met, followed };

/// How hard the hardest driven starter of a film is driven: below 1 no check opens.
double hardest_start(const Body&, const std::vector<Starter>&, Key, const std::function<DrivenPlace(SurfacePoint)>&);

/// Grows checks, those driven hardest first, each both ways in steps of 1 mm until its drive falls below the toughness
/// there, the film ends, or it meets another. Toughness varies from place to place by 25 % over 12 mm (ESTIMATE).
/// A check across the grain keeps at right angles to the pull along it (local symmetry), one along the grain to the
/// wood's lines; both give way to weak places.
/// At another check it ends in a T, or starts anew beyond it where driven 2.5 times as hard as needed (ESTIMATE);
/// beside one, its drive falls as in an array (xia2000). `made_by`: of the marks. Old checks of `film` are kept in
/// mind.
/// `found`: what was counted on parts of the same finish decides, wherever the cold opens three checks or more:
/// starters open the one way or the other in its shares, hardest driven first, until each way has its length over
/// `area_m2`.
Grown grow_checks(const Body&, const Film&, const std::vector<Starter>&, Key, const std::string& made_by,
                  const std::function<DrivenPlace(SurfacePoint)>&, const CheckPattern& found = {}, double area_m2 = 0);
/// Fewer have no distance.
inline constexpr std::size_t too_few_checks = 3;

}  // namespace witnessline::bench

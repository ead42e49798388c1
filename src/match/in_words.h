// Colours and differences in the words said at the bench.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "colour/colour.h"

namespace witnessline::match {

/// What may be done with a panel this far from its target. Law: within 1.0 beside original finish, within 2 on a
/// separate part, else another panel. Source: common_practice.
enum class Verdict { beside_original, on_separate_part, another_panel };
constexpr auto words(const Verdict*) {
  return std::array{"beside original finish", "on a separate part", "make another panel"};
}
Verdict verdict_on(double delta_e);

/// "grey", "red", "orange", "yellow", "yellow-green", "green", "blue-green", "blue" or "violet".
/// Law: hues are seen pure at 25, 91, 163 and 246 degrees of CIELAB; a name reaches a quarter of the way to the next,
/// mixtures lie between. Source: ESTIMATE, from memory; "grey" below chroma 4 (docs/estimates.md).
std::string hue_word(const Lab&);

/// Colour of light by wavelength: "violet" to "red". Source: ESTIMATE, from memory; borders differ by 10 nm between
/// books.
std::string light_word(double wavelength_nm);

/// Bands where one reflectance lies above another, as ranges.
struct Excess {
  double from_nm = 0, to_nm = 0;
  double most = 0;        ///< largest difference of reflectance in the range [1]
  double most_at_nm = 0;  ///< where that is
};
/// Ranges of 400 to 700 nm where `above` exceeds `below` by more than `tolerance` [1].
std::vector<Excess> excesses(const Reflectance& above, const Reflectance& below, double tolerance);

/// "430 to 500 nm (violet to green)".
std::string range_in_words(const Excess&);

}  // namespace witnessline::match

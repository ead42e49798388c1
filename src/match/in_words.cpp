#include "match/in_words.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <numbers>

namespace witnessline::match {

Verdict verdict_on(double delta_e) {
  if (delta_e <= 1) return Verdict::beside_original;
  return delta_e <= 2 ? Verdict::on_separate_part : Verdict::another_panel;
}

std::string hue_word(const Lab& lab) {
  if (std::hypot(lab.a, lab.b) < 4) return "grey";
  struct Border {
    double up_to_deg;
    const char* word;
  };
  // A quarter of the way from one pure hue to the next on either side of a mixture that has a name of its own.
  static constexpr std::array borders{Border{41, "red"},           Border{75, "orange"},  Border{109, "yellow"},
                                      Border{145, "yellow-green"}, Border{184, "green"},  Border{225, "blue-green"},
                                      Border{281, "blue"},         Border{350, "violet"}, Border{360, "red"}};
  double angle_deg = std::atan2(lab.b, lab.a) * 180 / std::numbers::pi;
  if (angle_deg < 0) angle_deg += 360;
  for (const Border& b : borders)
    if (angle_deg < b.up_to_deg) return b.word;
  return "red";
}

std::string light_word(double wavelength_nm) {
  if (wavelength_nm < 440) return "violet";
  if (wavelength_nm < 490) return "blue";
  if (wavelength_nm < 565) return "green";
  if (wavelength_nm < 590) return "yellow";
  return wavelength_nm < 625 ? "orange" : "red";
}

std::vector<Excess> excesses(const Reflectance& above, const Reflectance& below, double tolerance) {
  std::vector<Excess> ranges;
  bool inside = false;
  for (int b = 0; b < bands; ++b) {
    if (band_nm(b) < 400 || band_nm(b) > 700) continue;
    const double more = above[b] - below[b];
    if (more <= tolerance) {
      inside = false;
      continue;
    }
    if (!inside) ranges.push_back({band_nm(b), band_nm(b), 0, band_nm(b)});
    inside = true;
    ranges.back().to_nm = band_nm(b);
    if (more > ranges.back().most) ranges.back().most = more, ranges.back().most_at_nm = band_nm(b);
  }
  return ranges;
}

std::string range_in_words(const Excess& range) {
  const std::string first = light_word(range.from_nm), last = light_word(range.to_nm);
  return fmt::format("{:.0f} to {:.0f} nm ({})", range.from_nm, range.to_nm,
                     first == last ? first : first + " to " + last);
}

}  // namespace witnessline::match

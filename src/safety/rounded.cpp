#include "safety/rounded.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace witnessline::safety {

namespace {

double rounded(double value, bool up) {
  if (value == 0 || !std::isfinite(value)) return value;
  const double step = std::pow(10.0, std::floor(std::log10(std::abs(value))) - 1);
  const double steps = value / step;
  return (up ? std::ceil(steps - 1e-9) : std::round(steps)) * step;
}

}  // namespace

std::string two_figures(double value) {
  if (!std::isfinite(value)) return "not known";
  const double shown = rounded(value, false);
  if (shown == 0) return "0";
  const int below_one = static_cast<int>(std::floor(std::log10(std::abs(shown)) + 1e-9));
  return fmt::format("{:.{}f}", shown, std::clamp(1 - below_one, 0, 4));
}

std::string show_rounded(double si, Quantity quantity, BenchUnits units, bool up) {
  if (!std::isfinite(si)) return "not known";
  const Unit shown = shown_unit(quantity, units, si);
  const std::string text = two_figures(rounded(shown.from_si(si), up));
  if (shown.symbol == "%") return text + "%";
  return shown.symbol.empty() ? text : fmt::format("{} {}", text, shown.symbol);
}

}  // namespace witnessline::safety

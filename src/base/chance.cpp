#include "base/chance.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/result.h"

namespace witnessline::base {

double bounded_chance(double chance) {
  return std::isfinite(chance) ? std::clamp(chance, unforeseen, 1 - unforeseen) : chance;
}

CountedChance counted_chance(int happened, int draws) {
  expects(draws > 0 && happened >= 0 && happened <= draws, "a share is counted of draws");
  constexpr double z = 1.959964;
  const double n = draws, share = happened / n, weight = 1 / (1 + z * z / n);
  const double middle = weight * (share + 0.5 * z * z / n);
  const double half = weight * z * std::sqrt(share * (1 - share) / n + 0.25 * z * z / (n * n));
  return {bounded_chance(middle), {bounded_chance(middle - half), bounded_chance(middle + half)}};
}

std::string in_a_hundred(double chance) {
  if (!std::isfinite(chance)) return "not known";
  const int most = static_cast<int>(std::lround(100 * (1 - unforeseen))), least = 100 - most;
  const int hundredths = static_cast<int>(std::lround(100 * chance));
  if (hundredths >= most) return fmt::format("more than {} in 100", most - 1);
  if (hundredths <= least) return fmt::format("less than {} in 100", least + 1);
  return fmt::format("{} in 100", hundredths);
}

Figure chance_figure(std::string name, double chance, Band band, std::string law, std::string source) {
  Figure f;
  f.name = std::move(name), f.value = bounded_chance(chance), f.quantity = Quantity::fraction;
  f.band = {bounded_chance(band.low), bounded_chance(band.high)};
  f.law = std::move(law), f.source = std::move(source), f.kind = Kind::estimate;
  return f;
}

}  // namespace witnessline::base

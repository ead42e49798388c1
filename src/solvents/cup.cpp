#include "solvents/cup.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace witnessline::solvents {

namespace {
constexpr double mm2_s = 1e-6;
using enum Cup::Form;
constexpr Kind read = Kind::published, recalled = Kind::memory;

constexpr std::array table{
    Cup{"ford_1", "Ford cup no. 1", linear, 0.49, 35, 55, 100, read, "astm_d1200"},
    Cup{"ford_2", "Ford cup no. 2", linear, 1.44, 18, 40, 100, read, "astm_d1200"},
    Cup{"ford_3", "Ford cup no. 3", linear, 2.31, 6.58, 20, 100, recalled, "astm_d1200"},
    Cup{"ford_4", "Ford cup no. 4", linear, 3.85, 4.49, 20, 100, recalled, "astm_d1200"},
    Cup{"ford_5", "Ford cup no. 5", linear, 12.1, 2.0, 20, 100, recalled, "astm_d1200"},
    Cup{"zahn_1", "Zahn cup no. 1", linear, 1.1, 29, 35, 80, read, "astm_d4212"},
    Cup{"zahn_2", "Zahn cup no. 2", linear, 3.5, 14, 20, 80, read, "astm_d4212"},
    Cup{"zahn_3", "Zahn cup no. 3", linear, 11.7, 7.5, 20, 80, read, "astm_d4212"},
    Cup{"zahn_4", "Zahn cup no. 4", linear, 14.8, 5, 20, 80, read, "astm_d4212"},
    Cup{"zahn_5", "Zahn cup no. 5", linear, 23, 0, 20, 80, read, "astm_d4212"},
    Cup{"iso_3", "ISO 2431 cup, 3 mm", reciprocal, 0.443, 200, 30, 100, recalled, "iso2431"},
    Cup{"iso_4", "ISO 2431 cup, 4 mm", reciprocal, 1.37, 200, 30, 100, recalled, "iso2431"},
    Cup{"iso_5", "ISO 2431 cup, 5 mm", reciprocal, 3.28, 220, 30, 100, recalled, "iso2431"},
    Cup{"iso_6", "ISO 2431 cup, 6 mm", reciprocal, 6.9, 570, 30, 100, recalled, "iso2431"},
    Cup{"din_4", "DIN 53211 cup, 4 mm (withdrawn 1996)", reciprocal, 4.57, 452, 25, 150, recalled, "din53211"},
};

double viscosity_mm2_s(const Cup& cup, double t) {
  return cup.form == linear ? cup.a * (t - cup.b) : cup.a * t - cup.b / t;
}

/// Cups of the same make that read this, else any.
std::string cups_that_read(double viscosity, std::string_view like) {
  const std::string_view make = like.substr(0, like.find('_'));
  std::vector<std::string> same, any;
  for (const Cup& cup : table) {
    if (viscosity < viscosity_mm2_s(cup, cup.shortest_s) || viscosity > viscosity_mm2_s(cup, cup.longest_s)) continue;
    any.emplace_back(cup.id);
    if (cup.id.starts_with(make)) same.emplace_back(cup.id);
  }
  if (any.empty()) return "no cup in the table can measure it";
  return fmt::format("{} can read it", fmt::join(same.empty() ? any : same, ", "));
}
}  // namespace

std::span<const Cup> cups() { return table; }

const Cup* find_cup(std::string_view id) {
  const auto found = std::find_if(table.begin(), table.end(), [&](const Cup& cup) { return cup.id == id; });
  return found == table.end() ? nullptr : &*found;
}

std::string cup_words() {
  std::vector<std::string> words;
  for (const Cup& cup : table) words.emplace_back(cup.id);
  return fmt::format("{}", fmt::join(words, ", "));
}

Result<double> viscosity_of_seconds_m2_s(const Cup& cup, double seconds) {
  if (!(seconds >= cup.shortest_s && seconds <= cup.longest_s)) {
    const bool fast = seconds < cup.shortest_s;
    return Error{fmt::format("{:g} s is outside the range of the {}", seconds, cup.name),
                 {},
                 fmt::format("{:g} to {:g} s", cup.shortest_s, cup.longest_s),
                 fast ? "read it in a cup with a finer hole" : "read it in a cup with a wider hole"};
  }
  return viscosity_mm2_s(cup, seconds) * mm2_s;
}

double unchecked_seconds_s(const Cup& cup, double viscosity_m2_s) {
  const double v = viscosity_m2_s / mm2_s;
  return cup.form == linear ? v / cup.a + cup.b : (v + std::sqrt(v * v + 4 * cup.a * cup.b)) / (2 * cup.a);
}

Result<double> seconds_of_viscosity_s(const Cup& cup, double viscosity_m2_s) {
  const double v = viscosity_m2_s / mm2_s;
  const double low = viscosity_mm2_s(cup, cup.shortest_s), high = viscosity_mm2_s(cup, cup.longest_s);
  // A reading at the very end of the range must come back as itself.
  constexpr double rounding = 1e-9;
  if (!(v >= low * (1 - rounding) && v <= high * (1 + rounding)))
    return Error{fmt::format("{:.3g} mm2/s is outside the range of the {}", v, cup.name),
                 {},
                 fmt::format("{:.3g} to {:.3g} mm2/s", low, high),
                 cups_that_read(v, cup.id)};
  return unchecked_seconds_s(cup, viscosity_m2_s);
}

}  // namespace witnessline::solvents

#include "solvents/groups.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string_view>

namespace witnessline::solvents {

namespace {
enum Main : std::size_t { alkane, aromatic, methyl_aromatic, alcohol, water, ketone, ester, ether };

struct Group {
  std::string_view name;
  Main main;
  double size, surface;  // R and Q. Source: hansen1991
};
constexpr Group groups[]{
    {"CH3", alkane, 0.9011, 0.848},   {"CH2", alkane, 0.6744, 0.540},   {"CH", alkane, 0.4469, 0.228},
    {"C", alkane, 0.2195, 0},         {"ACH", aromatic, 0.5313, 0.400}, {"ACCH3", methyl_aromatic, 1.2663, 0.968},
    {"OH", alcohol, 1.0, 1.2},        {"H2O", water, 0.92, 1.4},        {"CH3CO", ketone, 1.6724, 1.488},
    {"CH3COO", ester, 1.9031, 1.728}, {"CH3O", ether, 1.1450, 1.088},   {"CH2O", ether, 0.9183, 0.780}};

// a_mn [K], row m, column n. Source: hansen1991 (main groups 1, 3, 4, 5, 7, 9, 11, 13)
constexpr double interaction_K[main_groups][main_groups] = {
    {0, 61.13, 76.5, 986.5, 1318, 476.4, 232.1, 251.5},   {-11.12, 0, 167, 636.1, 903.8, 25.77, 5.994, 32.14},
    {-69.7, -146.8, 0, 803.2, 5695, -52.1, 5688, 213.1},  {156.4, 89.6, 25.82, 0, 353.5, 84, 101.1, 28.06},
    {300, 362.3, 377.6, -229.1, 0, -195.4, 72.87, 540.5}, {26.76, 140.1, 365.8, 164.5, 472.5, 0, -213.7, -103.6},
    {114.8, 85.84, -170, 245.4, 200.8, 372.2, 0, -235.7}, {83.36, 52.13, 65.69, 237.7, -314.7, 191.1, 461.3, 0}};

}  // namespace

Result<Groups> groups_of(const Material& material) {
  Groups made;
  for (const GroupCount& part : material.unifac_groups) {
    const auto group =
        std::find_if(std::begin(groups), std::end(groups), [&](const Group& one) { return one.name == part.group; });
    if (group == std::end(groups)) {
      std::vector<std::string> known;
      for (const Group& one : groups) known.emplace_back(one.name);
      return Error{fmt::format("'{}' of {} is not a group of the model", part.group, material.id),
                   {},
                   fmt::format("one of {}", fmt::join(known, ", ")),
                   "correct it in its data"};
    }
    made.size += part.count * group->size;
    made.surface += part.count * group->surface;
    made.surface_of[group->main] += part.count * group->surface;
  }
  return made;
}

GroupMixing::GroupMixing(std::span<const Groups> molecules, double temperature_K)
    : molecules_(molecules.begin(), molecules.end()) {
  for (std::size_t m = 0; m < main_groups; ++m) {
    for (std::size_t n = 0; n < main_groups; ++n) interaction_[m][n] = std::exp(-interaction_K[m][n] / temperature_K);
    if (std::any_of(molecules_.begin(), molecules_.end(), [&](const Groups& one) { return one.surface_of[m] > 0; }))
      present_.push_back(m);
  }
  for (const Groups& molecule : molecules_) {
    Row share{}, residual{};
    for (const std::size_t m : present_) share[m] = molecule.surface_of[m] / molecule.surface;
    residuals(share, residual);
    alone_.emplace_back(residual, residual + main_groups);
  }
}

void GroupMixing::residuals(const Row& share, Row& residual) const {
  Row around{};
  for (const std::size_t m : present_)
    for (const std::size_t n : present_) around[m] += share[n] * interaction_[n][m];
  for (const std::size_t k : present_) {
    residual[k] = 1 - std::log(around[k]);
    for (const std::size_t m : present_) residual[k] -= share[m] * interaction_[k][m] / around[m];
  }
}

void GroupMixing::ln_coefficients(std::span<const double> mole_fraction, std::span<double> ln_coefficient) const {
  double size = 0, surface = 0;
  Row share{}, residual{};
  for (std::size_t i = 0; i < molecules_.size(); ++i) {
    size += mole_fraction[i] * molecules_[i].size;
    surface += mole_fraction[i] * molecules_[i].surface;
    for (const std::size_t m : present_) share[m] += mole_fraction[i] * molecules_[i].surface_of[m];
  }
  for (const std::size_t m : present_) share[m] /= surface;
  residuals(share, residual);
  for (std::size_t i = 0; i < molecules_.size(); ++i) {
    const Groups& one = molecules_[i];
    const double by_size = one.size / size, by_surface = one.surface / surface, both = by_size / by_surface;
    double ln = std::log(by_size) + 1 - by_size - 5 * one.surface * (std::log(both) + 1 - both);
    for (const std::size_t m : present_) ln += one.surface_of[m] * (residual[m] - alone_[i][m]);
    ln_coefficient[i] = ln;
  }
}

}  // namespace witnessline::solvents

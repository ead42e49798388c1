#include "solvents/viscosity.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "numerics/linear.h"
#include "solvents/vapour.h"

namespace witnessline::solvents {

namespace {
constexpr double far_off = 0.12;  // ESTIMATE, see fit_viscosity()

double solids_of(const TinMakeup& tin, double ratio) { return tin.solids_frac / (1 + ratio); }
double density_of(const TinMakeup& tin, double ratio) {
  return (tin.density_kg_m3 + ratio * tin.thinner_density_kg_m3) / (1 + ratio);
}
double colder(double flow_energy_J_mol, double temperature_K, double reference_K) {
  return std::exp(flow_energy_J_mol / gas_constant_J_molK * (1 / temperature_K - 1 / reference_K));
}

/// Moves the law to the least squares of all its readings, and says how far they lie off it.
void settle(FittedViscosity& made, std::span<const TinReading> readings) {
  SolutionViscosity& law = made.law;
  std::vector<double*> free{};
  double ln_reach = std::log(law.reach), slope = law.crowding * law.reach;
  free.push_back(&slope);
  if (law.reach_fitted) free.push_back(&ln_reach);
  if (law.flow_energy_fitted) free.push_back(&law.flow_energy_J_mol);
  if (readings.size() <= free.size()) return;  // the readings are met as they are
  const auto off = [&](const TinReading& r) {  // ln of reading over law
    law.reach = std::exp(ln_reach), law.crowding = slope / law.reach;
    return std::log(r.viscosity_m2_s / law.kinematic_m2_s(r.thinner_per_part_ratio, r.temperature_K));
  };
  const int count = static_cast<int>(free.size());
  for (int round = 0; round < 30; ++round) {
    Matrix normal(count, count);
    std::vector<double> right(free.size());
    for (const TinReading& r : readings) {
      const double miss = off(r);
      std::vector<double> moves;
      for (double* one : free) {
        const double held = *one, by = 1e-6 * std::max(1.0, std::abs(held));
        *one = held + by;
        moves.push_back((miss - off(r)) / by);
        *one = held;
      }
      for (int i = 0; i < count; ++i) {
        const auto row = static_cast<std::size_t>(i);
        right[row] += moves[row] * miss;
        for (int j = 0; j < count; ++j) normal(i, j) += moves[row] * moves[static_cast<std::size_t>(j)];
      }
    }
    const std::vector<double> step = solve(normal, right);
    double largest = 0;
    for (std::size_t i = 0; i < free.size(); ++i) {
      if (!std::isfinite(step[i])) return;
      *free[i] += step[i];
      largest = std::max(largest, std::abs(step[i]) / std::max(1.0, std::abs(*free[i])));
    }
    if (largest < 1e-10) break;
  }
  double squares = 0, farthest = -1;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const double miss = std::abs(off(readings[i]));
    squares += miss * miss;
    if (miss > farthest) farthest = miss, made.worst_reading = i;
  }
  made.misfit_frac = std::sqrt(squares / static_cast<double>(readings.size() - free.size()));
  const bool apart = farthest > far_off;
  made.notes.push_back(
      {apart ? Severity::caution : Severity::information,
       fmt::format("The {} readings are within {:.0f} % of one curve; reading {} is the furthest off{}.",
                   readings.size(), 100 * farthest, made.worst_reading + 1,
                   apart ? ": cups repeat within 10 %, so read that one again" : ", about as well as cups repeat"),
       ""});
}
}  // namespace

double SolutionViscosity::density_kg_m3(double ratio) const { return density_of(tin, ratio); }

double SolutionViscosity::viscosity_Pa_s(double ratio, double temperature_K) const {
  const double x = reach * solids_of(tin, ratio);
  return tin.solvent_viscosity_Pa_s * (1 + x * std::exp(crowding * x)) *
         colder(flow_energy_J_mol, temperature_K, reference_K);
}

double SolutionViscosity::kinematic_m2_s(double ratio, double temperature_K) const {
  return viscosity_Pa_s(ratio, temperature_K) / density_kg_m3(ratio);
}

std::optional<double> SolutionViscosity::thinning_ratio(double kinematic, double temperature_K) const {
  constexpr double most = 20;
  if (kinematic_m2_s(0, temperature_K) <= kinematic) return 0.0;
  if (kinematic_m2_s(most, temperature_K) > kinematic) return std::nullopt;
  double low = 0, high = most;  // viscosity falls with thinner: one root
  while (high - low > 1e-9) {
    const double middle = 0.5 * (low + high);
    (kinematic_m2_s(middle, temperature_K) > kinematic ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

Result<FittedViscosity> fit_viscosity(const TinMakeup& tin, std::span<const TinReading> readings) {
  if (readings.empty())
    return Error{
        "no cup reading of the tin", {}, "one or two", "read the tin as it is, and again with some thinner in it"};
  if (!(tin.solids_frac > 0 && tin.solids_frac < 1))
    return Error{"the tin has no solids by volume", {}, "between 0 and 100 %", "take it from its data sheet"};
  expects(tin.density_kg_m3 > 0 && tin.thinner_density_kg_m3 > 0, "densities of tin and thinner");

  FittedViscosity made;
  SolutionViscosity& law = made.law;
  law.tin = tin, law.reach = tin.usual_reach;
  law.reference_K = readings.front().temperature_K;
  const auto eta_Pa_s = [&](const TinReading& r) {
    return r.viscosity_m2_s * density_of(tin, r.thinner_per_part_ratio);
  };

  // Two readings of one dilution at two temperatures give the flow energy.
  for (std::size_t i = 0; i < readings.size() && !law.flow_energy_fitted; ++i)
    for (std::size_t j = 0; j < i && !law.flow_energy_fitted; ++j) {
      const TinReading &one = readings[i], &other = readings[j];
      if (std::abs(one.thinner_per_part_ratio - other.thinner_per_part_ratio) > 1e-9 ||
          std::abs(one.temperature_K - other.temperature_K) < 2)
        continue;
      law.flow_energy_J_mol = gas_constant_J_molK * std::log(eta_Pa_s(one) / eta_Pa_s(other)) /
                              (1 / one.temperature_K - 1 / other.temperature_K);
      law.flow_energy_fitted = true;
      if (law.flow_energy_J_mol <= 0)
        return Error{"the warmer reading is the thicker one",
                     {},
                     "a lacquer runs out faster when warm",
                     "read again; bring the tin and the cup to one temperature"};
    }
  if (!law.flow_energy_fitted)
    made.notes.push_back({Severity::information,
                          "How the tin thickens in the cold is an estimate (about 3 % per degree). To replace it, read "
                          "the same mix 5 degrees colder or warmer.",
                          ""});

  // x exp(k x) of a reading, brought to the reference temperature; 0 or less: thinner than its solvents.
  const auto thickening = [&](const TinReading& r) {
    return eta_Pa_s(r) / colder(law.flow_energy_J_mol, r.temperature_K, law.reference_K) / tin.solvent_viscosity_Pa_s -
           1;
  };
  for (const TinReading& r : readings)
    if (thickening(r) <= 0)
      return Error{
          "a reading is as thin as pure solvent", {}, "a lacquer", "read the tin again, stirred to the bottom"};
  const auto most_apart = std::minmax_element(readings.begin(), readings.end(), [](const auto& a, const auto& b) {
    return a.thinner_per_part_ratio < b.thinner_per_part_ratio;
  });
  const TinReading &thick = *most_apart.first, &thin = *most_apart.second;
  const double thick_phi = solids_of(tin, thick.thinner_per_part_ratio),
               thin_phi = solids_of(tin, thin.thinner_per_part_ratio);
  // ln(T/phi) = ln B + s phi, s = k B: a straight line, here through the two readings farthest apart.
  double slope = std::log(thickening(thick) / (law.reach * thick_phi)) / thick_phi;
  if (thick_phi > thin_phi * 1.02) {
    if (thickening(thick) <= thickening(thin))
      return Error{"the thinned reading is not thinner than the other",
                   {},
                   "fewer seconds after thinning",
                   "read again; stir the thinner in and let the bubbles rise"};
    slope = (std::log(thickening(thick) / thick_phi) - std::log(thickening(thin) / thin_phi)) / (thick_phi - thin_phi);
    law.reach = std::exp(std::log(thickening(thick) / thick_phi) - slope * thick_phi);
    law.reach_fitted = true;
    if (std::abs(thick.temperature_K - thin.temperature_K) > 2 && !law.flow_energy_fitted)
      made.notes.push_back({Severity::caution,
                            "The two readings differ in thinner and in temperature, so the effect of temperature is "
                            "estimated. Start with this ratio and read the mix.",
                            ""});
  } else {
    made.notes.push_back(
        {Severity::caution,
         "Only one dilution was read, so how the solids thicken the tin is estimated. Read again with half a part of "
         "thinner in, and the ratio will be this tin's own.",
         ""});
  }
  law.crowding = slope / law.reach;
  settle(made, readings);
  return made;
}

Result<Figure> thinning_figure(const TinMakeup& tin, double solids_sd_frac, std::span<const TinReading> readings,
                               double target_m2_s, double temperature_K) {
  constexpr double cup_sd = 0.04, flow_energy_sd_J_mol = 5e3;
  const double reach_sd = 0.25 * tin.usual_reach;
  // Reach and flow energy of a fit can be moved only after it; the crowding follows the first reading.
  const auto ratio_of = [&](const TinMakeup& makeup, std::span<const TinReading> read, double more_reach,
                            double more_energy_J_mol) -> std::optional<double> {
    const Result<FittedViscosity> fit = fit_viscosity(makeup, read);
    if (!fit) return std::nullopt;
    SolutionViscosity law = fit->law;
    if (!law.reach_fitted && more_reach != 0) {
      const double x = law.reach * solids_of(makeup, read[0].thinner_per_part_ratio);
      const double held = x * std::exp(law.crowding * x);
      law.reach += more_reach;
      const double moved = law.reach * solids_of(makeup, read[0].thinner_per_part_ratio);
      law.crowding = std::log(held / moved) / moved;
    }
    if (!law.flow_energy_fitted) law.flow_energy_J_mol += more_energy_J_mol;
    return law.thinning_ratio(target_m2_s, temperature_K);
  };
  const Result<FittedViscosity> fit = fit_viscosity(tin, readings);
  if (!fit) return fit.errors();
  const std::optional<double> ratio = fit->law.thinning_ratio(target_m2_s, temperature_K);
  if (!ratio)
    return Error{"20 parts of thinner do not bring the tin to the wanted seconds",
                 {},
                 "a target the solvents themselves can reach",
                 "ask for more seconds, or check the cup"};
  double squares = 0;
  const auto moved = [&](const std::optional<double>& other) {
    if (other) squares += (*other - *ratio) * (*other - *ratio);
  };
  const double reading_sd = std::max(cup_sd, fit->misfit_frac);
  std::vector<TinReading> read(readings.begin(), readings.end());
  for (TinReading& one : read) {
    const double held = one.viscosity_m2_s;
    one.viscosity_m2_s *= 1 + reading_sd;
    moved(ratio_of(tin, read, 0, 0));
    one.viscosity_m2_s = held;
  }
  TinMakeup other = tin;
  other.solids_frac += solids_sd_frac;
  moved(ratio_of(other, readings, 0, 0));
  other = tin;
  other.solvent_viscosity_Pa_s *= 1 + tin.solvent_sd_frac;
  moved(ratio_of(other, readings, 0, 0));
  moved(ratio_of(tin, readings, reach_sd, 0));
  moved(ratio_of(tin, readings, 0, flow_energy_sd_J_mol));
  const double spread = 1.96 * std::sqrt(squares);

  Figure figure;
  figure.name = "parts of thinner to one part of the tin, by volume";
  figure.value = *ratio;
  figure.band = {std::max(0.0, *ratio - spread), *ratio + spread};
  figure.quantity = Quantity::ratio;
  figure.law =
      "Martin: eta = eta_s (1 + x exp(k x)), x = B phi; Andrade in temperature; solved for the cup's viscosity";
  figure.source = "martin1942";
  figure.kind = fit->law.reach_fitted && fit->law.flow_energy_fitted ? Kind::measured : Kind::estimate;
  figure.inputs = {{"solids as supplied, by volume", tin.solids_frac, Quantity::fraction, Kind::memory, ""},
                   {"temperature", temperature_K, Quantity::temperature, Kind::measured, ""},
                   {"reach of the solids B", fit->law.reach, Quantity::ratio,
                    fit->law.reach_fitted ? Kind::measured : Kind::estimate, ""},
                   {"crowding k", fit->law.crowding, Quantity::ratio, Kind::measured, ""}};
  return figure;
}

}  // namespace witnessline::solvents

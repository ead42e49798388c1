#include <fmt/format.h>

#include "app/published/published.h"
#include "safety/room.h"
#include "safety/ventilation.h"

namespace witnessline::app {

namespace {

constexpr double ft3_m3 = 0.028316846592, gallon_m3 = 3.785411784e-3, ft_min = 0.3048 / 60.0, ft2_m2 = 0.09290304;

double kelvin_of_F(double degF) { return (degF + 459.67) * 5.0 / 9.0; }

/// Vapour from liquid of a row's subject [m3/m3].
Result<double> vapour_of_subject(const Registry& registry, const PublishedRow& row, double temperature_K) {
  const Result<double> density = datum_of_subject(registry, row, Property::density);
  const Result<double> molar_mass = datum_of_subject(registry, row, Property::molar_mass);
  if (!density) return density.errors();
  if (!molar_mass) return molar_mass.errors();
  return vapour_per_liquid(*density, *molar_mass, temperature_K);
}

/// name1, name2, ... of a row, as many as there are [its unit].
Result<std::vector<double>> series(const PublishedRow& row, const std::string& name, const std::string& unit = "") {
  std::vector<double> values;
  for (std::string key = name + "1" + unit; row.inputs.count(key) != 0;
       key = name + std::to_string(values.size() + 1) + unit) {
    const Result<Numbers> in = numbers(row, {key});
    if (!in) return in.errors();
    values.push_back((*in)[key]);
  }
  return values;
}

/// Two series of a row of one length, put together by `law`.
Registry::Evaluate of_two(const std::string& a, const std::string& a_unit, const std::string& b,
                          const std::string& b_unit, double (*law)(std::span<const double>, std::span<const double>)) {
  return [=](const PublishedRow& row) -> Result<double> {
    const Result<std::vector<double>> first = series(row, a, a_unit), second = series(row, b, b_unit);
    if (!first) return first.errors();
    if (!second) return second.errors();
    if (first->empty() || first->size() != second->size())
      return Error{"two lists of one length are needed", {row.file, row.line, 0, row.quantity}, "", ""};
    return law(*first, *second);
  };
}

/// Air a flow of the subject's vapour asks for [ft3/min], `per_vapour` times its volume.
Result<double> air_flow(const Registry& registry, const PublishedRow& row, double per_vapour) {
  const Result<Numbers> in = numbers(row, {"litres_per_h", "T_degF"});
  if (!in) return in.errors();
  const Result<double> vapour = vapour_of_subject(registry, row, kelvin_of_F((*in)["T_degF"]));
  if (!vapour) return vapour.errors();
  return (*in)["litres_per_h"] * 1e-3 / 60.0 * *vapour * per_vapour / ft3_m3;
}

}  // namespace

void add_safety_checks(Registry& registry) {
  registry.add("vapour_volume_per_gallon", [&registry](const PublishedRow& row) -> Result<double> {
    const Result<Numbers> in = numbers(row, {"T_degF"});
    if (!in) return in.errors();
    const Result<double> vapour = vapour_of_subject(registry, row, kelvin_of_F((*in)["T_degF"]));
    if (!vapour) return vapour.errors();
    return *vapour * gallon_m3 / ft3_m3;
  });
  registry.add("vapour_volume_per_litre", [&registry](const PublishedRow& row) -> Result<double> {
    const Result<Numbers> in = numbers(row, {"T_degC"});
    if (!in) return in.errors();
    const Result<double> vapour = vapour_of_subject(registry, row, (*in)["T_degC"] + 273.15);
    if (!vapour) return vapour.errors();
    return *vapour * 1e-3;
  });
  registry.add("dilution_volume_per_gallon", {"vapour_ft3_per_gal", "LEL_pct"},
               [](const Numbers& in) { return in["vapour_ft3_per_gal"] * fire_dilution(in["LEL_pct"] / 100); });
  registry.add("fire_air_flow", [&registry](const PublishedRow& row) -> Result<double> {
    const Result<Numbers> in = numbers(row, {"LEL_pct"});
    if (!in) return in.errors();
    return air_flow(registry, row, fire_dilution((*in)["LEL_pct"] / 100));
  });
  registry.add("breathing_air_flow", [&registry](const PublishedRow& row) -> Result<double> {
    const Result<Numbers> in = numbers(row, {"limit_ppm"});
    if (!in) return in.errors();
    return air_flow(registry, row, 1e6 / (*in)["limit_ppm"]);
  });
  const auto face_speed = [](double crossdraught_ft_min) {
    const auto speed = booth_face_speed(crossdraught_ft_min * ft_min);
    return speed ? speed->design_m_s / ft_min : -1.0;
  };
  registry.add("booth_face_speed", {"crossdraught_ft_min"},
               [face_speed](const Numbers& in) { return face_speed(in["crossdraught_ft_min"]); });
  registry.add("booth_flow", {"face_ft2", "crossdraught_ft_min"}, [](const Numbers& in) {
    Room room;
    room.booth_face_m2 = in["face_ft2"] * ft2_m2, room.crossdraught_m_s = in["crossdraught_ft_min"] * ft_min;
    return air_asked({}, room, 294.15, true).face.value * 60 / ft3_m3;
  });
  registry.add("mixture_explosive_limit",
               of_two("y", "", "L", "_pct", [](std::span<const double> y, std::span<const double> limit) {
                 double sum = 0;
                 for (const double v : y) sum += v;
                 std::vector<double> shares(y.begin(), y.end());
                 for (double& v : shares) v /= sum;
                 return mixed_explosive_limit(shares, limit);
               }));
  registry.add("mixture_exposure_index", of_two("C", "", "L", "", exposure_index));
  registry.add("time_weighted_exposure",
               of_two("C", "", "t", "_h", [](std::span<const double> c, std::span<const double> hours) {
                 std::vector<double> seconds(hours.begin(), hours.end());
                 for (double& s : seconds) s *= 3600;
                 return day_average(c, seconds);
               }));
  registry.add("room_concentration", {"V_m3", "Q_m3_h", "G_L_min", "t_min"}, [](const Numbers& in) {
    const Release steady{0, 1e9, in["G_L_min"] * 1e-3 / 60, 0};
    return 1e6 * concentration(std::span(&steady, 1), in["Q_m3_h"] / 3600, in["V_m3"], in["t_min"] * 60);
  });
  registry.add("purge_time", {"V_m3", "Q_m3_h", "from_ppm", "to_ppm"}, [](const Numbers& in) {
    return purge_time_s(in["Q_m3_h"] / 3600, in["V_m3"], in["from_ppm"], in["to_ppm"]) / 60;
  });
  registry.add("lowest_explosive_limit", [&registry](const PublishedRow& row) -> Result<double> {
    const Result<double> limit = datum_of_subject(registry, row, Property::lower_explosive_limit);
    if (!limit) return limit.errors();
    return 100 * *limit;
  });
}

}  // namespace witnessline::app

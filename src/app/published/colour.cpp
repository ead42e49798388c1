#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <limits>
#include <numeric>

#include "app/published/published.h"
#include "colour/cie_tables.h"
#include "colour/metamerism.h"
#include "colour/recover.h"
#include "materials/csv.h"
#include "materials/spectra.h"
#include "numerics/linear.h"
#include "optics/face.h"
#include "optics/kubelka_munk.h"

namespace witnessline::app {
namespace {

Result<std::string> word_in(const PublishedRow& row, const std::string& key) {
  const auto found = row.inputs.find(key);
  if (found == row.inputs.end())
    return Error{fmt::format("input '{}' is missing", key), {row.file, row.line, 0, row.quantity}, key + "=word", ""};
  return found->second;
}

struct Viewing {
  Lamp lamp{};
  Observer observer{};
};
Result<Viewing> viewing_of(const PublishedRow& row, const std::string& lamp_key = "lamp") {
  const Result<std::string> lamp = word_in(row, lamp_key);
  const Result<Numbers> degrees = numbers(row, {"observer_deg"});
  if (!lamp) return lamp.errors();
  if (!degrees) return degrees.errors();
  const auto lamps = words(static_cast<const Lamp*>(nullptr));
  const auto found = std::find(lamps.begin(), lamps.end(), *lamp);
  if (found == lamps.end())
    return Error{fmt::format("lamp '{}' is not known", *lamp), {row.file, row.line, 0, row.quantity}, "", ""};
  return Viewing{static_cast<Lamp>(found - lamps.begin()),
                 (*degrees)["observer_deg"] == 2 ? Observer::deg2 : Observer::deg10};
}

// The spectrum a row names, from data/spectra beside the folder of the rows.
Result<Reflectance> spectrum_of(const PublishedRow& row, const std::string& id_key = "spectrum",
                                const std::string& quantity = "reflectance") {
  const Result<std::string> file = word_in(row, "file"), id = word_in(row, id_key);
  if (!file) return file.errors();
  if (!id) return id.errors();
  const auto path = std::filesystem::path(row.file).parent_path().parent_path() / "spectra" / *file;
  const Result<SpectraFile> spectra = read_spectra(path.string());
  if (!spectra) return spectra.errors();
  const auto of_id = spectra->find(*id);
  if (of_id == spectra->end() || !of_id->second.contains(quantity))
    return Error{fmt::format("{} has no {} of '{}'", path.string(), quantity, *id),
                 {row.file, row.line, 0, row.quantity},
                 "",
                 ""};
  return Reflectance{of_id->second.at(quantity)};
}

void add_differences(Registry& registry) {
  const std::vector<std::string> keys{"L1", "a1", "b1", "L2", "a2", "b2"};
  const auto one = [](const Numbers& n) { return Lab{n["L1"], n["a1"], n["b1"]}; };
  const auto two = [](const Numbers& n) { return Lab{n["L2"], n["a2"], n["b2"]}; };
  registry.add("delta_e_2000", keys, [=](const Numbers& n) { return delta_e_2000(one(n), two(n)); });
  registry.add("delta_e_76", keys, [=](const Numbers& n) { return delta_e_76(one(n), two(n)); });
}

void add_spectra(Registry& registry) {
  const auto add = [&](const std::string& quantity, double (*reading)(const Reflectance&, const Viewing&)) {
    registry.add(quantity, [reading](const PublishedRow& row) -> Result<double> {
      const Result<Viewing> viewing = viewing_of(row);
      const Result<Reflectance> spectrum = spectrum_of(row);
      if (!viewing) return viewing.errors();
      if (!spectrum) return spectrum.errors();
      return reading(*spectrum, *viewing);
    });
  };
  add("xyz_x", [](const Reflectance& r, const Viewing& v) { return to_xyz(r, v.lamp, v.observer).x; });
  add("xyz_y", [](const Reflectance& r, const Viewing& v) { return to_xyz(r, v.lamp, v.observer).y; });
  add("xyz_z", [](const Reflectance& r, const Viewing& v) { return to_xyz(r, v.lamp, v.observer).z; });
  add("lab_l", [](const Reflectance& r, const Viewing& v) { return to_lab(r, v.lamp, v.observer).l; });
  add("lab_a", [](const Reflectance& r, const Viewing& v) { return to_lab(r, v.lamp, v.observer).a; });
  add("lab_b", [](const Reflectance& r, const Viewing& v) { return to_lab(r, v.lamp, v.observer).b; });
  add("chromaticity_x", [](const Reflectance& r, const Viewing& v) {
    const Xyz c = to_xyz(r, v.lamp, v.observer);
    return c.x / (c.x + c.y + c.z);
  });
  add("chromaticity_y", [](const Reflectance& r, const Viewing& v) {
    const Xyz c = to_xyz(r, v.lamp, v.observer);
    return c.y / (c.x + c.y + c.z);
  });

  registry.add("contrast_ratio", [](const PublishedRow& row) -> Result<double> {
    const Result<Viewing> viewing = viewing_of(row);
    const Result<Reflectance> black = spectrum_of(row, "spectrum", "over_black"),
                              white = spectrum_of(row, "spectrum", "over_white");
    if (!viewing) return viewing.errors();
    if (!black) return black.errors();
    if (!white) return white.errors();
    return 100 * to_xyz(*black, viewing->lamp, viewing->observer).y /
           to_xyz(*white, viewing->lamp, viewing->observer).y;
  });

  registry.add("metamerism_index", [](const PublishedRow& row) -> Result<double> {
    const Result<Viewing> from = viewing_of(row, "from"), to = viewing_of(row, "to");
    const Result<Reflectance> standard = spectrum_of(row, "standard"), sample = spectrum_of(row, "sample");
    if (!from) return from.errors();
    if (!to) return to.errors();
    if (!standard) return standard.errors();
    if (!sample) return sample.errors();
    return special_metamerism_index(*standard, *sample, from->lamp, to->lamp, from->observer);
  });
}

void add_white_points(Registry& registry) {
  const auto add = [&](const std::string& quantity, double (*reading)(const Xyz&)) {
    registry.add(quantity, [reading](const PublishedRow& row) -> Result<double> {
      const Result<Viewing> viewing = viewing_of(row);
      if (!viewing) return viewing.errors();
      return reading(white_point(viewing->lamp, viewing->observer));
    });
  };
  add("white_x", [](const Xyz& w) { return w.x / (w.x + w.y + w.z); });
  add("white_y", [](const Xyz& w) { return w.y / (w.x + w.y + w.z); });
  add("white_xyz_x", [](const Xyz& w) { return w.x; });
  add("white_xyz_z", [](const Xyz& w) { return w.z; });
  registry.add("yellowness_e313", [](const PublishedRow& row) -> Result<double> {
    const Result<Viewing> viewing = viewing_of(row);
    const Result<Numbers> n = numbers(row, {"X", "Y", "Z"});
    if (!viewing) return viewing.errors();
    if (!n) return n.errors();
    return yellowness_e313({(*n)["X"], (*n)["Y"], (*n)["Z"]}, viewing->observer, viewing->lamp);
  });
}

void add_films(Registry& registry) {
  const auto film = [](const Numbers& n) { return film_optics({n["K"] * n["X"], n["S"] * n["X"]}); };
  registry.add("film_over_black", {"K", "S", "X"}, [=](const Numbers& n) { return film(n).reflectance; });
  registry.add("film_transmittance", {"K", "S", "X"}, [=](const Numbers& n) { return film(n).transmittance; });
  registry.add("film_over_ground", {"K", "S", "X", "Rg"},
               [=](const Numbers& n) { return over_ground(film(n), n["Rg"]); });
  registry.add("thick_film", {"K", "S"}, [](const Numbers& n) { return thick_reflectance(n["K"] / n["S"]); });

  const std::vector<std::string> pair{"K1", "S1", "X1", "K2", "S2", "X2", "Rg"};
  const auto upper = [](const Numbers& n) { return film_optics({n["K1"] * n["X1"], n["S1"] * n["X1"]}); };
  const auto lower = [](const Numbers& n) { return film_optics({n["K2"] * n["X2"], n["S2"] * n["X2"]}); };
  registry.add("two_films_over_black", pair,
               [=](const Numbers& n) { return over_ground(upper(n), lower(n).reflectance); });
  registry.add("two_films_over_ground", pair,
               [=](const Numbers& n) { return over_ground(upper(n), over_ground(lower(n), n["Rg"])); });

  const std::vector<std::string> grounds{"Rg_b", "Rg_w", "R_b", "R_w"};
  const auto inverse = [](const Numbers& n) { return film_from_two_grounds(n["R_b"], n["R_w"], n["Rg_b"], n["Rg_w"]); };
  registry.add("absorption_depth_from_two_grounds", grounds,
               [=](const Numbers& n) { return inverse(n).depth.absorption; });
  registry.add("scattering_depth_from_two_grounds", grounds,
               [=](const Numbers& n) { return inverse(n).depth.scattering; });
}

// Three made-up pigments at five bands, as the rows' source defines them.
void add_mixtures(Registry& registry) {
  using Bands = std::array<double, 5>;
  static constexpr std::array<Bands, 3> k{Bands{1, .5, 1, .5, 1}, {1, 1, .25, .5, .5}, {1, 1, .75, .25, .25}};
  static constexpr std::array<Bands, 3> s{Bands{.2, .4, .6, .8, 1}, {1, .8, .6, .4, .2}, {.2, .8, .2, .8, .2}};
  const std::vector<std::string> keys{"c1", "c2", "c3", "band"};
  const auto two_constants = [](const Numbers& n) {
    const auto band = static_cast<std::size_t>(n["band"]) - 1;
    const double absorption = n["c1"] * k[0][band] + n["c2"] * k[1][band] + n["c3"] * k[2][band];
    return thick_reflectance(absorption / (n["c1"] * s[0][band] + n["c2"] * s[1][band] + n["c3"] * s[2][band]));
  };
  registry.add("mixture_one_constant", keys, [](const Numbers& n) {
    const auto band = static_cast<std::size_t>(n["band"]) - 1;
    return thick_reflectance(n["c1"] * k_over_s(k[0][band]) + n["c2"] * k_over_s(k[1][band]) +
                             n["c3"] * k_over_s(k[2][band]));
  });
  registry.add("mixture_two_constants", keys, two_constants);
  registry.add("mixture_two_constants_seen", keys, [=](const Numbers& n) {
    return seen_outside(two_constants(n), {0.033, 0.66}, 0);
  });
}

void add_faces(Registry& registry) {
  const auto face = [](const Numbers& n) { return AirFace{n["K1"], n["K2"]}; };
  registry.add("seen_specular_included", {"K1", "K2", "Ri"},
               [=](const Numbers& n) { return seen_outside(n["Ri"], face(n), 1); });
  registry.add("seen_specular_excluded", {"K1", "K2", "Ri"},
               [=](const Numbers& n) { return seen_outside(n["Ri"], face(n), 0); });
  registry.add("inside_of_seen_specular_included", {"K1", "K2", "R"},
               [=](const Numbers& n) { return inside_of(n["R"], face(n), 1); });
  registry.add("inside_of_seen_specular_excluded", {"K1", "K2", "R"},
               [=](const Numbers& n) { return inside_of(n["R"], face(n), 0); });
  registry.add("fresnel", {"n", "angle_deg"},
               [](const Numbers& n) { return fresnel_reflectance(n["n"], n["angle_deg"]); });
  registry.add("face_diffuse_outside", {"n"}, [](const Numbers& n) { return diffuse_reflectance_outside(n["n"]); });
  registry.add("face_diffuse_inside", {"n"}, [](const Numbers& n) { return diffuse_reflectance_inside(n["n"]); });
}

// The rows were worked out with a plain sum over the 36 bands, so the same is done here.
Weights plain_sum() {
  Weights sum;
  double white_y = 0;
  for (std::size_t band = 0; band < bands; ++band) {
    const double power = cie_d65[2 * band];
    sum.x[band] = power * cie_x2[20 + 10 * band];
    sum.y[band] = power * cie_y2[20 + 10 * band];
    sum.z[band] = power * cie_z2[20 + 10 * band];
    white_y += sum.y[band];
  }
  for (auto* component : {&sum.x, &sum.y, &sum.z})
    for (double& w : *component) w /= white_y;
  return sum;
}

void add_recovery(Registry& registry) {
  const auto add = [&](const std::string& quantity, Smoothest kind) {
    registry.add(quantity, {"r8", "g8", "b8", "band_nm"}, [kind](const Numbers& n) {
      const Weights sum = plain_sum();
      constexpr double white_x = 0.3127 / 0.3290, white_z = (1 - 0.3127 - 0.3290) / 0.3290;
      const auto rows = linear_srgb_from_xyz({white_x, 1, white_z});
      Matrix rgb_from_xyz(3, 3);
      for (int i = 0; i < 3; ++i)
        for (int j = 0; j < 3; ++j) rgb_from_xyz(i, j) = rows[static_cast<std::size_t>(i)][static_cast<std::size_t>(j)];
      const std::vector<double> xyz =
          solve(rgb_from_xyz, {srgb_decode(n["r8"] / 255), srgb_decode(n["g8"] / 255), srgb_decode(n["b8"] / 255)});
      const double sum_x = std::accumulate(sum.x.begin(), sum.x.end(), 0.0);
      const double sum_z = std::accumulate(sum.z.begin(), sum.z.end(), 0.0);
      const Result<Reflectance> found =
          recover_reflectance({xyz[0] * sum_x / white_x, xyz[1], xyz[2] * sum_z / white_z}, sum, kind);
      if (!found) return std::numeric_limits<double>::quiet_NaN();
      return (*found)[static_cast<int>(std::lround((n["band_nm"] - first_band_nm) / band_step_nm))];
    });
  };
  add("recovered_llss", Smoothest::log_slope);
  add("recovered_lhtss", Smoothest::tanh_slope);
}

}  // namespace

void add_colour_checks(Registry& registry) {
  add_differences(registry);
  add_spectra(registry);
  add_white_points(registry);
  add_films(registry);
  add_mixtures(registry);
  add_faces(registry);
  add_recovery(registry);
}

}  // namespace witnessline::app

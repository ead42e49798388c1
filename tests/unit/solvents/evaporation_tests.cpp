// Evaporation: each step of the model must come nearer to published rates; laws that hold whatever the numbers.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "solvents/evaporation.h"
#include "solvents/hansen.h"

namespace witnessline::solvents {
namespace {

const Library& library() {
  static const Result<Library> read = read_library(PROJECT_FOLDER "/data");
  if (!read) throw std::runtime_error(read.errors().front().text());
  return *read;
}
Volatile solvent(const std::string& id) {
  const Result<Volatile> made = volatile_of(*library().find(id));
  if (!made) throw std::runtime_error(made.errors().front().text());
  return *made;
}

const std::vector<std::string> rated{"acetone",
                                     "mek",
                                     "mibk",
                                     "methyl_amyl_ketone",
                                     "ethyl_acetate",
                                     "isopropyl_acetate",
                                     "isobutyl_acetate",
                                     "toluene",
                                     "xylene",
                                     "heptane",
                                     "ethanol",
                                     "isopropanol",
                                     "butanol",
                                     "isobutanol",
                                     "butyl_glycol",
                                     "diacetone_alcohol",
                                     "water"};

double published_rate(const std::string& id) { return library().find(id)->find(Property::evaporation_rate)->value; }

// Root mean square of ln(ours/published) over the solvents with a published rate on the butyl acetate scale.
double scatter(const Airflow& air) {
  double squares = 0;
  for (const std::string& id : rated) {
    const double error =
        std::log(relative_evaporation_rate(solvent(id), solvent("butyl_acetate"), air) / published_rate(id));
    squares += error * error;
  }
  return std::sqrt(squares / static_cast<double>(rated.size()));
}
Airflow with_heat(double ratio) {
  Airflow air;
  air.heat_ratio = ratio;
  return air;
}

TEST(EvaporationRates, EachStepOfTheModelComesNearerToThePublished) {
  const double isothermal = scatter(with_heat(1e6)), self_cooled = scatter(with_heat(1)), full = scatter(Airflow{});
  RecordProperty("isothermal", std::to_string(isothermal));
  RecordProperty("self_cooled", std::to_string(self_cooled));
  RecordProperty("with_support", std::to_string(full));
  EXPECT_LT(self_cooled, isothermal);
  EXPECT_LT(full, self_cooled);
  EXPECT_LT(full, 0.25);
}

TEST(EvaporationRates, ComeInThePublishedOrder) {
  // Pairs whose published rates differ by more than lists disagree (1.5x) must not swap.
  for (const std::string& one : rated)
    for (const std::string& other : rated) {
      if (published_rate(one) <= 1.5 * published_rate(other)) continue;
      EXPECT_GT(relative_evaporation_rate(solvent(one), solvent(other)), 1) << one << " against " << other;
    }
}

// Boiling points of azeotropes: the pressure over the blend must be one atmosphere. Single solvents say nothing of
// activities; these do. Root mean square of ln(ours/1 atm).
double azeotrope_scatter(Mixing mixing) {
  struct Azeotrope {
    const char *one, *other;
    double mole_fraction, temperature_K;
  };
  // Source: crc_handbook (memory), as in data/published/solvents.csv
  constexpr Azeotrope known[]{{"ethanol", "toluene", 0.81, 349.85},       {"isopropanol", "toluene", 0.773, 353.75},
                              {"butanol", "toluene", 0.324, 378.65},      {"isobutanol", "toluene", 0.499, 374.35},
                              {"ethanol", "ethyl_acetate", 0.46, 344.95}, {"mek", "heptane", 0.764, 350.15},
                              {"ethanol", "heptane", 0.676, 344.05},      {"ethanol", "mek", 0.446, 347.95},
                              {"isopropanol", "heptane", 0.63, 349.55}};
  double squares = 0;
  for (const Azeotrope& row : known) {
    const std::vector<Volatile> pair{solvent(row.one), solvent(row.other)};
    std::vector<double> volume{row.mole_fraction * pair[0].molar_volume_m3_mol(),
                               (1 - row.mole_fraction) * pair[1].molar_volume_m3_mol()};
    const double whole = volume[0] + volume[1];
    for (double& one : volume) one /= whole;
    double activity[2];
    Solution(pair, std::nullopt, row.temperature_K, mixing).activities(volume, activity);
    const double pressure_Pa = activity[0] * vapour_pressure_Pa(pair[0].antoine, row.temperature_K) +
                               activity[1] * vapour_pressure_Pa(pair[1].antoine, row.temperature_K);
    squares += std::log(pressure_Pa / 101325) * std::log(pressure_Pa / 101325);
  }
  return std::sqrt(squares / 9);
}

TEST(Activities, EachStepOfTheModelComesNearerToAzeotropes) {
  const double ideal = azeotrope_scatter(Mixing::ideal), regular = azeotrope_scatter(Mixing::regular),
               groups = azeotrope_scatter(Mixing::groups);
  std::printf("azeotropes: ideal %.3f, regular %.3f, groups %.3f\n", ideal, regular, groups);
  EXPECT_LT(regular, ideal);
  EXPECT_LT(groups, 0.5 * regular);
  EXPECT_LT(groups, 0.05);
}

// Rank correlation (Spearman) of ours with the published rates.
double rank_correlation(const Airflow& air) {
  const auto ranks = [](const std::vector<double>& values) {
    std::vector<double> rank;
    for (const double one : values)
      rank.push_back(
          static_cast<double>(std::count_if(values.begin(), values.end(), [&](double x) { return x < one; })) +
          0.5 * static_cast<double>(std::count(values.begin(), values.end(), one) - 1));
    return rank;
  };
  std::vector<double> ours, published;
  for (const std::string& id : rated) {
    ours.push_back(relative_evaporation_rate(solvent(id), solvent("butyl_acetate"), air));
    published.push_back(published_rate(id));
  }
  const std::vector<double> a = ranks(ours), b = ranks(published);
  const double middle = 0.5 * static_cast<double>(a.size() - 1);
  double ab = 0, aa = 0, bb = 0;
  for (std::size_t i = 0; i < a.size(); ++i) {
    ab += (a[i] - middle) * (b[i] - middle);
    aa += (a[i] - middle) * (a[i] - middle);
    bb += (b[i] - middle) * (b[i] - middle);
  }
  return ab / std::sqrt(aa * bb);
}

TEST(EvaporationRates, RankAsPublished) {
  const double held = rank_correlation(with_heat(isothermal)), cooled = rank_correlation(with_heat(1)),
               full = rank_correlation(Airflow{});
  std::printf("rank: isothermal %.3f, self-cooled %.3f, with support %.3f; scatter %.3f %.3f %.3f\n", held, cooled,
              full, scatter(with_heat(isothermal)), scatter(with_heat(1)), scatter(Airflow{}));
  EXPECT_GT(full, 0.97);
  EXPECT_GE(full, held);
}

TEST(OpenFace, MoreAirNeverDriesSlowerAndIsothermalIsFastest) {
  const Volatile toluene[]{solvent("toluene")};
  const double pure[]{1.0};
  double last = 0, last_held = 0;
  for (double h_W_m2K : {0.5, 2.0, 5.0, 10.0, 30.0, 100.0}) {
    Airflow air;
    air.heat_coefficient_W_m2K = h_W_m2K;
    double flux[1], held[1];
    const OpenFace face(toluene, air);
    const double film_K = face.film_temperature_K(pure);
    face.flux_mol_m2s(pure, film_K, flux);
    face.flux_mol_m2s(pure, air.temperature_K, held);
    EXPECT_LE(film_K, air.temperature_K);
    EXPECT_GT(flux[0], last);
    EXPECT_GT(held[0], last_held);
    EXPECT_LT(flux[0], held[0]);
    last = flux[0], last_held = held[0];
  }
}

// The heat that arrives is the heat that leaves, whatever the blend.
TEST(OpenFace, BalancesItsHeat) {
  const std::vector<Volatile> blend{solvent("acetone"), solvent("ethanol"), solvent("toluene")};
  const double activity[]{0.4, 0.5, 0.3};
  const Airflow air;
  const OpenFace face(blend, air);
  const double film_K = face.film_temperature_K(activity);
  double flux[3], taken_W_m2 = 0;
  face.flux_mol_m2s(activity, film_K, flux);
  for (int i = 0; i < 3; ++i) taken_W_m2 += flux[i] * blend[i].heat_of_vaporisation_J_mol;
  EXPECT_NEAR(taken_W_m2, air.heat_ratio * air.heat_coefficient_W_m2K * (air.temperature_K - film_K), 1e-4);
}

const std::vector<std::string> thinner{"acetone", "toluene", "isopropanol", "butyl_acetate", "butyl_glycol"};
WetFilm lacquer_film() { return {{20e-6, 28e-6, 12e-6, 15e-6, 5e-6}, 10e-6}; }
Solution lacquer(Mixing mixing = Mixing::groups) {
  std::vector<Volatile> solvents;
  for (const std::string& id : thinner) solvents.push_back(solvent(id));
  return {solvents, film_former_of(*library().find("nitrocellulose_lacquer")), 294.15, mixing};
}

TEST(Evaporate, KeepsItsLaws) {
  for (const Mixing mixing : {Mixing::ideal, Mixing::regular, Mixing::groups}) {
    const Solution solution = lacquer(mixing);
    const EvaporationRun run = evaporate(solution, lacquer_film(), {294.15});
    ASSERT_GT(run.moments.size(), 30u);
    EXPECT_EQ(run.mixing, mixing);
    double left = 1.1, laid_m = 0;
    for (const double solvent_m : lacquer_film().solvent_m) laid_m += solvent_m;
    for (const EvaporationMoment& moment : run.moments) {
      double sum = 0;
      for (std::size_t i = 0; i < thinner.size(); ++i) {
        EXPECT_GE(moment.volume_fraction[i], 0);
        sum += moment.volume_fraction[i];
        // What is left and what the flux carried off are what was laid.
        const double left_mol_m2 =
            moment.volume_fraction[i] * moment.left_fraction * laid_m / solution.solvents()[i].molar_volume_m3_mol();
        EXPECT_NEAR(left_mol_m2 + moment.lost_mol_m2[i], run.laid_mol_m2[i], 1e-8 * run.laid_mol_m2[i]);
      }
      EXPECT_NEAR(sum, 1, 1e-12);
      EXPECT_LT(moment.left_fraction, left);
      EXPECT_LE(moment.film_temperature_K, 294.15);
      EXPECT_LE(moment.film_former_fraction, 1);
      left = moment.left_fraction;
    }
    EXPECT_GT(run.moments.back().volume_fraction[4], 0.5);
    EXPECT_LT(*run.time_to_lose_s(0.1), *run.time_to_lose_s(0.5));
    EXPECT_LT(*run.time_to_lose_s(0.5), *run.time_to_lose_s(0.9));
  }
}

// A pure solvent leaves at a steady rate: its film must be gone when volume over rate says.
TEST(Evaporate, APureSolventLeavesAtASteadyRate) {
  const Volatile toluene[]{solvent("toluene")};
  const double pure[]{1.0};
  double flux[1];
  const OpenFace face(toluene, {});
  face.flux_mol_m2s(pure, face.film_temperature_K(pure), flux);
  const double rate_m_s = flux[0] * toluene[0].molar_volume_m3_mol();
  const EvaporationRun run = evaporate({{toluene[0]}, std::nullopt, 298.15}, {{50e-6}}, {});
  EXPECT_NEAR(*run.time_to_lose_s(0.5), 25e-6 / rate_m_s, 1e-3 * 25e-6 / rate_m_s);
  EXPECT_NEAR(*run.time_to_lose_s(0.9), 45e-6 / rate_m_s, 1e-3 * 45e-6 / rate_m_s);
}

// Two solvents held at the temperature of the air, mixing ideally, no Stefan flow to speak of: Rayleigh's law,
// n_1 proportional to n_2^(k_1/k_2), holds along the whole run.
TEST(Evaporate, FollowsRayleighWhereItShould) {
  const std::vector<Volatile> pair{solvent("butyl_glycol"), solvent("diacetone_alcohol")};
  Airflow air;
  air.heat_ratio = isothermal;
  const OpenFace face(pair, air);
  const double one[]{1, 0}, other[]{0, 1};
  double first[2], second[2];
  face.flux_mol_m2s(one, air.temperature_K, first);
  face.flux_mol_m2s(other, air.temperature_K, second);
  const EvaporationRun run = evaporate({pair, std::nullopt, 298.15, Mixing::ideal}, {{30e-6, 30e-6}}, air);
  for (const EvaporationMoment& moment : run.moments) {
    const double left_first = 2 * moment.left_fraction * moment.volume_fraction[0],
                 left_second = 2 * moment.left_fraction * moment.volume_fraction[1];
    EXPECT_NEAR(std::log(left_first), first[0] / second[1] * std::log(left_second),
                0.002 - 0.004 * std::log(left_first));
  }
}

TEST(Hansen, TwoNonSolventsMayDissolveTogether) {
  const Material& lacquer = *library().find("nitrocellulose_lacquer");
  const Hansen toluene = *hansen_of(*library().find("toluene")), spirit = *hansen_of(*library().find("ethanol"));
  const HansenPart both[]{{toluene, 0.5}, {spirit, 0.5}};
  EXPECT_GT(*relative_energy_difference(lacquer, toluene), 1);
  EXPECT_GT(*relative_energy_difference(lacquer, spirit), 1);
  EXPECT_LT(*relative_energy_difference(lacquer, hansen_of_blend(both)), 1);
}

}  // namespace
}  // namespace witnessline::solvents

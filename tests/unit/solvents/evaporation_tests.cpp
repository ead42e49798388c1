// Evaporation: each step of the model must come nearer to published rates; laws that hold whatever the numbers.
#include <gtest/gtest.h>

#include <cmath>

#include "solvents/evaporation.h"
#include "solvents/hansen.h"

namespace witnessline {
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
double scatter(const Draught& air) {
  double squares = 0;
  for (const std::string& id : rated) {
    const double error =
        std::log(relative_evaporation_rate(solvent(id), solvent("butyl_acetate"), air) / published_rate(id));
    squares += error * error;
  }
  return std::sqrt(squares / static_cast<double>(rated.size()));
}
Draught with_heat(double ratio) {
  Draught air;
  air.heat_ratio = ratio;
  return air;
}

TEST(EvaporationRates, EachStepOfTheModelComesNearerToThePublished) {
  const double isothermal = scatter(with_heat(1e6)), self_cooled = scatter(with_heat(1)), full = scatter(Draught{});
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

TEST(Evaporating, MoreAirNeverDriesSlowerAndIsothermalIsFastest) {
  double last = 0;
  for (double h_W_m2K : {2.0, 5.0, 10.0, 30.0}) {
    Draught air;
    air.heat_coefficient_W_m2K = h_W_m2K;
    const VolatileAmount film[]{{solvent("toluene"), 1.0}};
    const double flux = evaporating(film, air).flux_mol_m2s[0];
    EXPECT_GT(flux, last);
    EXPECT_LT(flux, isothermal_flux_mol_m2s(film, air)[0]);
    last = flux;
  }
}

TEST(Evaporate, LosesItsFastPartFirstAndKeepsItsShares) {
  const std::vector<Volatile> blend{solvent("acetone"), solvent("toluene"), solvent("butyl_glycol")};
  const std::vector<double> shares{0.4, 0.5, 0.1};
  const EvaporationRun run = evaporate(laid(blend, shares, 80e-6), Draught{});
  ASSERT_GT(run.moments.size(), 50u);
  EXPECT_NEAR(run.moments.front().left_fraction, 1, 1e-12);
  double left = 1.1;
  for (const EvaporationMoment& moment : run.moments) {
    double sum = 0;
    for (const double share : moment.volume_fraction) {
      EXPECT_GE(share, 0);
      sum += share;
    }
    EXPECT_NEAR(sum, 1, 1e-12);
    EXPECT_LT(moment.left_fraction, left);
    EXPECT_LE(moment.film_temperature_K, Draught{}.temperature_K);
    left = moment.left_fraction;
  }
  EXPECT_GT(run.moments.back().volume_fraction[2], 0.9);
  EXPECT_LT(*run.time_to_lose_s(0.1), *run.time_to_lose_s(0.5));
  EXPECT_LT(*run.time_to_lose_s(0.5), *run.time_to_lose_s(0.9));
}

// A pure solvent leaves at a steady rate: its film must be gone when volume over rate says.
TEST(Evaporate, APureSolventLeavesAtASteadyRate) {
  const std::vector<Volatile> one{solvent("toluene")};
  const std::vector<VolatileAmount> film = laid(one, std::vector<double>{1.0}, 50e-6);
  const double rate_m_s =
      evaporating(film, Draught{}).flux_mol_m2s[0] * one[0].molar_mass_kg_mol / one[0].density_kg_m3;
  const EvaporationRun run = evaporate(film, Draught{});
  EXPECT_NEAR(*run.time_to_lose_s(0.5), 25e-6 / rate_m_s, 1e-3 * 25e-6 / rate_m_s);
  EXPECT_NEAR(*run.time_to_lose_s(0.9), 45e-6 / rate_m_s, 1e-3 * 45e-6 / rate_m_s);
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
}  // namespace witnessline

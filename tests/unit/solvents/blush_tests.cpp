// Blush of both kinds, and thinners from the shelf.
#include <gtest/gtest.h>

#include <cmath>

#include "base/parallel.h"
#include "materials/air.h"
#include "solvents/thinner.h"

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
FilmFormer lacquer() { return *film_former_of(*library().find("nitrocellulose_lacquer")); }
const Airflow shop = airflow_along(294.15, 0.3);

struct Laid {
  Solution solution;
  WetFilm film;
};
Laid laid(const std::vector<std::string>& ids, const std::vector<double>& share, FilmFormer former = lacquer()) {
  std::vector<Volatile> solvents;
  WetFilm film{{}, 9e-6};
  for (std::size_t i = 0; i < ids.size(); ++i) {
    solvents.push_back(solvent(ids[i]));
    film.solvent_m.push_back(91e-6 * share[i]);
  }
  return {Solution(solvents, std::move(former), 294.15), film};
}
EvaporationRun dried(const Laid& coat, const Airflow& air = shop) {
  return evaporate(coat.solution, coat.film, air, 0.02);
}
Moisture moisture_at(const Laid& coat, double relative_humidity) {
  Airflow damp = shop;
  damp.relative_humidity = relative_humidity;
  return moisture_of(dried(coat, damp), damp);
}

TEST(Blush, ADiluentThatStaysLongestThrowsTheFilmFormerOut) {
  const Laid good = laid({"mek", "toluene", "methyl_amyl_ketone"}, {0.3, 0.3, 0.4});
  const EvaporationRun run = dried(good);
  const Solubility stays = solubility_along(run, good.solution);
  const Laid bad = laid({"mek", "xylene"}, {0.6, 0.4});
  const Solubility falls = solubility_along(dried(bad), bad.solution);
  EXPECT_EQ(falls.first.staying, Staying::stays);
  EXPECT_EQ(falls.worst.staying, Staying::falls_out);
  EXPECT_GT(falls.worst_at_s, 0);
  EXPECT_EQ(stays.worst.staying, Staying::stays);
  EXPECT_LT(stays.worst.strain, falls.worst.strain);
  EXPECT_EQ(stays.difference.size(), run.moments.size());
  EXPECT_EQ(staying_of(0.95), Staying::unsure);
}

// Classes of solvents of nitrocellulose as handbooks print them: ketones, esters and glycol ethers dissolve it,
// alcohols only together with those, hydrocarbons only thin. Source: nitrocellulose_maker, doolittle1938 (alcohols as
// couplers). The sphere of solubility parameters puts butyl acetate and butanol at one distance.
TEST(Solvency, NitrocelluloseByItsPublishedClasses) {
  struct Row {
    const char* solvent;
    SolventClass held;
    Staying alone;
  };
  for (const Row& row : {Row{"acetone", SolventClass::true_solvent, Staying::stays},
                         {"mek", SolventClass::true_solvent, Staying::stays},
                         {"mibk", SolventClass::true_solvent, Staying::stays},
                         {"methyl_amyl_ketone", SolventClass::true_solvent, Staying::stays},
                         {"ethyl_acetate", SolventClass::true_solvent, Staying::stays},
                         {"isopropyl_acetate", SolventClass::true_solvent, Staying::stays},
                         {"butyl_acetate", SolventClass::true_solvent, Staying::stays},
                         {"isobutyl_acetate", SolventClass::true_solvent, Staying::stays},
                         {"pm_acetate", SolventClass::true_solvent, Staying::stays},
                         {"butyl_glycol", SolventClass::true_solvent, Staying::stays},
                         {"diacetone_alcohol", SolventClass::true_solvent, Staying::stays},
                         {"ethanol", SolventClass::latent_solvent, Staying::falls_out},
                         {"isopropanol", SolventClass::latent_solvent, Staying::falls_out},
                         {"butanol", SolventClass::latent_solvent, Staying::falls_out},
                         {"isobutanol", SolventClass::latent_solvent, Staying::falls_out},
                         {"toluene", SolventClass::diluent, Staying::falls_out},
                         {"xylene", SolventClass::diluent, Staying::falls_out},
                         {"heptane", SolventClass::diluent, Staying::falls_out},
                         {"mineral_spirits", SolventClass::diluent, Staying::falls_out},
                         {"water", SolventClass::non_solvent, Staying::falls_out}}) {
    EXPECT_EQ(solvent_class(Binder::nitrocellulose, solvent(row.solvent)), row.held) << row.solvent;
    const Volatile one = solvent(row.solvent);
    const double whole[]{1.0};
    EXPECT_EQ(BlendJudge({&one, 1}, lacquer()).of(whole).staying, row.alone) << row.solvent;
  }
}

// Dilution ratios as printed: at the ratio the load is 1, so that half of it stays and double of it falls out.
TEST(Solvency, PublishedDilutionRatiosAreTheBorder) {
  struct Row {
    const char *true_solvent, *diluent;
    double ratio;  // Source: nitrocellulose_maker
  };
  for (const Row& row : {Row{"butyl_acetate", "toluene", 2.7},
                         {"butyl_acetate", "xylene", 2.7},
                         {"butyl_acetate", "naphtha", 1.5},
                         {"butyl_acetate", "butanol", 10},
                         {"mibk", "toluene", 3.6},
                         {"mibk", "naphtha", 0.8}}) {
    const std::vector<Volatile> pair{solvent(row.true_solvent), solvent(row.diluent)};
    const BlendJudge judge(pair, lacquer());
    const auto at = [&](double ratio) {
      const double blend[]{1 / (1 + ratio), ratio / (1 + ratio)};
      return judge.of(blend);
    };
    EXPECT_NEAR(*at(row.ratio).load, 1, 1e-9) << row.true_solvent << " " << row.diluent;
    EXPECT_EQ(at(0.5 * row.ratio).staying, Staying::stays);
    EXPECT_EQ(at(row.ratio).staying, Staying::unsure);
    EXPECT_EQ(at(2 * row.ratio).staying, Staying::falls_out);
  }
}

Laid usual() { return laid({"acetone", "toluene", "isopropanol", "butyl_acetate"}, {0.25, 0.35, 0.15, 0.25}); }

TEST(Blush, StandardThinnerStaysClearToTheEnd) {
  const Laid coat = usual();
  EXPECT_EQ(solubility_along(dried(coat), coat.solution).worst.staying, Staying::stays);
}

TEST(Blush, HumidityLimitsAreWhereTheWaterBegins) {
  const Laid coat = usual();
  const HumidityLimits limits = humidity_limits(coat.solution, coat.film, shop);
  EXPECT_GT(limits.no_mist, 0.2);
  EXPECT_LT(limits.no_mist, limits.no_blush);
  EXPECT_LT(limits.no_blush, 1);
  EXPECT_EQ(moisture_at(coat, limits.no_mist - 0.01).most_water_kg_m2, 0);
  EXPECT_GT(moisture_at(coat, limits.no_mist + 0.02).most_water_kg_m2, 0);
  EXPECT_EQ(moisture_at(coat, limits.no_blush - 0.01).water_when_set_kg_m2, 0);
  EXPECT_GT(moisture_at(coat, limits.no_blush + 0.01).water_when_set_kg_m2, 0);
  EXPECT_NEAR(moisture_at(coat, limits.no_mist).least_margin_K, 0, 0.1);
  for (const double humidity : {0.1, 0.5, 0.99}) EXPECT_LE(moisture_at(coat, humidity).dew_point_K, shop.temperature_K);
  // Not looked for above what is asked.
  EXPECT_LE(humidity_limits(coat.solution, coat.film, shop, 0.5).no_blush, 0.5);
}

// Bench rules, read in several texts: without retarder nitrocellulose is not sprayed above 60 to 65 % humidity; the air
// wants to be 11 K above its dew point; lacquer cools a surface by as much as 11 K; a tenth of retarder is the remedy.
TEST(Blush, AgreesWithTheRulesOfTheBench) {
  const Laid coat = usual();
  const HumidityLimits limits = humidity_limits(coat.solution, coat.film, shop);
  EXPECT_LE(limits.no_mist, 0.60);
  EXPECT_GE(limits.no_blush, 0.60);
  const double cooling_K = shop.temperature_K - dried(coat).coldest_K();
  EXPECT_NEAR(cooling_K, 11, 4);
  // With that margin over the dew point no water stays.
  const double ruled = saturation_pressure_Pa(shop.temperature_K - 11) / saturation_pressure_Pa(shop.temperature_K);
  EXPECT_LT(ruled, limits.no_blush);
}

TEST(Blush, TheHeatOfTheWaterThatSettlesWarmsTheFilm) {
  const Laid coat = usual();
  const double dry_K = dried(coat).coldest_K();
  Airflow damp = shop;
  damp.relative_humidity = 0.9;
  EXPECT_GT(dried(coat, damp).coldest_K(), dry_K + 1);
  // At every moment its heat is in the balance: h x ratio x (air - film) = solvents' heat - water's.
  const OpenFace face(coat.solution.solvents(), damp);
  const double activity[]{0.3, 0.3, 0.2, 0.2};
  const double film_K = face.film_temperature_K(activity);
  double flux[4];
  face.flux_mol_m2s(activity, film_K, flux);
  double heat_W_m2 = 43.99e3 * face.water_flux_mol_m2s(film_K);
  EXPECT_LT(heat_W_m2, 0);
  for (std::size_t i = 0; i < 4; ++i) heat_W_m2 += flux[i] * coat.solution.solvents()[i].heat_of_vaporisation_J_mol;
  EXPECT_NEAR(damp.heat_ratio * damp.heat_coefficient_W_m2K * (damp.temperature_K - film_K), heat_W_m2, 1e-3);
}

// What every finisher does on a damp day: a tenth of a slow solvent buys humidity.
TEST(Blush, ARetarderBuysHumidity) {
  const auto limit = [](double retarder) {
    const double rest = 1 - retarder;
    const Laid coat = laid({"acetone", "toluene", "isopropanol", "butyl_acetate", "butyl_glycol"},
                           {0.25 * rest, 0.35 * rest, 0.15 * rest, 0.25 * rest, retarder});
    return humidity_limits(coat.solution, coat.film, shop).no_blush;
  };
  EXPECT_GT(limit(0.05), limit(0));
  EXPECT_GT(limit(0.15), limit(0.05));
}

FilmFormer dispersion() { return *film_former_of(*library().find("water_borne_lacquer")); }

// A wet thermometer is a water film that no other heat reaches. Source of the values: ashrae2017 equations 33 and 35.
TEST(WaterBorne, ItsFilmIsAtTheWetBulb) {
  const Volatile water = solvent("water");
  const double pure[]{1.0};
  struct Row {
    double air_degC, humidity, wet_bulb_degC;
  };
  for (const Row& row : {Row{18, 0.65, 14.029},
                         {20, 0.5, 13.783},
                         {21, 0.4, 13.127},
                         {21, 0.5, 14.605},
                         {21, 0.65, 16.684},
                         {24, 0.7, 20.060},
                         {28, 0.8, 25.205},
                         {30, 0.8, 27.091}}) {
    Airflow air;
    air.temperature_K = 273.15 + row.air_degC, air.relative_humidity = row.humidity, air.heat_ratio = 1;
    EXPECT_NEAR(OpenFace({&water, 1}, air).film_temperature_K(pure) - 273.15, row.wet_bulb_degC, 0.5)
        << row.air_degC << " degC, " << row.humidity;
  }
}

TEST(WaterBorne, DriesIntoHumidAirEverSlowerAndNotAtAllAtSaturation) {
  const Laid coat = laid({"water", "butyl_glycol"}, {0.9, 0.1}, dispersion());
  double last_s = 0;
  for (const double humidity : {0.1, 0.4, 0.6, 0.8, 0.9}) {
    Airflow air = shop;
    air.relative_humidity = humidity;
    const std::optional<double> half_s = dried(coat, air).time_to_lose_s(0.5);
    ASSERT_TRUE(half_s) << humidity;
    EXPECT_GT(*half_s, 1.2 * last_s) << humidity;
    last_s = *half_s;
  }
  Airflow saturated = shop;
  saturated.relative_humidity = 1;
  const EvaporationRun never = dried(coat, saturated);
  EXPECT_FALSE(never.time_to_lose_s(0.5));
  const Volatile water = solvent("water");
  const double pure[]{1.0};
  double flux[1];
  const OpenFace face({&water, 1}, saturated);
  EXPECT_NEAR(face.film_temperature_K(pure), saturated.temperature_K, 1e-6);
  face.flux_mol_m2s(pure, saturated.temperature_K, flux);
  EXPECT_NEAR(flux[0], 0, 1e-12);
}

TEST(WaterBorne, HasNoDewBlush) {
  const Laid coat = laid({"water", "butyl_glycol"}, {0.9, 0.1}, dispersion());
  const HumidityLimits limits = humidity_limits(coat.solution, coat.film, shop);
  EXPECT_EQ(limits.no_mist, 1);
  EXPECT_EQ(limits.no_blush, 1);
  for (const double humidity : {0.5, 0.9}) EXPECT_EQ(moisture_at(coat, humidity).most_water_kg_m2, 0);
}

TEST(Blush, StillAirGivesLeastHeatAndMoreAirNeverLess) {
  double last = 0;
  for (const double speed_m_s : {0.0, 0.1, 0.3, 1.0, 3.0}) {
    const double h = airflow_along(294.15, speed_m_s).heat_coefficient_W_m2K;
    EXPECT_GT(h, last);
    last = h;
  }
}

std::vector<ShelfSolvent> shelf() {
  std::vector<ShelfSolvent> all;
  for (const Material& material : library().all())
    if (material.role == Role::solvent && material.id != "water")
      if (const Result<Volatile> one = volatile_of(material)) all.push_back({*one, 4.0 + 0.1 * double(all.size())});
  return all;
}
SprayedFilm film() { return {lacquer(), 0.09, 100e-6, airflow_along(294.15, 0.3, 0.6)}; }

TEST(Thinner, AnswersAreRankedUnlikeEachOtherAndSayWhyTheyLose) {
  const std::vector<ShelfSolvent> on_shelf = shelf();
  ASSERT_GE(on_shelf.size(), 18u);
  const std::vector<ThinnerTrial> answers = design_thinner(on_shelf, film(), {}, 4);
  ASSERT_EQ(answers.size(), 4u);
  EXPECT_TRUE(answers[0].loses.empty());
  for (std::size_t n = 0; n < answers.size(); ++n) {
    double sum = 0;
    for (const double share : answers[n].volume_fraction) {
      EXPECT_GE(share, 0);
      sum += share;
    }
    EXPECT_NEAR(sum, 1, 1e-12);
    if (n == 0) continue;
    EXPECT_GE(answers[n].blame, answers[n - 1].blame);
    EXPECT_FALSE(answers[n].loses.empty());
  }
  EXPECT_TRUE(answers[0].faults.empty());
  EXPECT_EQ(answers[0].worst.staying, Staying::stays);
}

// No blend of the same tenths out of a small shelf, all tried in full, is better than the one the search picks.
TEST(Thinner, MissesNoBetterBlendOfASmallShelf) {
  std::vector<ShelfSolvent> small;
  for (const char* id : {"acetone", "toluene", "butyl_acetate", "methyl_amyl_ketone"})
    small.push_back({solvent(id), 5.0});
  const ThinnerWishes wishes;
  double best = 1e300;
  for (int a = 0; a <= 10; ++a)
    for (int b = 0; a + b <= 10; ++b)
      for (int c = 0; a + b + c <= 10; ++c)
        best = std::min(
            best, try_thinner(small, {a / 10.0, b / 10.0, c / 10.0, (10 - a - b - c) / 10.0}, film(), wishes).blame);
  EXPECT_LE(design_thinner(small, film(), wishes, 1)[0].blame, best + 1e-9);
}

TEST(Thinner, TheSameAtAnyNumberOfThreads) {
  use_threads(1);
  const std::vector<ThinnerTrial> one = design_thinner(shelf(), film(), {}, 3);
  use_threads(0);
  const std::vector<ThinnerTrial> all = design_thinner(shelf(), film(), {}, 3);
  for (std::size_t n = 0; n < one.size(); ++n) EXPECT_EQ(one[n].volume_fraction, all[n].volume_fraction);
}

}  // namespace
}  // namespace witnessline::solvents

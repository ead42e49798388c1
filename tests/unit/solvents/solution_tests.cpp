// Activities: thermodynamics that must hold whatever the numbers.
#include <gtest/gtest.h>

#include <cmath>

#include "solvents/evaporation.h"

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
const std::vector<std::string> names{"acetone", "toluene", "isopropanol", "butyl_acetate"};
Solution solution(Mixing mixing, bool with_film_former) {
  std::vector<Volatile> solvents;
  for (const std::string& id : names) solvents.push_back(solvent(id));
  return {solvents, with_film_former ? film_former_of(*library().find("nitrocellulose_lacquer")) : std::nullopt, 298.15,
          mixing};
}

// Where a hydrocarbon's own constants are on file (poling2001), those worked out from its boiling point come within a
// tenth of its vapour pressure at 25 degC and of its heat of vaporisation (crc_handbook); esters and ketones read high.
TEST(Volatile, ABoilingPointStandsInForMissingConstants) {
  const auto over_own = [](const char* id) {
    const Material& material = *library().find(id);
    const Antoine stand_in = antoine_by_boiling_point(material.find(Property::boiling_point)->value);
    const Volatile own = solvent(id);
    EXPECT_NEAR(boiling_point_K(stand_in, 101325), material.find(Property::boiling_point)->value, 1e-6);
    EXPECT_NEAR(heat_of_vaporisation_J_mol(stand_in, 298.15) / own.heat_of_vaporisation_J_mol, 1, 0.1) << id;
    return vapour_pressure_Pa(stand_in, 298.15) / vapour_pressure_Pa(own.antoine, 298.15);
  };
  for (const char* id : {"toluene", "xylene", "m_xylene", "p_xylene", "heptane"})
    EXPECT_NEAR(over_own(id), 1, 0.1) << id;
  for (const char* id : {"ethyl_acetate", "butyl_acetate", "mibk", "methyl_amyl_ketone"}) {
    EXPECT_GT(over_own(id), 1) << id;
    EXPECT_LT(over_own(id), 1.27) << id;
  }
}

// Rates on the butyl acetate scale (solvent_handbooks) of what has no constants on file. A cut is timed until nine
// tenths are gone, its heavy end with it: ours, that of its middle, is the faster.
TEST(Volatile, StandInsEvaporateAsFastAsIsPublished) {
  const auto ours = [](const char* id) {
    EXPECT_FALSE(solvent(id).stood_in.empty());
    return relative_evaporation_rate(solvent(id), solvent("butyl_acetate"));
  };
  const auto published = [](const char* id) { return *library().find(id)->find(Property::evaporation_rate); };
  for (const char* id : {"turpentine", "styrene"})
    EXPECT_NEAR(ours(id), published(id).value, 2 * published(id).sd) << id;
  EXPECT_GT(ours("mineral_spirits"), published("mineral_spirits").value);
  EXPECT_LT(ours("mineral_spirits"), 3 * published("mineral_spirits").value);
  EXPECT_FALSE(volatile_of(*library().find("methanol")));
}

// ln of the activities of these amounts beside a fixed amount of film former.
std::vector<double> ln_activities(const Solution& in, const std::vector<double>& amount_mol, double film_former_m3) {
  std::vector<double> volume_m3, activity(amount_mol.size());
  double whole_m3 = film_former_m3;
  for (std::size_t i = 0; i < amount_mol.size(); ++i) {
    volume_m3.push_back(amount_mol[i] * in.solvents()[i].molar_volume_m3_mol());
    whole_m3 += volume_m3.back();
  }
  for (double& one : volume_m3) one /= whole_m3;
  in.activities(volume_m3, activity);
  for (double& one : activity) one = std::log(one);
  return activity;
}

// Activities that come from one free energy: d ln a_i/dn_j = d ln a_j/dn_i. Any slip in a derivative breaks it.
TEST(Solution, ActivitiesComeFromOneFreeEnergy) {
  for (const Mixing mixing : {Mixing::regular, Mixing::groups})
    for (const double film_former_m3 : {0.0, 1e-4, 1e-3}) {
      const Solution in = solution(mixing, film_former_m3 > 0);
      const std::vector<double> amount_mol{1.0, 2.0, 0.7, 1.5};
      constexpr double step = 1e-4;
      std::vector<std::vector<double>> slope;
      for (std::size_t j = 0; j < amount_mol.size(); ++j) {
        std::vector<double> more = amount_mol, less = amount_mol;
        more[j] += step, less[j] -= step;
        const std::vector<double> up = ln_activities(in, more, film_former_m3),
                                  down = ln_activities(in, less, film_former_m3);
        slope.emplace_back();
        for (std::size_t i = 0; i < up.size(); ++i) slope.back().push_back((up[i] - down[i]) / (2 * step));
      }
      for (std::size_t i = 0; i < amount_mol.size(); ++i)
        for (std::size_t j = 0; j < i; ++j) EXPECT_NEAR(slope[i][j], slope[j][i], 1e-6) << i << " " << j;
    }
}

TEST(Solution, APureSolventHasActivityOneAndAnAbsentOneNone) {
  for (const Mixing mixing : {Mixing::ideal, Mixing::regular, Mixing::groups})
    for (std::size_t i = 0; i < names.size(); ++i) {
      std::vector<double> share(names.size(), 0.0), activity(names.size());
      share[i] = 1;
      solution(mixing, false).activities(share, activity);
      for (std::size_t j = 0; j < names.size(); ++j) EXPECT_NEAR(activity[j], i == j ? 1 : 0, 1e-12);
    }
}

// One solvent and a film former is the textbook's equation: ln a = ln phi + (1 - phi) + chi (1 - phi)^2.
TEST(Solution, OneSolventIsFloryAndHuggins) {
  const Volatile mek = solvent("mek");
  const FilmFormer former = *film_former_of(*library().find("nitrocellulose_lacquer"));
  const double chi = flory_interaction(mek, former.hansen, 298.15);
  for (const Mixing mixing : {Mixing::regular, Mixing::groups})
    for (const double phi : {0.05, 0.3, 0.9}) {
      double activity[1];
      Solution({mek}, former, 298.15, mixing).activities({&phi, 1}, activity);
      EXPECT_NEAR(std::log(activity[0]), std::log(phi) + 1 - phi + chi * (1 - phi) * (1 - phi), 1e-12);
    }
}

TEST(Solution, FallsBackWhereASolventHasNoGroups) {
  Volatile strange = solvent("toluene");
  strange.groups = {};
  EXPECT_EQ(Solution({strange, solvent("acetone")}, std::nullopt, 298.15).mixing(), Mixing::regular);
  EXPECT_EQ(Solution({solvent("toluene")}, std::nullopt, 298.15).mixing(), Mixing::groups);
}

}  // namespace
}  // namespace witnessline::solvents

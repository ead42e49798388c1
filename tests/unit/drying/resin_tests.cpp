// How fast solvents move in a film, one against the other.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "drying/resin.h"

namespace witnessline::drying {
namespace {

// Newman and Nunn weighed films and put solvents in the order in which they stay (newman1975, from memory: the order of
// those on our list, least kept first). Volume alone explains part of it: slender molecules (heptane, butyl glycol)
// leave sooner than theirs says, branched ones later.
TEST(Resin, SolventsStayInTheOrderWeighed) {
  const Result<Library> library = read_library(PROJECT_FOLDER "/data");
  ASSERT_TRUE(library);
  const std::vector<std::string> weighed{"acetone",          "mek",     "ethyl_acetate", "heptane", "butyl_glycol",
                                         "butyl_acetate",    "toluene", "xylene",        "mibk",    "isobutyl_acetate",
                                         "diacetone_alcohol"};
  std::vector<std::pair<double, double>> ours;  // diffusivity, place
  for (std::size_t place = 0; place < weighed.size(); ++place) {
    const Result<FilmSolvent> solvent = film_solvent_of(*library->find(weighed[place]));
    ASSERT_TRUE(solvent);
    const Resin resin = resin_of(*library->find("nitrocellulose_lacquer"), *solvent);
    ours.emplace_back(-film_diffusivity_m2_s(0.05, resin, *solvent, {}, 294.15), static_cast<double>(place));
  }
  std::sort(ours.begin(), ours.end());
  const auto count = static_cast<double>(ours.size());
  double squares = 0;
  for (std::size_t i = 0; i < ours.size(); ++i) squares += std::pow(ours[i].second - static_cast<double>(i), 2);
  const double rank = 1 - 6 * squares / (count * (count * count - 1));
  std::printf("rank correlation with the order weighed %.2f; fastest over slowest %.3g\n", rank,
              ours.front().first / ours.back().first);
  EXPECT_GT(rank, 0.4);
  EXPECT_EQ(ours.front().second, 0) << "acetone goes first";
}

// Butyl acetate is the measure: for it nothing but the two figures themselves stands there.
TEST(Resin, ButylAcetateIsTheMeasure) {
  const Result<Library> library = read_library(PROJECT_FOLDER "/data");
  ASSERT_TRUE(library);
  const Result<FilmSolvent> solvent = film_solvent_of(*library->find("butyl_acetate"));
  ASSERT_TRUE(solvent);
  const Resin resin = resin_of(*library->find("nitrocellulose_lacquer"), *solvent);
  EXPECT_NEAR(film_diffusivity_m2_s(1.0, resin, *solvent, {}, 294.15), 1e-9, 2e-12);
}

// Shellac's hold was fitted to ethanol and also slowed butyl acetate: a slab bass kept 18.6 % of it at eight weeks.
TEST(Resin, ShellacHoldsAlcoholsAndNoEster) {
  const Result<Library> library = read_library(PROJECT_FOLDER "/data");
  ASSERT_TRUE(library);
  const Material& shellac = *library->find("shellac");
  for (const char* id : {"ethanol", "isopropanol", "butanol"})
    EXPECT_GT(resin_of(shellac, *film_solvent_of(*library->find(id))).hold, 1.2) << id;
  for (const char* id : {"butyl_acetate", "acetone", "mek", "toluene", "ethyl_acetate"})
    EXPECT_EQ(resin_of(shellac, *film_solvent_of(*library->find(id))).hold, 1.0) << id;
}

// What stands in holes of the glass and what moves are the whole (vieth1965).
TEST(Resin, KeptAndMobileSolventAreTheWhole) {
  for (const double kept : {0.0, 0.01, 0.04})
    for (const double p : {0.0, 0.001, 0.02, 0.1, 0.6}) {
      const double moves = mobile_fraction(p, kept);
      EXPECT_NEAR(with_kept(moves, kept), p, 1e-12);
      EXPECT_NEAR(mobile_share(p, kept), (mobile_fraction(p + 1e-7, kept) - moves) / 1e-7, 1e-4);
    }
  const Resin lacquer{318.15, 1300, 0.48, 0, false};
  EXPECT_EQ(kept_in_glass(lacquer, 0.03, 330.0), 0.0) << "no glass, no holes";
  EXPECT_EQ(kept_in_glass(lacquer, 0.03, 294.15), 0.03);
}

}  // namespace
}  // namespace witnessline::drying

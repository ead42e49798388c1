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

}  // namespace
}  // namespace witnessline::drying

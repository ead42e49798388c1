#include "match/match.h"

#include <gtest/gtest.h>

#include <cmath>
#include <set>

#include "bench_shelf.h"
#include "match/correct.h"
#include "match/recipe.h"
#include "optics/reflectance.h"

namespace witnessline::match {
namespace {

const Weighing usual{0.25, 0.00001 * 10, 0.2};  // 250 g on a scale of 0.1 g

bool refused(const Result<Match>& found, const char* key, const char* word) {
  if (found) return false;
  for (const Error& e : found.errors())
    if (e.where.key == key && e.text().find(word) != std::string::npos) return true;
  return false;
}

TEST(Match, bad_input_is_named) {
  const std::vector<Tin> shelf = invented_shelf(6);
  const LaidFilm laying = invented_laying();
  const Aim aim = invented_aim(shelf, laying, 0);
  Aim dark = aim;
  dark.lamps.clear();
  EXPECT_TRUE(refused(match(shelf, dark, laying, usual), "lamps", "no lamp"));
  Aim twice = aim;
  twice.lamps = {{Lamp::A, 1}, {Lamp::A, 1}};
  EXPECT_TRUE(refused(match(shelf, twice, laying, usual), "lamps", "twice"));
  Aim nan = aim;
  nan.reflectance[7] = std::nan("");
  EXPECT_TRUE(refused(match(shelf, nan, laying, usual), "target", "not a reflectance"));
  Aim per_cent = aim;
  for (double& r : per_cent.reflectance.at) r *= 100;
  EXPECT_TRUE(refused(match(shelf, per_cent, laying, usual), "target", "per cent"));
  const auto too_light = match(shelf, three_lamps(flat_reflectance(1.2)), laying, usual);
  EXPECT_TRUE(refused(too_light, "target", "120 %"));
  Aim fluorescent = aim;
  fluorescent.reflectance[6] = 1.1;
  const auto glows = match(shelf, fluorescent, laying, usual);
  ASSERT_TRUE(glows);
  EXPECT_TRUE(std::any_of(glows->notes.begin(), glows->notes.end(),
                          [](const Note& n) { return n.text.find("fluoresces") != std::string::npos; }));
  std::vector<Tin> negative = shelf;
  negative[2].left_kg = -0.01;
  EXPECT_TRUE(refused(match(negative, aim, laying, usual), "shelf[3].volume_mL", "below zero"));
  std::vector<Tin> noisy = shelf;
  noisy[1].absorption_per_m[4] = -1;
  EXPECT_TRUE(refused(match(noisy, aim, laying, usual), "shelf[2]", "below zero"));
  EXPECT_TRUE(refused(match(invented_shelf(41), aim, laying, usual), "shelf", "41"));
  EXPECT_TRUE(refused(match({}, aim, laying, usual), "shelf", "nothing"));
  LaidFilm none = laying;
  none.film_m = 0;
  EXPECT_TRUE(refused(match(shelf, three_lamps(flat_reflectance(0.9)), none, usual), "film_um", "thickness"));
  EXPECT_TRUE(refused(match(shelf, aim, laying, {10, 0.0001, 0.2}), "batch_g", "left"));
  EXPECT_TRUE(refused(match(shelf, aim, laying, {0.25, 0, 0.2}), "scale_g", "resolution"));
  Aim aged = aim;
  aged.when = MatchWhen::as_aged;
  EXPECT_TRUE(refused(match(shelf, aged, laying, usual), "when", "clear"));

  std::vector<Tin> unseparated = shelf;
  unseparated[0].separated = false;
  const auto without = match(unseparated, aim, laying, usual);
  ASSERT_TRUE(without);
  EXPECT_TRUE(std::any_of(without->notes.begin(), without->notes.end(),
                          [&](const Note& n) { return n.about == shelf[0].name; }));
  for (const Recipe& r : without->recipes)
    for (const Pour& p : r.pours) EXPECT_NE(p.tin, 0u);
}

TEST(Match, random_shelves_never_give_what_is_no_number) {
  for (std::uint64_t i = 0; i < 12; ++i) {
    std::vector<Tin> shelf = invented_shelf(3 + i % 4);
    for (Tin& t : shelf)
      for (int b = 0; b < bands; ++b) {
        if (i % 3 == 0) t.scattering_per_m[b] = 0;  // dyes alone
        if (i % 3 == 1) t.absorption_per_m[b] *= 1e3;
      }
    const LaidFilm laying = invented_laying(i % 2 ? 1e-7 : 5e-3);
    const auto found = match(shelf, invented_aim(invented_shelf(9), invented_laying(), i), laying, usual);
    ASSERT_TRUE(found);
    for (const Recipe& r : found->recipes) {
      EXPECT_TRUE(std::isfinite(r.closeness) && std::isfinite(r.metamerism) && std::isfinite(r.smallest_batch_kg));
      for (const double v : r.reflectance.at) EXPECT_TRUE(v >= 0 && v <= 1);
    }
  }
}

}  // namespace
}  // namespace witnessline::match

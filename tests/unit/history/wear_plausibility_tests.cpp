#include "history/wear_in_words.h"

#include <gtest/gtest.h>

#include <cmath>

#include "bench/columns.h"
#include "bench/existing.h"
#include "shapes/bench_bodies.h"
#include "shapes/slab_bass.h"

namespace witnessline::history {
namespace {

using namespace shapes;

const Library& library() {
  static const Library held = shelf();
  return held;
}

const Bench& bench() {
  static const Bench held = [] {
    const std::vector<SurveyFact> survey{{Fact::loose_patch, {0.06f, 0.05f, 1.0f}, 0.01, 0, "bubble by the bridge"},
                                         {Fact::loose_patch, {0.0f, 0.21f, -1.0f}, 0.01, 0, "flaking"}};
    Bench b{slab_bass(5e-3, {}, survey), library(), {nullptr}, {}, {}, 7};
    b.lives["usual"] = usual_life();
    return b;
  }();
  return held;
}

Run run_of(const std::vector<Step>& steps) {
  const Result<Film> film = existing_film({{"varnish", "spirit_varnish", Origin::original, 15e-6, 0, 0, {}},
                                           {"lacquer", "lacquer", Origin::original, 50e-6, 0, 0, {}}},
                                          bench(), 0);
  Plan plan{"p", "", "", {}};
  for (const Step& step : steps) plan.steps.push_back({"s" + std::to_string(plan.steps.size()), "", step});
  Result<Run> done = run(plan, *film, bench());
  if (!done) throw std::runtime_error(done.errors()[0].text());
  return *done;
}

WearPlausibility judged(const std::vector<Step>& steps) {
  const auto found = wear_plausibility(run_of(steps), bench(), usual_life());
  if (!found) throw std::runtime_error(found.errors()[0].text());
  return *found;
}

Wear by_hand(double x_m, double y_m, double depth_m = 60e-6) {
  Wear wear;
  wear.depth_m = depth_m;
  wear.where.patches = {{x_m, y_m, {}, {}, 0.02, "front"}};
  wear.where.fade_m = 0.01;
  return wear;
}

TEST(WearPlausibility, WearOfTheLifeItselfIsExplained) {
  Wear lived;
  lived.life = "usual";
  const WearPlausibility b = judged({lived});
  EXPECT_GT(b.laid_m2, 20e-4);
  EXPECT_LT(b.unexplained_m2, 0.03 * b.laid_m2);
  EXPECT_LT(b.untouched_m2, 0.03 * b.laid_m2);
}

TEST(WearPlausibility, WearWhereNothingTouchesIsFlaggedAndWhereTheArmLiesIsNot) {
  const WearPlausibility odd = judged({by_hand(0.08, 0.06)});
  ASSERT_EQ(odd.unexplained.size(), 1u);
  EXPECT_NEAR(static_cast<double>(odd.unexplained[0].at.x), 0.08, 0.03);
  EXPECT_GT(odd.unexplained_m2, 0.8 * odd.laid_m2);
  // An ordinary life would have worn the arm's edge and more besides.
  ASSERT_FALSE(odd.untouched.empty());
  const auto arm = std::find_if(odd.untouched.begin(), odd.untouched.end(),
                                [](const WornPlace& p) { return p.most == static_cast<int>(Touch::forearm); });
  ASSERT_NE(arm, odd.untouched.end());
  const WearPlausibility right =
      judged({by_hand(static_cast<double>(arm->at.x), static_cast<double>(arm->at.y), 40e-6)});
  EXPECT_LT(right.unexplained_m2, 0.4 * right.laid_m2);
  const auto notes = notes_on_wear(odd);
  ASSERT_FALSE(notes.empty());
  EXPECT_NE(notes[0].text.find("no contact explains"), std::string::npos) << notes[0].text;
}

TEST(WearPlausibility, SlipsOfPaperAreKeptApart) {
  Sand sand;
  sand.grit = 220, sand.depth_m = 45e-6, sand.edge_factor = 4, sand.where.on = {"front treble", "edge treble"};
  const WearPlausibility b = judged({sand});
  ASSERT_EQ(b.by_work.size(), 1u);
  EXPECT_EQ(b.by_work[0].word, "sand");
  EXPECT_GT(b.by_work[0].area_m2, 1e-4);
}

Step strip() {
  Lift lift;
  lift.coat = "lacquer", lift.stop_at = "varnish", lift.where.on = {"front"};
  return lift;
}

Step sprayed(const char* mixture) {
  Spray spray;
  spray.mixture = mixture, spray.wet_m = 90e-6, spray.coats = 3;
  return spray;
}

// A strip is work: it is no wear, has no rings, and no life is held against what is laid afterwards.
TEST(WearPlausibility, AStripOfThePlanIsNotWear) {
  for (const std::vector<Step>& steps : {std::vector<Step>{strip()}, {strip(), sprayed("lacquer")}}) {
    const WearPlausibility b = judged(steps);
    EXPECT_FALSE(b.by_steps);
    EXPECT_EQ(b.laid_m2, 0);
    EXPECT_TRUE(b.unexplained.empty() && b.rings.empty() && b.edges.empty());
    EXPECT_TRUE(b.by_work.empty());
  }
  const WearPlausibility new_all_over = judged({sprayed("lacquer")});
  EXPECT_EQ(new_all_over.untouched_m2, 0) << "a new coat has not been played";
}

// A front bared and painted over, a cavity never finished: old finish that is missing there was not worn off.
TEST(WearPlausibility, WhatIsCoveredOrWasNeverFinishedIsNotWorn) {
  Where not_front;
  not_front.except = {"front"};
  const Result<Film> film = existing_film({{"lacquer", "lacquer", Origin::original, 50e-6, 0, 0, not_front},
                                           {"enamel", "spirit_varnish", Origin::later, 60e-6, 0, 0, {}}},
                                          bench(), 0);
  ASSERT_TRUE(film);
  const auto painted = wear_plausibility(*run({"p", "", "", {}}, *film, bench()), bench(), usual_life());
  ASSERT_TRUE(painted);
  EXPECT_EQ(painted->laid_m2, 0);
  const Result<Film> bare =
      existing_film({{"lacquer", "lacquer", Origin::original, 50e-6, 0, 0, not_front}}, bench(), 0);
  const auto bared = wear_plausibility(*run({"p", "", "", {}}, *bare, bench()), bench(), usual_life());
  ASSERT_TRUE(bared && !bared->unexplained.empty());
  EXPECT_NE(notes_on_wear(*bared)[0].text.find("sanded, stripped"), std::string::npos) << notes_on_wear(*bared)[0].text;
}

// Work that takes a coat off nearly all it cuts is a strip; a rub-through under opaque paint is out of sight.
TEST(WearPlausibility, AStripBySandingIsNoSlip) {
  Sand all;
  all.grit = 120, all.depth_m = 120e-6, all.edge_factor = 1, all.where.on = {"front"};
  EXPECT_TRUE(judged({all}).by_work.empty());
  Sand rest;
  rest.grit = 220, rest.depth_m = 20e-6, rest.edge_factor = 1, rest.where.on = {"front"};
  Lift most = std::get<Lift>(strip());
  most.residue_fraction = 0.3;
  EXPECT_TRUE(judged({most, rest}).by_work.empty()) << "what the scraper left";
}

TEST(WearPlausibility, WornThinnerIsNoRing) {
  const WearPlausibility b = judged({by_hand(0.08, 0.06, 30e-6)});
  ASSERT_EQ(b.rings.size(), 1u);
  EXPECT_EQ(b.rings[0].coat, "lacquer");
  EXPECT_FALSE(b.rings[0].width_m) << "30 um off 50 um shows nothing but lacquer";
}

TEST(WearPlausibility, PlacesAreNamedAsARulerFindsThem) {
  EXPECT_EQ(place_in_words(WornPlace{{0.0007f, 0.201f, 0}, {"back"}, 0, 0, 0, 0, -1}),
            "back; 200 mm up from the tail end, on the centre line");
  EXPECT_EQ(place_in_words(WornPlace{{-0.1618f, 0.001f, 0}, {"edge"}, 0, 0, 0, 0, -1}),
            "edge; at the tail end, 160 mm to the bass side");
}

TEST(WearPlausibility, ALoosePatchPassesForWearOnlyUnderContact) {
  const WearPlausibility b = judged({});
  ASSERT_EQ(b.loose.size(), 2u);
  EXPECT_FALSE(b.loose[0].may_pass_for_wear);
  EXPECT_TRUE(b.loose[1].may_pass_for_wear) << b.loose[1].place.contact_m;
}

// A cone of wear through two coats: the ring of the lower one is its thickness over the slope.
TEST(WearPlausibility, RingsAreAsWideAsTheCoatIsThickOverTheSlope) {
  bench::Run run = run_of({by_hand(0.08, 0.06)});
  Film& after = run.steps.back().film;
  const Film& before = run.steps.front().film;
  const double slope = 3e-6 / 1e-3;  // 3 um a millimetre
  const auto places = bench().body.positions();
  for (std::size_t l = 0; l < 2; ++l) {
    std::vector<float> dry(field_chunk);
    for (std::size_t c = 0; c < after.layers[l].dry_m.chunk_count(); ++c) {
      before.layers[l].dry_m.read(c, dry.data());
      for (std::size_t i = 0; i < after.layers[l].dry_m.chunk_size(c); ++i) {
        const Vec3 p = places[c * field_chunk + i];
        const double r_m = std::hypot(static_cast<double>(p.x), static_cast<double>(p.y) - 0.12);
        const double cut_m = p.z > 0.0195f ? std::max(0.0, 75e-6 - slope * r_m) : 0.0;
        const double lacquer_m = static_cast<double>(before.layers[1].dry_m[c * field_chunk + i]);
        dry[i] = static_cast<float>(l == 1 ? lacquer_m - cut_m
                                           : static_cast<double>(dry[i]) - std::max(0.0, cut_m - lacquer_m));
      }
      after.layers[l].dry_m.write(c, dry.data());
    }
  }
  const auto b = wear_plausibility(run, bench(), usual_life());
  ASSERT_TRUE(b);
  const auto ring =
      std::find_if(b->rings.begin(), b->rings.end(), [](const WornRing& r) { return r.coat == "varnish"; });
  ASSERT_NE(ring, b->rings.end());
  ASSERT_TRUE(ring->width_m);
  EXPECT_NEAR(*ring->width_m, 15e-6 / slope, 0.2 * 15e-6 / slope);
}

/// A cone of wear round a place of the front, `slope` deep a metre, `deep_m` at its middle.
std::vector<float> cone(Film& film, double y_m, double deep_m, double slope) {
  std::vector<float> worn(film.size(), 0.0f);
  const auto places = bench().body.positions();
  for (std::size_t v = 0; v < film.size(); ++v) {
    const Vec3 p = places[v];
    const double r_m = std::hypot(static_cast<double>(p.x), static_cast<double>(p.y) - y_m);
    if (p.z > 0.0195f) worn[v] = static_cast<float>(std::max(0.0, deep_m - slope * r_m));
  }
  over_columns(film, worn, [&](Columns& columns, MassBalance& books) {
    for (std::size_t i = 0; i < columns.size(); ++i)
      columns.cut(i, static_cast<double>(worn[columns.begin() + i]), 1, books);
  });
  return worn;
}

// A cone to the wood through 250 um: the film stands 250 um round it, and goes down over the cone's own run.
TEST(WornEdges, OldFinishUnderNewStandsAsAStep) {
  for (const double new_m : {180e-6, 30e-6}) {
    Result<Film> film = existing_film({{"old", "spirit_varnish", Origin::original, 70e-6, 0, 0, {}},
                                       {"new", "lacquer", Origin::later, new_m, 0, 0, {}}},
                                      bench(), 0);
    ASSERT_TRUE(film);
    const double film_m = 70e-6 + new_m, slope = film_m / 0.04;
    const std::vector<float> worn = cone(*film, 0.12, 1.5 * film_m, slope);
    const auto edges = worn_edges(worn, *film, bench().body);
    ASSERT_EQ(edges.size(), 1u);
    EXPECT_EQ(edges[0].shows, "wood");
    EXPECT_NEAR(edges[0].height_m, film_m, 0.05 * film_m) << "film alone: the floor is half a film deep in the wood";
    EXPECT_EQ(edges[0].high_m > stepped_m, new_m > 100e-6);
    EXPECT_NEAR(edges[0].over_m, 0.04 - 5e-6 / slope, 0.15 * 0.04);
    EXPECT_LE(edges[0].low_m, edges[0].height_m);
    EXPECT_LE(edges[0].height_m, edges[0].high_m);
  }
}

TEST(WornEdges, WhatIsNotGoneThroughHasNone) {
  Result<Film> film = existing_film({{"old", "spirit_varnish", Origin::original, 250e-6, 0, 0, {}}}, bench(), 0);
  ASSERT_TRUE(film);
  const std::vector<float> worn = cone(*film, 0.12, 200e-6, 3e-3);
  EXPECT_TRUE(worn_edges(worn, *film, bench().body).empty());
}

TEST(LeastSurprising, StartsWhereContactStartsAndCannotExceedIt) {
  const bench::Run run = run_of({});
  const auto some = most_plausible("varnish", 5e-4, run.steps[0].film, bench(), usual_life());
  ASSERT_TRUE(some);
  ASSERT_FALSE(some->places.empty());
  EXPECT_GE(some->places[0].most, 0);
  const auto more = most_plausible("varnish", 50e-4, run.steps[0].film, bench(), usual_life());
  EXPECT_GT(more->share, some->share);
  const auto all = most_plausible("varnish", 10, run.steps[0].film, bench(), usual_life());
  EXPECT_TRUE(std::isinf(all->share));
  EXPECT_FALSE(most_plausible("varnich", 5e-4, run.steps[0].film, bench(), usual_life()));
}

TEST(LivedDepths, NothingIsWornUnderAPart) {
  const auto nothing_done = run_of({});
  const Film& film = nothing_done.steps.back().film;
  Bench covered = bench();
  covered.shelter.assign(covered.body.size(), Shelter::open);
  for (std::size_t v = 0; v < covered.body.size(); ++v)
    if (covered.body.in(v, Region::front)) covered.shelter[v] = Shelter::under;
  const auto open = contact_wear_m(film, bench(), usual_life()), under = contact_wear_m(film, covered, usual_life());
  ASSERT_TRUE(open && under);
  double on_front_m = 0;
  for (std::size_t v = 0; v < covered.body.size(); ++v) {
    if (!covered.body.in(v, Region::front)) continue;
    on_front_m = std::max(on_front_m, static_cast<double>(open->at(v)));
    ASSERT_EQ(under->at(v), 0.0f);
  }
  EXPECT_GT(on_front_m, 1e-6);
}

}  // namespace
}  // namespace witnessline::history

#include <gtest/gtest.h>

#include <algorithm>

#include "bench/ageing_laws.h"
#include "bench/existing.h"
#include "optics/gloss.h"
#include "shapes/bench_bodies.h"
#include "shapes/slab_bass.h"

namespace witnessline::bench {
namespace {

using namespace shapes;

Bench bench_with(const Life& life) {
  static const Library held = shelf();
  return {torus(220, 63), held, {nullptr}, {}, {}, 7, {{life.id, life}}};
}
Life lived() {
  Life life;
  life.id = "sixty_years", life.age_s = 60 * 31557600.0, life.light_lx_s = 20e6 * 3600.0;
  life.touches = {{Touch::forearm, 4000 * 3600.0}};
  life.grime_kg_m2 = 1e-3;
  return life;
}
Film lacquered(const Bench& bench) {
  const Result<Film> film = existing_film({{"old lacquer", "lacquer", Origin::original, 60e-6, 0, 0, {}}}, bench, 0);
  EXPECT_TRUE(film);
  return *film;
}
StepResult done(const Step& step, const Film& film, const Bench& bench) {
  Result<StepResult> result = run_step({"it", "", step}, film, bench);
  if (!result) throw std::runtime_error(result.errors()[0].text());
  return *result;
}
std::string fault(const std::vector<PlannedStep>& steps, const Film& film, const Bench& bench) {
  const Result<Run> result = run({"aged", "", "", steps}, film, bench);
  return result ? "" : result.errors()[0].text();
}

TEST(Ageing, NoLifeChangesNothing) {
  Life none;
  none.id = "none";
  const Bench bench = bench_with(none);
  Film film = lacquered(bench);
  auto marks = std::make_shared<std::vector<Mark>>();
  marks->push_back({MarkKind::check, {{10, 0.2f, 0.2f}, {11, 0.2f, 0.2f}}, 20e-6f, 50e-6f, "old lacquer"});
  film.marks = marks;
  Yellow yellow;
  yellow.life = "none";
  Grime grime;
  grime.life = "none";
  KnockBack knock_back;
  knock_back.life = "none";
  for (const Step& step : {Step{yellow}, Step{grime}, Step{knock_back}}) {
    const Film after = done(step, film, bench).film;
    for (std::size_t v = 0; v < film.size(); ++v) {
      ASSERT_EQ(after.light_lx_s[v], film.light_lx_s[v]);
      ASSERT_EQ(after.grime_kg_m2[v], film.grime_kg_m2[v]);
      ASSERT_EQ(after.roughness_m[v], film.roughness_m[v]);
      ASSERT_EQ(after.layers[0].dry_m[v], film.layers[0].dry_m[v]);
    }
    EXPECT_EQ(after.marks->at(0).grime_kg_m2, 0.0f);
  }
}

TEST(Ageing, LightFallsOnWhatIsTurnedToTheRoomAndNotUnderParts) {
  const Bench bench = bench_with(lived());
  Yellow yellow;
  yellow.life = "sixty_years";
  yellow.parts = {{0.10, 0, {}, {}, 0.01, "front"}};
  const Film after = done(yellow, lacquered(bench), bench).film;
  double front = 0, back = 0, covered = -1;
  for (std::size_t v = 0; v < bench.body.size(); ++v) {
    const Vec3 n = bench.body.normals()[v], p = bench.body.positions()[v];
    if (n.z < -0.999f) back = std::max(back, static_cast<double>(after.light_lx_s[v]));
    if (n.z > 0.999f && p.x < 0) front = std::max(front, static_cast<double>(after.light_lx_s[v]));
    if (n.z > 0.999f && std::hypot(p.x - 0.10f, p.y) < 0.005f) covered = static_cast<double>(after.light_lx_s[v]);
  }
  EXPECT_NEAR(front, lived().light_lx_s, 1e-3 * front) << "all of it on the face turned to the room";
  EXPECT_NEAR(back / front, 0.15, 0.005) << "only what the walls throw back";
  EXPECT_EQ(covered, 0.0);
}

TEST(Ageing, ADoseOrALifeButNotBoth) {
  const Bench bench = bench_with(lived());
  Yellow both;
  both.life = "sixty_years", both.light_lx_s = 1e9;
  EXPECT_NE(fault({{"y", "", both}}, lacquered(bench), bench).find("one of light_Mlx_h and life"), std::string::npos);
  EXPECT_NE(fault({{"y", "", Yellow{}}}, lacquered(bench), bench).find("neither"), std::string::npos);
  Grime wrong;
  wrong.life = "sixty_year";
  EXPECT_NE(fault({{"g", "", wrong}}, lacquered(bench), bench).find("did you mean 'sixty_years'"), std::string::npos);
}

TEST(Ageing, KnockBackReachesTheGlossAskedForAndNeverRaisesIt) {
  const Bench bench = bench_with(lived());
  Film film = lacquered(bench);
  for (std::size_t c = 0; c < film.roughness_m.chunk_count(); ++c) {
    const std::vector<float> smooth(4096, 0.02e-6f);
    film.roughness_m.write(c, smooth.data());
  }
  const double n = bench.library.find("lacquer")->find(Property::refractive_index)
                       ? bench.library.find("lacquer")->find(Property::refractive_index)->value
                       : 1.5;
  KnockBack to_forty;
  to_forty.gloss_60 = 40;
  const StepResult dulled = done(to_forty, film, bench);
  EXPECT_NEAR(specular_gloss(n, static_cast<double>(dulled.film.roughness_m[7]), 60), 40, 0.1);
  EXPECT_GT(dulled.ledger.coats.at(0).cut_m3, 0.0) << "the pad takes a little";
  KnockBack to_seventy;
  to_seventy.gloss_60 = 70;
  const StepResult same = done(to_seventy, dulled.film, bench);
  EXPECT_EQ(same.film.roughness_m[7], dulled.film.roughness_m[7]);
  EXPECT_TRUE(same.ledger.coats.empty());
  KnockBack impossible;
  impossible.gloss_60 = 95;
  EXPECT_NE(fault({{"k", "", impossible}}, film, bench).find("perfect face"), std::string::npos);
}

TEST(Ageing, DirtLodgesInChecksAndKeepsOffTape) {
  const Bench bench = bench_with(lived());
  Film film = lacquered(bench);
  auto marks = std::make_shared<std::vector<Mark>>();
  marks->push_back({MarkKind::check, {{10, 0.2f, 0.2f}, {11, 0.2f, 0.2f}}, 20e-6f, 50e-6f, "old lacquer"});
  film.marks = marks;
  film = done(Mask{{{"back"}, {}, {}, 0}, 0}, film, bench).film;
  Grime grime;
  grime.life = "sixty_years";
  const Film after = done(grime, film, bench).film;
  double most = 0;
  for (std::size_t v = 0; v < after.size(); ++v) {
    if (after.masking[v] != 0) { ASSERT_EQ(after.grime_kg_m2[v], 0.0f); }
    most = std::max(most, static_cast<double>(after.grime_kg_m2[v]));
  }
  EXPECT_GT(most, 0.8e-3);
  EXPECT_GT(after.marks->at(0).grime_kg_m2, 5e-3) << "packed to part of its depth, far more than lies on the face";
}

// Dirt on a face that nobody handles lies as an even haze: a cloth evens it, and clouds of it look airbrushed.
TEST(Ageing, GrimeOnAPlainFaceIsEven) {
  static const Library held = shelf();
  const Bench bench{slab_bass(5e-3), held, {nullptr}, {}, {}, 7, {{"sixty_years", lived()}}};
  Grime grime;
  grime.life = "sixty_years";
  const Film after = done(grime, lacquered(bench), bench).film;
  double sum = 0, squares = 0, n = 0;
  for (std::size_t v = 0; v < after.size(); ++v) {
    if (bench.body.normals()[v].z > -0.9999f) continue;  // the back, away from its edges
    const double g = static_cast<double>(after.grime_kg_m2[v]);
    sum += g, squares += g * g, ++n;
  }
  ASSERT_GT(n, 500);
  EXPECT_LT(std::sqrt(std::max(0.0, squares / n - sum * sum / (n * n))), 0.15 * sum / n);
}

// What a mark holds is the mean along it, by length: more points on its clean end make it no cleaner.
TEST(Ageing, DirtInAMarkGoesByTheLengthOfItsSegments) {
  const Bench bench = bench_with(lived());
  Film film = done(Mask{{{"back"}, {}, {}, 0}, 0}, lacquered(bench), bench).film;
  const auto& triangles = bench.body.triangles();
  const auto edge = std::find_if(triangles.begin(), triangles.end(), [&](const Triangle& t) {
    return film.masking[t[0]] != 0 && film.masking[t[1]] == 0 && film.masking[t[2]] == 0;
  });
  ASSERT_NE(edge, triangles.end()) << "a triangle with one corner under tape";
  const auto t = static_cast<std::uint32_t>(edge - triangles.begin());
  const auto held = [&](const std::vector<SurfacePoint>& path) {
    auto marks = std::make_shared<std::vector<Mark>>();
    marks->push_back({MarkKind::check, path, 20e-6f, 50e-6f, "old lacquer"});
    film.marks = marks;
    Grime grime;
    grime.life = "sixty_years";
    return static_cast<double>(done(grime, film, bench).film.marks->at(0).grime_kg_m2);
  };
  const std::vector<SurfacePoint> straight{{t, 0, 0}, {t, 0.25f, 0}, {t, 0.5f, 0}, {t, 0.75f, 0}, {t, 1, 0}};
  std::vector<SurfacePoint> crowded = straight;
  for (int i = 1; i < 20; ++i) crowded.insert(crowded.begin() + i, {t, 0.01f * static_cast<float>(i), 0});
  EXPECT_GT(held(straight), 0);
  EXPECT_NEAR(held(crowded), held(straight), 0.05 * held(straight));
  EXPECT_LT(held(straight), 0.9 * held({{t, 0.95f, 0}, {t, 1, 0}})) << "its clean end counts";
}

TEST(Ageing, OutOfOrderIsRefusedWithTheReason) {
  const Bench bench = bench_with(lived());
  const Film film = lacquered(bench);
  Grime grime;
  grime.life = "sixty_years";
  KnockBack dull;
  dull.gloss_60 = 30;
  Buff buff;
  buff.compound = "compound";
  Flat flat;
  flat.depth_m = 1e-6;
  EXPECT_NE(fault({{"dirt", "", grime}, {"dull", "", dull}}, film, bench).find("takes the dirt off"),
            std::string::npos);
  EXPECT_NE(fault({{"dull", "", dull}, {"shine", "", buff}}, film, bench).find("shines up"), std::string::npos);
  EXPECT_NE(fault({{"dull", "", dull}, {"level", "", flat}}, film, bench).find("flat, buff, check"), std::string::npos);
  Clean clean;
  clean.with = "naphtha";
  EXPECT_EQ(fault({{"dull", "", dull}, {"dirt", "", grime}, {"wipe", "", clean}, {"dull2", "", dull}}, film, bench), "")
      << "dirt wiped off again is no dirt";
  Grime bass = grime;
  bass.where.on = {"bass"};
  KnockBack treble = dull;
  treble.where.on = {"treble"};
  EXPECT_EQ(fault({{"dirt", "", bass}, {"dull", "", treble}}, film, bench), "") << "another place";
}

}  // namespace
}  // namespace witnessline::bench

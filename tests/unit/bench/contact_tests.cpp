#include "bench/contact.h"

#include <gtest/gtest.h>

#include "base/parallel.h"
#include "bench/existing.h"
#include "bench/fingerprint.h"
#include "bench/knocks.h"
#include "bench/wearing.h"
#include "shapes/bench_bodies.h"
#include "shapes/slab_bass.h"

namespace witnessline::bench {
namespace {

using namespace shapes;

/// A flat face looking out of the front, from x = -low to high.
Body board(double low_m, double high_m, double half_y_m, double pitch_m) {
  const auto m = static_cast<std::size_t>((low_m + high_m) / pitch_m + 0.5) + 1;
  const auto n = static_cast<std::size_t>(2 * half_y_m / pitch_m + 0.5) + 1;
  return grid_body(m, n, false, false, pitch_m, [=](std::size_t i, std::size_t j, Vec3& p, Vec3& normal, float& k) {
    p = {static_cast<float>(-low_m + pitch_m * static_cast<double>(i)),
         static_cast<float>(-half_y_m + pitch_m * static_cast<double>(j)), 0};
    normal = {0, 0, 1};
    k = 0;
  });
}

ContactBody thing(ContactShape shape, double half_length_m, double half_width_m, double height_m, double load_N) {
  ContactBody c;
  c.shape = shape, c.half_length_m = half_length_m, c.half_width_m = half_width_m, c.height_m = height_m;
  c.foundation_Pa_m = 2e6, c.load_N = load_N;
  return c;
}
const Posture down{{0, 0, 0.3}, {0, 0, -1}, {1, 0, 0}};

double load_of(const Pressed& p, const Body& body, Vec3d push) {
  double sum_N = 0;
  for (std::size_t i = 0; i < p.vertex.size(); ++i)
    sum_N -= static_cast<double>(p.pressure_Pa[i]) * static_cast<double>(body.areas_m2()[p.vertex[i]]) *
             dot(Vec3d(body.normals()[p.vertex[i]]), unit_of(push));
  return sum_N;
}

// johnson1985 4.3: a sphere of radius R on springs k carries pi k R delta^2 within a circle a^2 = 2 R delta; the cap of
// a true sphere less its third power.
TEST(Press, ASphereCarriesTheVolumeOfItsCap) {
  const Body body = board(0.06, 0.06, 0.06, 1e-3);
  const double r = 0.05, k = 2e6;
  for (const double load_N : {1.0, 5.0, 20.0}) {
    const Pressed p = press(thing(ContactShape::hull, r, r, r, load_N), down, body);
    ASSERT_TRUE(p.held);
    const double d = p.approach_m;
    EXPECT_NEAR(k * M_PI * d * d * (r - d / 3), load_N, 0.01 * load_N);
    EXPECT_NEAR(p.area_m2, M_PI * (2 * r * d - d * d), 0.03 * p.area_m2);
    EXPECT_NEAR(p.peak_Pa, k * d, 1e-6 * k * d);
    EXPECT_NEAR(load_of(p, body, down.push), load_N, 1e-6 * load_N);
  }
}

// johnson1985 4.3: a cylinder carries (4/3) k a delta a length, a^2 = 2 R delta (blunt: a << R).
TEST(Press, ACylinderCarriesFourThirdsOfItsHalfWidth) {
  const Body body = board(0.1, 0.1, 0.05, 1e-3);
  const double r = 0.1, k = 2e6, long_m = 0.1;
  const Pressed p = press(thing(ContactShape::cylinder, long_m / 2 + 1e-6, 0, r, 6), down, body);
  ASSERT_TRUE(p.held);
  const double d = p.approach_m;
  EXPECT_NEAR(4.0 / 3 * k * std::sqrt(2 * r * d) * d * long_m, 6, 0.02 * 6);
}

// A footing loaded outside the kern of its base (soil mechanics' rule): it touches over three times the distance of the
// load from the near edge, and presses there with 2 F / (3 B times that distance).
TEST(Press, APlateOverAnEdgeTiltsAndLiftsOff) {
  const Body body = board(0.08, 0.02, 0.06, 5e-4);
  ContactBody plate = thing(ContactShape::plate, 0.05, 0.02, 1e-5, 10);
  plate.pivot_N_m = 1e-6;
  const Pressed p = press(plate, down, body);
  ASSERT_TRUE(p.held);
  const double near_m = 0.02, wide_m = 0.04;
  EXPECT_NEAR(p.area_m2, 3 * near_m * wide_m, 0.04 * 3 * near_m * wide_m);
  EXPECT_NEAR(p.peak_Pa, 2 * 10 / (3 * wide_m * near_m), 0.04 * p.peak_Pa);
  EXPECT_GT(p.tilt_rad[0], 0);
  double moment_N_m = 0;
  for (std::size_t i = 0; i < p.vertex.size(); ++i)
    moment_N_m += static_cast<double>(p.pressure_Pa[i]) * static_cast<double>(body.areas_m2()[p.vertex[i]]) *
                  static_cast<double>(body.positions()[p.vertex[i]].x);
  EXPECT_NEAR(moment_N_m, 0, 1e-5);
  plate.pivot_N_m = 0;  // held straight it touches all it covers
  EXPECT_NEAR(press(plate, down, body).area_m2, 0.07 * wide_m, 0.02 * 0.07 * wide_m);
}

TEST(Press, NothingBeforeItIsNotHeld) {
  const Body body = board(0.02, 0.02, 0.02, 1e-3);
  EXPECT_FALSE(press(thing(ContactShape::hull, 0.01, 0.01, 0.01, 1), {{0.5, 0, 0}, {0, 0, -1}, {1, 0, 0}}, body).held);
  EXPECT_FALSE(press(thing(ContactShape::hull, 0.01, 0.01, 0.01, 1), {{0, 0, 0}, {0, 0, 1}, {1, 0, 0}}, body).held);
}

// A slab with a rounded edge: the same arm laid flat on it spreads, laid over the edge it bears on the edge alone.
TEST(Press, AnArmOverAnEdgeBearsOnTheEdge) {
  const Body body = round_over(0.004, 0.06, 0.12, 1e-3);
  const ContactBody arm = thing(ContactShape::cylinder, 0.05, 0, 0.045, 8);
  const Vec3d along = unit_of({-0.97, 0, 0.24}), push = unit_of(Vec3d{-0.24, 0, -0.97});
  const Pressed flat = press(arm, {{-0.03, 0.06, 0}, {0, 0, -1}, {-1, 0, 0}}, body);
  const Pressed edge = press(arm, {{0, 0.06, 0}, push, along}, body);
  ASSERT_TRUE(flat.held && edge.held);
  EXPECT_GT(edge.peak_Pa, 1.5 * flat.peak_Pa);
  const auto reach_m = [&](const Pressed& p) {  // how far in from the edge it touches
    double least_m = 0;
    for (const std::uint32_t v : p.vertex) least_m = std::min(least_m, static_cast<double>(body.positions()[v].x));
    return -least_m;
  };
  EXPECT_GT(reach_m(flat), 0.055);  // to the end of the board
  // Rising 1 in 4 it leaves the face where it has risen by as much as it is pressed in.
  EXPECT_NEAR(reach_m(edge), edge.approach_m / 0.2475, 0.005);
}

const Library& library() {
  static const Library held = shelf();
  return held;
}

Life played(double hours) {
  Life life;
  life.id = "played", life.age_s = 40 * 31557600.0, life.cased_share = 0.5, life.grime_kg_m2 = 1e-3;
  for (std::size_t t = 0; t < words(static_cast<const Touch*>(nullptr)).size(); ++t)
    life.touches.push_back({static_cast<Touch>(t), hours * 3600});
  return life;
}

Bench bench_of(Body body, const Life& life) {
  Bench bench{std::move(body), library(), {nullptr}, {}, {}, 7};
  bench.lives[life.id] = life;
  return bench;
}
Film lacquered(const Bench& bench) {
  const Result<Film> film = existing_film({{"varnish", "spirit_varnish", Origin::original, 12e-6, 0, 0, {}},
                                           {"lacquer", "lacquer", Origin::original, 60e-6, 0, 0, {}}},
                                          bench, 0);
  EXPECT_TRUE(film);
  return *film;
}
StepResult worn(const Film& film, const Bench& bench, const std::string& stop_at = "") {
  Wear wear;
  wear.life = "played", wear.stop_at = stop_at;
  Result<StepResult> result = run_step({"wear", "", wear}, film, bench);
  if (!result) throw std::runtime_error(result.errors()[0].text());
  return *result;
}
double cut_m3(const StepResult& step) {
  double sum = step.ledger.wood_cut_m3;
  for (const CoatVolumes& coat : step.ledger.coats) sum += coat.cut_m3;
  return sum;
}

TEST(WearOfALife, NoLifeChangesNothing) {
  const Bench bench = bench_of(slab_bass(6e-3), played(0));
  const Film film = lacquered(bench);
  Bench idle = bench;
  idle.lives["played"] = {};
  EXPECT_EQ(fingerprint(worn(film, idle).film), fingerprint(film));
}

TEST(WearOfALife, NeverAddsAndMoreHoursAreNeverLess) {
  const Body body = slab_bass(6e-3);
  const Bench shorter = bench_of(body, played(800)), longer = bench_of(body, played(2400));
  const Film film = lacquered(shorter);
  const StepResult a = worn(film, shorter), b = worn(film, longer);
  EXPECT_GT(cut_m3(a), 0);
  for (std::size_t v = 0; v < film.size(); ++v) {
    for (std::size_t l = 0; l < film.layers.size(); ++l) {
      ASSERT_LE(a.film.layers[l].dry_m[v], film.layers[l].dry_m[v]);
      ASSERT_LE(b.film.layers[l].dry_m[v], a.film.layers[l].dry_m[v]);
    }
    ASSERT_LE(a.film.wood_cut_m[v], b.film.wood_cut_m[v]);
  }
  EXPECT_GE(b.film.marks->size(), a.film.marks->size());
}

TEST(WearOfALife, BooksCloseAndStopAtIsKept) {
  const Bench bench = bench_of(slab_bass(6e-3), played(6000));
  const Film film = lacquered(bench);
  const StepResult free = worn(film, bench, "nothing"), stopped = worn(film, bench, "varnish");
  double before = 0, after = 0;
  for (std::size_t v = 0; v < film.size(); ++v) {
    const double a = static_cast<double>(bench.body.areas_m2()[v]);
    for (std::size_t l = 0; l < film.layers.size(); ++l)
      before += std::max(0.0f, film.layers[l].dry_m[v]) * a, after += std::max(0.0f, free.film.layers[l].dry_m[v]) * a;
    ASSERT_EQ(stopped.film.layers[0].dry_m[v], film.layers[0].dry_m[v]);
  }
  EXPECT_NEAR(before - after, cut_m3(free) - free.ledger.wood_cut_m3, 1e-9 * before);
  EXPECT_GT(free.ledger.wood_cut_m3, 0);
  EXPECT_EQ(stopped.ledger.wood_cut_m3, 0);
}

// Wear stops at the wood unless asked on; then decades of playing go tenths of a millimetre into it, and no more than a
// millimetre or so under picks and buckles (common practice, no source).
TEST(WearOfALife, StopsAtTheWoodAndGoesTenthsIntoItWhenAsked) {
  const Bench bench = bench_of(slab_bass(3e-3), played(6000));
  const Film film = lacquered(bench);
  const StepResult kept = worn(film, bench), into = worn(film, bench, "nothing");
  double bare_m2 = 0;
  float deepest_m = 0, deepest_soft_m = 0;
  const ContactField field = contact_field(played(6000), bench.body, player_of(bench.seed), bench.shelter);
  for (std::size_t v = 0; v < film.size(); ++v) {
    ASSERT_EQ(kept.film.wood_cut_m[v], 0.0f);
    if (field.hard_Pa_m[v] <= 0) deepest_soft_m = std::max(deepest_soft_m, into.film.wood_cut_m[v]);
    // The coats end at the same places, and as sharply between vertices.
    for (std::size_t l = 0; l < film.layers.size(); ++l)
      ASSERT_EQ(kept.film.layers[l].dry_m[v], into.film.layers[l].dry_m[v]);
    if (kept.film.layers[0].dry_m[v] <= 0) bare_m2 += static_cast<double>(bench.body.areas_m2()[v]);
    deepest_m = std::max(deepest_m, into.film.wood_cut_m[v]);
  }
  EXPECT_GT(bare_m2, 5e-4);
  EXPECT_EQ(kept.ledger.wood_cut_m3, 0);
  EXPECT_GT(deepest_m, 30e-6f);
  EXPECT_LT(deepest_soft_m, 500e-6f);
  EXPECT_LT(deepest_m, 1200e-6f);
}

TEST(WearOfALife, AMeshTwiceAsFineWearsTheSame) {
  const Life life = played(1500);
  const Bench coarse = bench_of(slab_bass(4e-3), life), fine = bench_of(slab_bass(2e-3), life);
  const StepResult a = worn(lacquered(coarse), coarse), b = worn(lacquered(fine), fine);
  EXPECT_NEAR(cut_m3(a), cut_m3(b), 0.05 * cut_m3(b));
  const auto count = [](const StepResult& s, MarkKind kind) {
    return static_cast<double>(
        std::count_if(s.film.marks->begin(), s.film.marks->end(), [&](const Mark& m) { return m.kind == kind; }));
  };
  for (const MarkKind kind : {MarkKind::ding, MarkKind::chip, MarkKind::scratch}) {
    EXPECT_GT(count(b, kind), 5);
    EXPECT_NEAR(count(a, kind), count(b, kind), 0.15 * count(b, kind) + 2);
  }
}

TEST(WearOfALife, VertexOrderAndThreadsDoNotMatter) {
  const Body body = slab_bass(8e-3);
  std::vector<std::uint32_t> order(body.size());
  std::iota(order.begin(), order.end(), 0u);
  for (std::size_t i = order.size(); i-- > 1;)
    std::swap(order[i], order[static_cast<std::size_t>(uniform(Key{9}.with(i)) * static_cast<double>(i + 1))]);
  const Bench bench = bench_of(body, played(2000)), other = bench_of(reordered(body, order), played(2000));
  use_threads(1);
  const StepResult a = worn(lacquered(bench), bench);
  use_threads(0);
  const StepResult again = worn(lacquered(bench), bench), b = worn(lacquered(other), other);
  EXPECT_EQ(fingerprint(a.film), fingerprint(again.film));
  for (std::size_t l = 0; l < a.film.layers.size(); ++l)
    for (std::size_t v = 0; v < body.size(); ++v)
      ASSERT_EQ(a.film.layers[l].dry_m[v], b.film.layers[l].dry_m[order[v]]);
  EXPECT_EQ(a.film.marks->size(), b.film.marks->size());
}

// common practice, no source: on a slab body the edge under the forearm, the middle of the back, round the strap's
// buttons and the outermost edges go first.
TEST(WearOfALife, ASlabGoesWhereSlabsGo) {
  const Body body = slab_bass(4e-3);
  const ContactField field = contact_field(played(1000), body, Key{5});
  std::vector<float> total(body.size());
  const auto sweat = static_cast<float>(resistance_of(Binder::nitrocellulose).sweat_factor);
  for (std::size_t v = 0; v < body.size(); ++v) total[v] = field.dry_Pa_m[v] + sweat * field.sweat_Pa_m[v];
  Box3 box;
  for (const Vec3 p : body.positions()) box.add(p);
  const auto most = [&](const auto& in) {
    double m = 0;
    for (std::size_t v = 0; v < body.size(); ++v)
      if (in(v, body.positions()[v])) m = std::max(m, static_cast<double>(total[v]));
    return m;
  };
  const auto mean = [&](const auto& in) {
    double sum = 0, area = 0;
    for (std::size_t v = 0; v < body.size(); ++v)
      if (in(v, body.positions()[v])) {
        sum += static_cast<double>(total[v]) * static_cast<double>(body.areas_m2()[v]);
        area += static_cast<double>(body.areas_m2()[v]);
      }
    return sum / area;
  };
  const double y_m = box.low.y + 0.30 * (box.high.y - box.low.y);
  const double edge = most([&](std::size_t v, Vec3 p) {
    return body.in(v, Region::edge) && p.x < 0 && p.z > 0.01f && std::abs(static_cast<double>(p.y) - y_m) < 0.05;
  });
  const double beside = most([&](std::size_t v, Vec3 p) {  // the same front, two hands further in
    return body.in(v, Region::front) && p.x > 0.06f && std::abs(static_cast<double>(p.y) - y_m) < 0.05;
  });
  EXPECT_GT(edge, 5 * beside);
  const double middle = mean([&](std::size_t v, Vec3 p) {
    return body.in(v, Region::back) && std::abs(p.x) < 0.04f &&
           std::abs(static_cast<double>(p.y) - box.low.y - 0.47 * (box.high.y - box.low.y)) < 0.04;
  });
  const double rest = mean([&](std::size_t v, Vec3 p) { return body.in(v, Region::back) && p.x > 0.07f; });
  EXPECT_GT(middle, 3 * rest);
  const double tail = mean([&](std::size_t, Vec3 p) { return p.y < box.low.y + 0.004 && std::abs(p.x) < 0.03f; });
  const double sides = mean([&](std::size_t v, Vec3) { return body.in(v, Region::sides); });
  EXPECT_GT(tail, 3 * sides);
  // Knocks: the outermost edges take more of them than their area.
  const KnockField knocks = knock_field(body, Key{5});
  double on_edges = 0, edges_m2 = 0;
  for (std::size_t v = 0; v < body.size(); ++v)
    if (body.in(v, Region::edge)) {
      on_edges += static_cast<double>(knocks.per_m2[v]) * static_cast<double>(body.areas_m2()[v]);
      edges_m2 += static_cast<double>(body.areas_m2()[v]);
    }
  EXPECT_GT(on_edges, 2 * edges_m2 / body.area_m2());
}

TEST(Knocks, AChipEndsAtACheck) {
  const Bench bench = bench_of(slab_bass(6e-3), played(4000));
  Film film = lacquered(bench);
  const StepResult without = worn(film, bench);
  const auto chips = [](const StepResult& s) {
    std::vector<Mark> found;
    for (const Mark& m : *s.film.marks)
      if (m.kind == MarkKind::chip) found.push_back(m);
    return found;
  };
  const auto first = chips(without);
  ASSERT_FALSE(first.empty());
  // A check right beside the widest chip.
  const Mark widest =
      *std::max_element(first.begin(), first.end(), [](const Mark& a, const Mark& b) { return a.width_m < b.width_m; });
  const Vec3d at = bench.body.position(widest.path[0]);
  const float beside_m = 0.3f * widest.width_m;
  auto marks = std::make_shared<std::vector<Mark>>();
  const Vec3 normal = bench.body.normals()[bench.body.triangles()[widest.path[0].triangle][0]];
  const Vec3d side = across(Vec3d(normal)), along = cross(Vec3d(normal), side);
  const auto place = [&](double s) { return static_cast<Vec3>(at + static_cast<double>(beside_m) * side + s * along); };
  Mark check{MarkKind::check, bench.body.nearest(std::array{place(-0.002), place(0.002)}), 5e-5f, 1e-3f, "x", 0};
  marks->push_back(check);
  film.marks = marks;
  float narrowed = 1;
  for (const Mark& m : chips(worn(film, bench)))
    if (length(bench.body.position(m.path[0]) - at) < 1e-6) narrowed = m.width_m;
  EXPECT_LT(narrowed, 0.75f * widest.width_m);
}

// Inside its outline a chip takes every coat, outside it none of them; what it takes is in the books.
TEST(Knocks, ChipsTakeTheirFilmOutOfTheBooks) {
  Life knocked;
  knocked.id = "played", knocked.age_s = 200 * 31557600.0;  // no hours against anything: knocks alone
  const Bench bench = bench_of(slab_bass(2e-3), knocked);
  const Film film = lacquered(bench);
  const StepResult after = worn(film, bench);
  const std::vector<char> inside = under_chips(bench.body, *after.film.marks);
  double discs_m2 = 0, before_m3 = 0, after_m3 = 0, inside_m2 = 0;
  for (const Mark& m : *after.film.marks)
    if (m.kind == MarkKind::chip) {
      const double r = 0.5 * chip_radius_share * static_cast<double>(m.width_m);
      discs_m2 += M_PI * r * r;
      EXPECT_NEAR(static_cast<double>(m.depth_m), 72e-6, 10e-6);
    }
  for (std::size_t v = 0; v < film.size(); ++v) {
    const double a = static_cast<double>(bench.body.areas_m2()[v]);
    if (inside[v]) inside_m2 += a;
    for (std::size_t l = 0; l < film.layers.size(); ++l) {
      before_m3 += a * std::max(0.0f, film.layers[l].dry_m[v]),
          after_m3 += a * std::max(0.0f, after.film.layers[l].dry_m[v]);
      if (inside[v]) {
        ASSERT_LE(after.film.layers[l].dry_m[v], 0.0f);
      } else {
        ASSERT_EQ(after.film.layers[l].dry_m[v], film.layers[l].dry_m[v]);
      }
    }
  }
  EXPECT_GT(discs_m2, 0.5e-4);
  EXPECT_NEAR(inside_m2, discs_m2, 0.25 * discs_m2);  // whole vertices: right on average
  EXPECT_NEAR(before_m3 - after_m3, cut_m3(after), 1e-9 * before_m3);
  EXPECT_NEAR(after.ledger.wood_cut_m3, 0, 1e-15);
  ASSERT_EQ(after.ledger.coats.size(), 2u) << "a row a coat";
  // What is kept is kept.
  const StepResult stopped = worn(film, bench, "varnish");
  EXPECT_GT(cut_m3(stopped), 0);
  for (std::size_t v = 0; v < film.size(); ++v) ASSERT_EQ(stopped.film.layers[0].dry_m[v], film.layers[0].dry_m[v]);
}

TEST(WearOfALife, OneOfDepthAndLife) {
  const Bench bench = bench_of(slab_bass(8e-3), played(10));
  const Film film = lacquered(bench);
  EXPECT_FALSE(run_step({"w", "", Wear{}}, film, bench));
  Wear both;
  both.depth_m = 1e-5, both.life = "played";
  EXPECT_FALSE(run_step({"w", "", both}, film, bench));
  Wear typo;
  typo.life = "plaid";
  const auto refused = run_step({"w", "", typo}, film, bench);
  ASSERT_FALSE(refused);
  EXPECT_NE(refused.errors()[0].text().find("played"), std::string::npos);
}

}  // namespace
}  // namespace witnessline::bench

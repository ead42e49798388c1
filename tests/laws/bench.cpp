// Identities of the bench over random stacks and plans.
#include <gtest/gtest.h>

#include <algorithm>
#include <map>

#include "base/parallel.h"
#include "base/random.h"
#include "bench/existing.h"
#include "bench/fingerprint.h"
#include "shapes/every_step.h"

namespace witnessline::app {
namespace {

using namespace shapes;

Film start(const Bench& bench) { return found_film(bench); }

/// Moves every input that varies from hand to hand, up to twice.
struct RenderCache final : VariedInput {
  Key key;
  explicit RenderCache(Key k) : key(k) {}
  void operator()(std::string_view name, double& value, double, double lowest, double highest) override {
    value = std::clamp(2 * uniform(key.with(name)) * value, lowest, highest);
  }
};

/// A plan of `count` steps drawn at random from every kind there is; a step that would be refused is left out.
Plan random_plan(std::uint64_t seed, int count, const Bench& bench) {
  Plan plan{"random", "", "", {}};
  RunCache cache;
  const Film film = start(bench);
  const std::vector<Step> kinds = every_step();
  for (std::uint64_t i = 0; static_cast<int>(plan.steps.size()) < count && i < 4 * static_cast<std::uint64_t>(count);
       ++i) {
    const Key key = Key{seed}.with(i);
    Step step = kinds[static_cast<std::size_t>(uniform(key) * static_cast<double>(kinds.size()))];
    RenderCache drawn(key);
    vary(step, drawn);
    const double b = uniform(key.with(2));
    std::visit(
        [&](auto& s) {
          if constexpr (requires { s.where.on; }) {
            if (!s.where.on.empty() || !s.where.patches.empty()) return;
            if (b < 0.5) s.where.on = {b < 0.25 ? "bass" : "front"};
            if (b > 0.8) s.where.patches = {{0.0, 0.1, {}, {}, 0.03, "front"}}, s.where.fade_m = 0.01;
          }
        },
        step);
    plan.steps.push_back({"s" + std::to_string(plan.steps.size()), "", step});
    if (!cache.run(plan, film, bench)) plan.steps.pop_back();
  }
  return plan;
}

/// Dry and solvent volume of every coat [m3].
std::map<std::string, std::pair<double, double>> volumes(const Film& film, const Body& body) {
  std::map<std::string, std::pair<double, double>> all;
  for (const FilmLayer& layer : film.layers) {
    auto& [dry, solvent] = all[layer.provenance.laid_by];
    for (std::size_t v = 0; v < film.size(); ++v) {
      const double a = static_cast<double>(body.areas_m2()[v]);
      dry += std::max(0.0, static_cast<double>(layer.dry_m[v])) * a;
      solvent += static_cast<double>(layer.solvent_m[v]) * a;
    }
  }
  return all;
}

Run worked(const Plan& plan, const Film& film, const Bench& bench) {
  Result<Run> result = run(plan, film, bench);
  if (!result) throw std::runtime_error(result.errors()[0].text());
  return *result;
}

TEST(Laws, TheLedgerClosesForEveryCoat) {
  const Bench bench = bench_on(torus(220, 63));
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    const auto run = worked(random_plan(seed, 10, bench), start(bench), bench);
    for (std::size_t i = 1; i < run.steps.size(); ++i) {
      const auto before = volumes(run.steps[i - 1].film, bench.body), after = volumes(run.steps[i].film, bench.body);
      std::map<std::string, CoatVolumes> books;
      for (const CoatVolumes& coat : run.steps[i].ledger.coats) books[coat.coat] = coat;
      double soaked_m3 = 0, moved_m3 = 0;
      for (const auto& [coat, now] : after) {
        const auto was = before.contains(coat) ? before.at(coat) : std::pair{0.0, 0.0};
        const CoatVolumes& b = books[coat];
        const double scale = std::max({was.first, now.first, 1e-9}),
                     scale_s = std::max({was.second, now.second, b.solvent_laid_m3, 1e-9});
        EXPECT_NEAR(was.first + b.laid_m3 - b.cut_m3 - b.lifted_m3, now.first, 1e-9 * scale)
            << coat << " after " << run.steps[i].word << ", seed " << seed;
        EXPECT_NEAR(was.second + b.solvent_laid_m3 + b.solvent_soaked_m3 - b.solvent_left_m3 - b.solvent_cut_m3,
                    now.second, 1e-9 * scale_s)
            << coat << " after " << run.steps[i].word << ", seed " << seed;
        EXPECT_GE(b.solvent_left_m3, 0.0);
        soaked_m3 += b.solvent_soaked_m3, moved_m3 += std::abs(b.solvent_soaked_m3);
      }
      EXPECT_NEAR(soaked_m3, 0.0, 1e-9 * moved_m3) << "what one coat takes up another gives";
    }
  }
}

TEST(Laws, WhatCutsNeverAdds) {
  const Bench bench = bench_on(torus(220, 63));
  for (std::uint64_t seed = 1; seed <= 6; ++seed) {
    const Plan plan = random_plan(seed, 10, bench);
    const auto run = worked(plan, start(bench), bench);
    for (std::size_t i = 1; i < run.steps.size(); ++i) {
      if (!traits_of(plan.steps[i - 1].step).cuts) continue;
      const Film &was = run.steps[i - 1].film, &now = run.steps[i].film;
      for (std::size_t l = 0; l < was.layers.size(); ++l)
        for (std::size_t v = 0; v < was.size(); ++v) {
          ASSERT_LE(now.layers[l].dry_m[v], was.layers[l].dry_m[v]);
          ASSERT_LE(now.layers[l].solvent_m[v], was.layers[l].solvent_m[v]);
          ASSERT_LE(now.layers[l].melted[v], was.layers[l].melted[v]);
        }
    }
  }
}

// A film past its first days. While solvent is still free at the surface, the steps of time with which wait() solves a
// film differ between one long wait and two short ones by up to 2 parts in 1000 of what is left.
TEST(Laws, WaitingNoTimeIsIdentityAndTwoWaitsMakeOne) {
  const Library invented = shelf();
  const Bench bench{torus(110, 32), invented, {nullptr}, {}, {}, 11};
  Spray spray;
  spray.mixture = "lacquer", spray.thinner = "thinner", spray.thinning = 1, spray.coats = 3;
  const Film found = *existing_film({{"old lacquer", "lacquer", Origin::original, 40e-6, 6e-6, 1e9, {}}}, bench, 0);
  const Plan plan{"p", "", "", {{"coat", "", spray}, {"cut", "", Sand{}}, {"dry", "", Wait{20 * 86400.0, {}}}}};
  const Film film = worked(plan, found, bench).steps.back().film;
  EXPECT_EQ(fingerprint(run_step({"w", "", Wait{0, {}}}, film, bench)->film), fingerprint(film));
  const Film two =
      run_step({"b", "", Wait{5000, {}}}, run_step({"a", "", Wait{300, {}}}, film, bench)->film, bench)->film;
  const Film one = run_step({"c", "", Wait{5300, {}}}, film, bench)->film;
  for (std::size_t l = 0; l < film.layers.size(); ++l)
    for (std::size_t v = 0; v < film.size(); ++v)
      ASSERT_NEAR(two.layers[l].solvent_m[v], one.layers[l].solvent_m[v], 1e-5 * 90e-6);
}

TEST(Laws, ALayerOfNothingChangesNothing) {
  const Bench bench = bench_on(torus(110, 32));
  const Film film = start(bench);
  Film with = film;
  FilmLayer nothing = with.layers[1];
  nothing.provenance = {Origin::later, "nothing"};
  nothing.dry_m = nothing.solvent_m = Field<float>(film.size(), 0.0f);
  with.layers.insert(with.layers.begin() + 2, nothing);
  const Plan plan = random_plan(5, 8, bench);
  const Film a = worked(plan, film, bench).steps.back().film, b = worked(plan, with, bench).steps.back().film;
  for (std::size_t l = 0; l < a.layers.size(); ++l)
    for (std::size_t v = 0; v < a.size(); ++v) ASSERT_EQ(a.layers[l].dry_m[v], b.layers[l < 2 ? l : l + 1].dry_m[v]);
}

TEST(Laws, ThreadsAndReplaysGiveTheSameBits) {
  const Bench bench = bench_on(torus(300, 80));
  const Plan plan = random_plan(2, 12, bench);
  use_threads(1);
  const auto one = worked(plan, start(bench), bench);
  use_threads(2);
  const auto two = worked(plan, start(bench), bench), again = worked(plan, start(bench), bench);
  use_threads(0);
  for (std::size_t i = 0; i < one.steps.size(); ++i) {
    EXPECT_EQ(fingerprint(one.steps[i].film), fingerprint(two.steps[i].film)) << one.steps[i].word;
    EXPECT_EQ(fingerprint(again.steps[i].film), fingerprint(two.steps[i].film)) << one.steps[i].word;
    ASSERT_EQ(one.steps[i].ledger.coats.size(), two.steps[i].ledger.coats.size());
    for (std::size_t c = 0; c < one.steps[i].ledger.coats.size(); ++c) {
      EXPECT_EQ(one.steps[i].ledger.coats[c].cut_m3, two.steps[i].ledger.coats[c].cut_m3);
      EXPECT_EQ(one.steps[i].ledger.coats[c].laid_m3, two.steps[i].ledger.coats[c].laid_m3);
    }
    EXPECT_EQ(one.steps[i].notes, two.steps[i].notes);
  }
}

TEST(Laws, VertexOrderChangesNothing) {
  const Body body = torus(200, 60);
  std::vector<std::uint32_t> order(body.size());
  std::iota(order.begin(), order.end(), 0u);
  for (std::size_t i = order.size(); i-- > 1;)
    std::swap(order[i], order[static_cast<std::size_t>(uniform(Key{9}.with(i)) * static_cast<double>(i + 1))]);
  const Bench bench = bench_on(body), other = bench_on(reordered(body, order));
  for (std::uint64_t seed = 1; seed <= 4; ++seed) {
    const Plan plan = random_plan(seed, 10, bench);
    const auto a = worked(plan, start(bench), bench), b = worked(plan, start(other), other);
    for (std::size_t i = 0; i < a.steps.size(); ++i) {
      const Film &fa = a.steps[i].film, &fb = b.steps[i].film;
      for (std::size_t l = 0; l < fa.layers.size(); ++l)
        for (std::size_t v = 0; v < fa.size(); ++v)
          ASSERT_EQ(fa.layers[l].dry_m[v], fb.layers[l].dry_m[order[v]]) << a.steps[i].word << " seed " << seed;
      const auto &ca = a.steps[i].ledger.coats, &cb = b.steps[i].ledger.coats;
      ASSERT_EQ(ca.size(), cb.size());
      for (std::size_t c = 0; c < ca.size(); ++c) {
        EXPECT_NEAR(ca[c].cut_m3, cb[c].cut_m3, 1e-12 * std::abs(ca[c].cut_m3));
        EXPECT_NEAR(ca[c].laid_m3, cb[c].laid_m3, 1e-12 * std::abs(ca[c].laid_m3));
        EXPECT_NEAR(ca[c].solvent_left_m3, cb[c].solvent_left_m3, 1e-12 * std::abs(ca[c].solvent_left_m3));
      }
    }
  }
}

TEST(Laws, TheCacheGivesWhatRunGivesAndRecomputesOnlyFromAnEdit) {
  const Bench bench = bench_on(torus(110, 32));
  const Film film = start(bench);
  Plan plan = random_plan(4, 12, bench);
  const int steps = static_cast<int>(plan.steps.size());
  RunCache cache;
  const auto straight = worked(plan, film, bench);
  auto cached = cache.run(plan, film, bench);
  ASSERT_TRUE(cached);
  EXPECT_EQ(cache.steps_computed_last_time(), steps);
  for (std::size_t i = 0; i < straight.steps.size(); ++i)
    EXPECT_EQ(fingerprint(cached->steps[i].film), fingerprint(straight.steps[i].film));
  cached = cache.run(plan, film, bench);
  EXPECT_EQ(cache.steps_computed_last_time(), 0);
  plan.steps[plan.steps.size() - 2].step = Wait{12345, {}};
  cached = cache.run(plan, film, bench);
  ASSERT_TRUE(cached);
  EXPECT_EQ(cache.steps_computed_last_time(), 2);
  Bench warm = bench_on(bench.body);
  warm.shop.temperature_K += 5;
  ASSERT_TRUE(cache.run(plan, film, warm));
  EXPECT_EQ(cache.steps_computed_last_time(), steps);
  RunCache small(1);  // holds next to nothing, still right
  ASSERT_TRUE(small.run(plan, film, bench));
}

TEST(Laws, StepIdsAreOfTheirOwn) {
  const Bench bench = bench_on(torus(110, 32));
  Plan plan{"p", "", "", {{"a", "", Clean{}}, {"a", "", Wait{}}, {"varnish", "", Wait{}}}};
  const auto result = run(plan, start(bench), bench);
  ASSERT_FALSE(result);
  EXPECT_EQ(result.errors().size(), 2u);
  EXPECT_EQ(result.errors()[0].where.key, "plans.p.steps.a.id");
}

}  // namespace
}  // namespace witnessline::app

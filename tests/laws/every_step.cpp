// What a step does to a film is what its traits say, for every kind of step there is.
#include "shapes/every_step.h"

#include <gtest/gtest.h>

#include <cmath>

#include "bench/fingerprint.h"
#include "safety/gate.h"

namespace witnessline {
namespace {

using namespace shapes;
using namespace safety;

// A kind of step that leaves one of these to chance, or to a base, is no step.
struct Whole {
  static constexpr std::string_view word = "bake";
  Traits traits() const { return Wait{}.traits(); }
  void vary(VariedInput&) {}
  void check(StepCheck&) const {}
  Headline headline(const ShowQuantity&) const { return {}; }
};
struct WithoutTraits {
  static constexpr std::string_view word = "bake";
  void vary(VariedInput&) {}
  void check(StepCheck&) const {}
  Headline headline(const ShowQuantity&) const { return {}; }
};
struct WithoutVaried {
  static constexpr std::string_view word = "bake";
  Traits traits() const { return Wait{}.traits(); }
  void check(StepCheck&) const {}
  Headline headline(const ShowQuantity&) const { return {}; }
};
struct WithoutCheck {
  static constexpr std::string_view word = "bake";
  Traits traits() const { return Wait{}.traits(); }
  void vary(VariedInput&) {}
  Headline headline(const ShowQuantity&) const { return {}; }
};
struct WithoutHeadline {
  static constexpr std::string_view word = "bake";
  Traits traits() const { return Wait{}.traits(); }
  void vary(VariedInput&) {}
  void check(StepCheck&) const {}
};
struct Inherits : Sand {
  static constexpr std::string_view word = "belt_sand";
};
static_assert(StepKind<Flat> && StepKind<Whole>);
static_assert(!StepKind<WithoutTraits> && !StepKind<WithoutVaried> && !StepKind<WithoutCheck>);
static_assert(!StepKind<WithoutHeadline> && !StepKind<Inherits>);
static_assert(!std::is_default_constructible_v<Traits>, "every trait is given");

StepResult done(const Step& step, const Film& film, const Bench& bench) {
  Result<StepResult> result = run_step({"it", "", step}, film, bench);
  if (!result) throw std::runtime_error(std::string(word_of(step)) + ": " + result.errors()[0].text());
  return *result;
}

/// A bench, and a film as found under a coat of our own that has cured but still gives off a little.
struct Place {
  Bench bench = bench_on(torus(110, 32));
  Film film = [&] {
    Spray fresh = sample(static_cast<const Spray*>(nullptr));
    fresh.coats = 1, fresh.wet_m = 30e-6;
    Film film = done(fresh, found_film(bench), bench).film;
    return done(Wait{360 * 86400.0, {}}, film, bench).film;
  }();
};

bool same(const Field<float>& a, const Field<float>& b) {
  for (std::size_t v = 0; v < a.size(); ++v)
    if (a[v] != b[v]) return false;
  return true;
}

TEST(EveryStep, DoesWhatItsTraitsSayAndNothingElse) {
  const Place place;
  const Film masked = done(sample(static_cast<const Mask*>(nullptr)), place.film, place.bench).film;
  for (const Step& step : every_step()) {
    SCOPED_TRACE(std::string(word_of(step)));
    const Traits traits = traits_of(step);
    const Film& before = traits.surface == SurfaceEffect::unmasks ? masked : place.film;
    const StepResult result = done(step, before, place.bench);
    double cut_m3 = result.ledger.wood_cut_m3, laid_m3 = 0, left_m3 = 0;
    for (const CoatVolumes& coat : result.ledger.coats) {
      cut_m3 += coat.cut_m3 + coat.lifted_m3, laid_m3 += coat.laid_m3, left_m3 += coat.solvent_left_m3;
      EXPECT_GE(coat.cut_m3, 0);
      EXPECT_GE(coat.lifted_m3, 0);
      EXPECT_GE(coat.laid_m3, 0);
    }
    EXPECT_EQ(traits.cuts, cut_m3 > 0);
    EXPECT_EQ(traits.lays.has_value(), laid_m3 > 0);
    EXPECT_EQ(traits.lays.has_value(), !result.laid_on.empty()) << "supplies and spots look there";
    EXPECT_TRUE(!traits.wets || !result.ledger.used.empty()) << "the air is worked out from what is booked";
    if (traits.lays) {
      EXPECT_TRUE(traits.wets);
      EXPECT_GT(traits.lays->coats * traits.lays->wet_m, 0);
    }
    EXPECT_EQ(traits.rests.has_value(), left_m3 > 0 && !traits.lays);
    bool masking = false;
    for (std::size_t v = 0; v < before.size(); ++v) masking |= before.masking[v] != result.film.masking[v];
    EXPECT_EQ(traits.surface == SurfaceEffect::masks || traits.surface == SurfaceEffect::unmasks, masking);
    const Film& after = result.film;
    const bool shows = !same(before.light_lx_s, after.light_lx_s) || !same(before.grime_kg_m2, after.grime_kg_m2) ||
                       !same(before.roughness_m, after.roughness_m) || before.marks != after.marks || cut_m3 > 0;
    EXPECT_TRUE(!traits.ages || shows);
    EXPECT_TRUE(traits.surface != SurfaceEffect::soils || !same(before.grime_kg_m2, after.grime_kg_m2));
    EXPECT_TRUE(traits.tool == Tool::none || result.hands_on_s > 0) << "a hand takes time";
  }
}

/// Counts what may vary and shifts all of it.
struct Shift final : VariedInput {
  int count = 0;
  void operator()(std::string_view name, double& value, double relative_sd, double lowest, double highest) override {
    EXPECT_FALSE(name.empty());
    EXPECT_GT(relative_sd, 0);
    EXPECT_LT(relative_sd, 1);
    EXPECT_GE(value, lowest);
    EXPECT_LE(value, highest);
    ++count, value *= 0.8;
  }
};

// Whatever takes off or puts on a thickness does so unevenly from hand to hand.
TEST(EveryStep, ThatCutsOrLaysByADepthSaysHowItVaries) {
  for (Step step : every_step()) {
    SCOPED_TRACE(std::string(word_of(step)));
    const Traits traits = traits_of(step);
    const bool thick = traits.cuts || traits.lays;
    Step moved = step;
    Shift shift;
    vary(moved, shift);
    EXPECT_EQ(shift.count > 0, thick);
  }
}

// By construction: whatever cuts or heats old paint is asked about lead, whatever heats about fire, and so on, of any
// kind of step.
TEST(EveryStep, IsAskedAboutWhatItsTraitsCanHurt) {
  const Place place;
  const Room room;
  const std::vector<ExistingCoat> coats{{"old lacquer", "nitrocellulose_lacquer", Origin::original, 60e-6, 0, 0, {}}};
  for (const Step& step : every_step()) {
    SCOPED_TRACE(std::string(word_of(step)));
    const Traits traits = traits_of(step);
    const Plan plan{"p", "", "", {{"it", "", step}}};
    const Gate gate = gate_of({plan, place.bench, room, {}, coats, false}, {}, {});
    const auto asked = [&](Hazard hazard) {
      return std::any_of(gate.open.begin(), gate.open.end(), [&](const HoldPoint& h) { return h.hazard == hazard; });
    };
    EXPECT_EQ(asked(Hazard::old_pigments), traits.cuts || traits.heats);
    EXPECT_EQ(asked(Hazard::ignition), traits.heats);
    EXPECT_EQ(asked(Hazard::breathing), traits.sheds == Sheds::dust || traits.sheds == Sheds::mist);
    EXPECT_EQ(asked(Hazard::wheel), traits.tool == Tool::wheel);
    EXPECT_EQ(asked(Hazard::blades), traits.tool == Tool::blade);
    EXPECT_EQ(asked(Hazard::cold), traits.chills);
    EXPECT_EQ(asked(Hazard::nitrocellulose_residue), traits.cuts || traits.heats || traits.lays.has_value());
  }
}

}  // namespace
}  // namespace witnessline

#include "bench/tin.h"

#include <gtest/gtest.h>

#include <map>

#include "bench/paint.h"

namespace witnessline::bench {
namespace {

Paint paint_of_binder(Binder binder) {
  static std::map<Binder, Material> held;
  Material& m = held[binder];
  m.id = "lacquer", m.role = Role::clear, m.binder = binder;
  Paint paint{};
  paint.shares = {{"lacquer", 1, 950}}, paint.volume_solids = 0.2;
  paint.main = binder == Binder::none ? nullptr : &m;
  return paint;
}
Paint lacquer() { return paint_of_binder(Binder::nitrocellulose); }
CupReading ford_4(double run_out_s, double celsius = 20) { return {"ford_4", run_out_s, celsius + 273.15, 0}; }
TinTest sound() {
  TinTest t;
  t.material = "lacquer", t.filled_years_ago = 3;
  t.pressure = t.rim = t.stir_up = t.gel = Finding::good;
  t.residue_kg = 0.5e-3, t.strained_m3 = 500e-6, t.readings = {ford_4(25)}, t.fresh_tin = ford_4(24);
  t.spray_outs = {{"glass", 8 * 86400.0, Finding::good, ""}, {"old clear", 8 * 86400.0, Finding::good, ""}};
  return t;
}
const std::vector<ShelfLife>& lives() {
  static const Library read = *read_library(PROJECT_FOLDER "/data");
  return read.shelf_lives();
}
TinVerdict verdict(const TinTest& t) { return judge(t, lacquer(), lives(), {"old clear"})->verdict; }

TEST(Tin, OnlyOneOnWhichEverythingWasTriedIsUsed) {
  EXPECT_EQ(verdict(sound()), TinVerdict::use);
  for (Finding TinTest::*what : {&TinTest::pressure, &TinTest::rim, &TinTest::stir_up, &TinTest::gel}) {
    TinTest t = sound();
    t.*what = Finding::not_tried;
    EXPECT_EQ(verdict(t), TinVerdict::prove_on_scrap);
    t.*what = Finding::doubtful;
    EXPECT_EQ(verdict(t), TinVerdict::prove_on_scrap);
    t.*what = Finding::bad;
    EXPECT_EQ(verdict(t), TinVerdict::do_not_use);
  }
}

TEST(Tin, NothingTriedIsProvedOnScrap) {
  const Result<TinJudged> j = judge(TinTest{}, lacquer(), lives(), {"old clear"});
  ASSERT_TRUE(j);
  EXPECT_EQ(j->verdict, TinVerdict::prove_on_scrap);
  EXPECT_EQ(j->still_try.size(), 8u);  // four looks, strainer, cup, glass, old coat
}

TEST(Tin, ResidueAndThickeningRuleItOut) {
  TinTest t = sound();
  t.residue_kg = 20e-3;  // 4.2 % of what was strained
  EXPECT_EQ(verdict(t), TinVerdict::do_not_use);
  t = sound(), t.readings = {ford_4(40)};
  EXPECT_EQ(verdict(t), TinVerdict::prove_on_scrap);
  t.readings = {ford_4(75)};
  EXPECT_EQ(verdict(t), TinVerdict::do_not_use);
}

// A cold shop is no fault of the tin: at 10 degC lacquer is a third thicker than at 20 (3 % a kelvin, common practice).
TEST(Tin, ThickeningIsJudgedAtOneTemperature) {
  TinTest t = sound();
  t.readings = {ford_4(34)}, t.fresh_tin = ford_4(24);
  EXPECT_EQ(verdict(t), TinVerdict::prove_on_scrap);
  t.readings = {ford_4(34, 8)};
  EXPECT_EQ(verdict(t), TinVerdict::use);
  t.fresh_tin->cup = "ford_9";
  const auto wrong = judge(t, lacquer(), lives(), {"old clear"});
  ASSERT_FALSE(wrong);
  EXPECT_EQ(wrong.errors()[0].where.key, "fresh_tin.cup");
}

TEST(Tin, ASprayOutIsLookedAtAfterAWeek) {
  TinTest t = sound();
  t.spray_outs[0].waited_s = 86400;
  EXPECT_EQ(verdict(t), TinVerdict::prove_on_scrap);
  t = sound(), t.spray_outs.pop_back();
  EXPECT_EQ(verdict(t), TinVerdict::prove_on_scrap);
}

TEST(Tin, AgeAloneIsADoubt) {
  TinTest t = sound();
  t.filled_years_ago = 38;
  EXPECT_EQ(verdict(t), TinVerdict::prove_on_scrap);
  t.filled_years_ago.reset();
  EXPECT_EQ(verdict(t), TinVerdict::prove_on_scrap);
}

// Shelf lives of data/shelf_life.csv: makers' and sellers' texts, users, common practice. Everything else is sound.
TEST(Tin, WhatHasOutlivedItsBinderIsNotUsed) {
  const auto of = [](Binder binder, double years, std::optional<double> hardener, std::optional<double> opened = {}) {
    TinTest t = sound();
    t.filled_years_ago = years, t.hardener_filled_years_ago = hardener, t.hardener_opened_years_ago = opened;
    return judge(t, paint_of_binder(binder), lives(), {"old clear"})->verdict;
  };
  EXPECT_EQ(of(Binder::two_pack_polyurethane, 3, 3), TinVerdict::do_not_use);
  EXPECT_EQ(of(Binder::two_pack_polyurethane, 0.5, 0.4), TinVerdict::use);
  EXPECT_EQ(of(Binder::two_pack_polyurethane, 0.5, 3), TinVerdict::do_not_use) << "its hardener ages by itself";
  EXPECT_EQ(of(Binder::two_pack_polyurethane, 0.5, {}), TinVerdict::prove_on_scrap) << "hardener of no known age";
  EXPECT_EQ(of(Binder::two_pack_polyurethane, 0.5, 0.4, 0.1), TinVerdict::do_not_use) << "opened five weeks ago";
  EXPECT_EQ(of(Binder::polyester, 5, 0.2), TinVerdict::do_not_use);
  EXPECT_EQ(of(Binder::polyester, 0.75, 0.2), TinVerdict::prove_on_scrap);
  EXPECT_EQ(of(Binder::shellac, 3, {}), TinVerdict::prove_on_scrap);
  EXPECT_EQ(of(Binder::nitrocellulose, 3, {}), TinVerdict::use) << "users find a decade old lacquer good";
  EXPECT_EQ(of(Binder::none, 1, {}), TinVerdict::prove_on_scrap) << "how long it keeps is not known";
}

TEST(Tin, AResidueWithoutWhatWasStrainedIsAnError) {
  TinTest t = sound();
  t.strained_m3.reset();
  EXPECT_FALSE(judge(t, lacquer(), lives(), {}));
}

}  // namespace
}  // namespace witnessline::bench

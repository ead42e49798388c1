#include "safety/gate.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "shapes/bench_bodies.h"

namespace witnessline::safety {
namespace {

const Library& library() {
  static const Library read = [] {
    auto result = read_library(PROJECT_FOLDER "/data");
    EXPECT_TRUE(result) << result.errors().front().text();
    return std::move(*result);
  }();
  return read;
}

/// A small ring with old lacquer and leaded enamel; sprayed, dried, levelled and buffed.
struct Shed {
  Bench bench{shapes::torus(60, 24), library(), {nullptr}, {}, {}, 3};
  std::vector<ExistingCoat> coats{{"old lacquer", "nitrocellulose_lacquer", Origin::original, 60e-6, 0, 0, {}},
                                  {"enamel", "house_enamel_white", Origin::later, 60e-6, 0, 0, {}}};
  Room room;
  std::vector<Contents> contents;
  Plan plan;
  Shed() {
    room.volume_m3 = 60, room.fan_m3_s = 1.0, room.booth_face_m2 = 1.0, room.mixing_factor = 3;
    room.respirator = Respirator::full_face;
    contents = {{"nitrocellulose_lacquer", "sheet", {{"butyl_acetate", 0.7}, {"isopropanol", 0.3}}},
                {"lacquer_thinner", "sheet", {{"butyl_acetate", 0.5}, {"acetone", 0.5}}}};
    Clean wash;
    wash.with = "soap_water", wash.cloths = 6;
    Spray clear;
    clear.mixture = "nitrocellulose_lacquer", clear.coats = 2, clear.thinning = 1, clear.thinner = "lacquer_thinner";
    Sand key;
    key.depth_m = 3e-6;
    plan = {"p",
            "P",
            "",
            {{"wash", "", wash}, {"key", "", key}, {"clear", "", clear}, {"cure", "", Wait{}}, {"shine", "", Buff{}}}};
  }
  Guarded guarded() const { return {plan, bench, room, contents, coats, false}; }
  std::vector<StepAir> air() const {
    const auto film = existing_film(coats, bench);
    EXPECT_TRUE(film);
    const auto run = bench::run(plan, *film, bench);
    EXPECT_TRUE(run) << (run ? "" : run.errors().front().text());
    return air_of(guarded(), *run);
  }
  Gate gate(const std::vector<HoldPoint>& own = {}) const { return gate_of(guarded(), air(), own); }
};

const HoldPoint* about(const std::vector<HoldPoint>& holds, Hazard hazard) {
  const auto found = std::find_if(holds.begin(), holds.end(), [&](const HoldPoint& h) { return h.hazard == hazard; });
  return found == holds.end() ? nullptr : &*found;
}

TEST(Gate, EveryHazardOfTheStepsIsAQuestion) {
  const Gate gate = Shed().gate();
  for (const Hazard h : {Hazard::old_pigments, Hazard::ignition, Hazard::breathing, Hazard::skin,
                         Hazard::nitrocellulose_residue, Hazard::oily_rags, Hazard::wheel}) {
    EXPECT_NE(about(gate.open, h), nullptr) << words(&h)[static_cast<std::size_t>(h)];
    EXPECT_FALSE(cautions_of(h).empty());
  }
  EXPECT_EQ(about(gate.open, Hazard::old_pigments)->before, (std::vector<std::string>{"key", "shine"}));
  EXPECT_EQ(about(gate.open, Hazard::blades), nullptr);
  EXPECT_EQ(about(gate.open, Hazard::tin_contents), nullptr);
  ASSERT_NE(about(gate.met, Hazard::spraying_air), nullptr) << "the figures answer it";
  ASSERT_NE(about(gate.met, Hazard::drying_air), nullptr);
}

TEST(Gate, AnswersOfTheJobMeetThem) {
  std::vector<HoldPoint> own;
  for (const Hazard h : {Hazard::old_pigments, Hazard::ignition, Hazard::breathing, Hazard::skin,
                         Hazard::nitrocellulose_residue, Hazard::oily_rags, Hazard::wheel})
    own.push_back({"", {}, "", "yes, 2026-01-05", h, true});
  EXPECT_TRUE(Shed().gate(own).open.empty());
  own.front().answer = "not tested yet", own.front().met = false;
  EXPECT_EQ(Shed().gate(own).open.size(), 1u) << "an answer in words alone meets nothing";
  own.front().met = true;
  own.push_back({"Has the owner seen it?", {"clear"}, "", "", Hazard::none});
  EXPECT_EQ(Shed().gate(own).open.size(), 1u);
}

TEST(Gate, NoWordsMakeTooLittleAirEnough) {
  Shed shed;
  shed.room.fan_m3_s = 0.01;
  const std::vector<HoldPoint> own{{"", {}, "", "we open a window", Hazard::spraying_air, true}};
  const Gate gate = shed.gate(own);
  ASSERT_NE(about(gate.open, Hazard::spraying_air), nullptr);
  EXPECT_NE(about(gate.open, Hazard::spraying_air)->question.find("Too little for clear"), std::string::npos);
}

// Refused where any poisonous metal comes off as dust, from what the coat's material holds.
TEST(Gate, NoPoisonousCoatIsSandedDry) {
  for (const auto& [paint, metal] : {std::pair{"emerald_green", "arsenic"}, std::pair{"vermilion", "mercury"},
                                     std::pair{"chrome_yellow", "lead and chromate"}}) {
    Shed shed;
    shed.coats = {{"old colour", paint, Origin::later, 60e-6, 0, 0, {}}};
    Sand dry;
    dry.depth_m = 3e-6, dry.wet = false;
    shed.plan.steps = {{"key", "", dry}};
    const auto film = existing_film(shed.coats, shed.bench);
    ASSERT_TRUE(film);
    const auto run = bench::run(shed.plan, *film, shed.bench);
    ASSERT_FALSE(run) << paint;
    EXPECT_NE(run.errors().front().what.find(std::string("which holds ") + metal), std::string::npos)
        << run.errors().front().text();
  }
}

TEST(Gate, NamesNoFlowThatNobodyCanMove) {
  Shed shed;
  shed.room.booth_face_m2 = 0, shed.room.fan_m3_s = 0.3, shed.room.volume_m3 = 10, shed.room.mixing_factor.reset();
  shed.room.respirator = Respirator::none;
  auto& clear = std::get<Spray>(shed.plan.steps[2].step);
  clear.coats = 6, clear.wet_m = 200e-6;
  const Gate gate = shed.gate();
  const HoldPoint* air = about(gate.open, Hazard::spraying_air);
  ASSERT_NE(air, nullptr);
  EXPECT_NE(air->question.find("Too little for clear"), std::string::npos) << air->question;
  for (std::size_t at = air->question.find(" m3/h"); at != std::string::npos; at = air->question.find(" m3/h", at + 1))
    EXPECT_LE(at - air->question.rfind(' ', at - 1) - 1, 4u) << air->question;
}

TEST(Gate, NoAirIsEnoughForPoisonousMist) {
  for (const auto& [paint, hazard] :
       {std::pair{"red_lead", Hazard::poison_mist}, std::pair{"emerald_green", Hazard::poison_mist},
        std::pair{"two_pack_polyurethane", Hazard::hardener}}) {
    Shed shed;
    auto& clear = std::get<Spray>(shed.plan.steps[2].step);
    clear.mixture = paint, clear.thinning = 0.5;
    shed.contents[0].of = paint;
    shed.room.fan_m3_s = 30, shed.room.respirator = Respirator::supplied_air;
    const auto air = shed.air();
    ASSERT_FALSE(air.empty());
    EXPECT_EQ(air[0].verdict, AirVerdict::do_not_spray) << paint;
    const std::vector<HoldPoint> own{{"", {}, "", "we are careful", Hazard::poison_mist, true}};
    const Gate gate = shed.gate(own);
    EXPECT_NE(about(gate.open, Hazard::spraying_air), nullptr) << paint;
    EXPECT_NE(about(gate.open, hazard), nullptr) << paint;
  }
}

TEST(Gate, ATinOfUnknownContentsKeepsItShut) {
  Shed shed;
  shed.contents.erase(shed.contents.begin());
  const std::vector<HoldPoint> own{{"", {}, "", "smells fine", Hazard::spraying_air, true},
                                   {"", {}, "", "the usual", Hazard::tin_contents, true}};
  const Gate gate = shed.gate(own);
  ASSERT_NE(about(gate.open, Hazard::tin_contents), nullptr);
  EXPECT_NE(about(gate.open, Hazard::tin_contents)->question.find("nitrocellulose lacquer"), std::string::npos);
  EXPECT_NE(about(gate.open, Hazard::spraying_air), nullptr);
}

TEST(Gate, ARoomNobodyMeasuredIsNotKnown) {
  Shed shed;
  shed.room = {};
  shed.room.booth_face_m2 = 0;
  const Gate gate = shed.gate();
  ASSERT_NE(about(gate.open, Hazard::spraying_air), nullptr);
  EXPECT_NE(about(gate.open, Hazard::spraying_air)->question.find("be assessed, data missing"), std::string::npos);
}

// A coat that still dries while the next is sprayed adds its vapour; after a wait it no longer does.
TEST(PlanAir, WhatDriesBesideIsAddedUp) {
  Shed shed;
  const PlannedStep wash = shed.plan.steps[0], key = shed.plan.steps[1], clear = shed.plan.steps[2];
  PlannedStep more = clear;
  more.id = "more";
  const auto fire_of_more = [&](std::vector<PlannedStep> steps) {
    shed.plan.steps = std::move(steps);
    for (const StepAir& air : shed.air())
      if (air.step == "more") return air.asked.fire.value;
    return 0.0;
  };
  Wait day;
  day.duration_s = 86400;
  const double after_a_day = fire_of_more({wash, key, clear, {"wait", "", day}, more}),
               at_once = fire_of_more({wash, key, clear, more});
  EXPECT_GT(after_a_day, 0);
  EXPECT_GT(at_once, 1.02 * after_a_day);
  EXPECT_LT(at_once, 2 * after_a_day);
}

// Acid-cured lacquer gives off formaldehyde for weeks: the drying air is not met by what is worked out of its solvents.
TEST(Gate, WhatGivesOffPoisonAsItCuresIsAskedOfTheDryingRoom) {
  Shed shed;
  auto& clear = std::get<Spray>(shed.plan.steps[2].step);
  clear.mixture = "catalysed_lacquer", clear.thinning = 0, clear.thinner.clear();
  shed.contents[0].of = "catalysed_lacquer";
  shed.room.fan_m3_s = 30;
  const Gate gate = shed.gate();
  ASSERT_NE(about(gate.open, Hazard::drying_air), nullptr);
  EXPECT_NE(about(gate.open, Hazard::drying_air)->question.find("formaldehyde"), std::string::npos);
  const std::vector<HoldPoint> own{
      {"", {}, "", "a shed of its own, locked, fan on for a month", Hazard::drying_air, true}};
  EXPECT_EQ(about(shed.gate(own).open, Hazard::drying_air), nullptr);
}

// Books against the room: what was used evaporates while spraying, and what the film kept leaves in the wait.
TEST(PlanAir, VapourIsWhatWasUsedLessSolids) {
  Shed shed;
  shed.room.volume_m3 = 10, shed.room.fan_m3_s = 0.1, shed.room.mixing_factor = 10;
  const auto air = shed.air();
  ASSERT_EQ(air.size(), 2u);  // washing with soap and water asks for nothing
  EXPECT_EQ(air[0].step, "clear");
  EXPECT_TRUE(air[1].drying);
  const auto run = bench::run(shed.plan, *existing_film(shed.coats, shed.bench), shed.bench);
  double mass_kg = 0;
  for (const Used& used : run->steps[3].ledger.used) {
    const double solids = used.material == "nitrocellulose_lacquer" ? 0.2 : 0.0;
    const double density =
        used.material == "nitrocellulose_lacquer" ? 0.7 * 882.5 + 0.3 * 780.9 : 0.5 * 882.5 + 0.5 * 784.5;
    mass_kg += used.volume_m3 * (1 - solids) * density;
  }
  EXPECT_NEAR(air[0].vapour_mass.value, mass_kg, 0.003 * mass_kg);
  EXPECT_GT(air[0].vapour_mass.value, air[1].vapour_mass.value);
  EXPECT_GT(air[0].asked.breathing.value, 10 * air[0].asked.fire.value);
  EXPECT_GT(air[0].clear.value, 0);
}

TEST(PlanAir, AFasterFanLowersThePeakAndClearsSooner) {
  Shed slow, fast;
  slow.room.volume_m3 = fast.room.volume_m3 = 10, slow.room.mixing_factor = fast.room.mixing_factor = 10;
  slow.room.fan_m3_s = 0.02, fast.room.fan_m3_s = 0.03;
  const auto a = slow.air(), b = fast.air();
  EXPECT_LT(b[0].peak_of_limit.value, a[0].peak_of_limit.value);
  EXPECT_LT(b[0].clear.value, a[0].clear.value);
}

}  // namespace
}  // namespace witnessline::safety

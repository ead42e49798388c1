#include "safety/ventilation.h"

#include <gtest/gtest.h>

#include <cmath>

#include "safety/contents.h"
#include "safety/respirator.h"

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

constexpr double ft3_min = 4.719474432e-4, gallon_h = 3.785411784e-3 / 3600, room_K = 294.26;

VapourFlow flow(const char* id, double liquid_m3_s) { return {vapour_facts(*library().find(id)), liquid_m3_s}; }

Room booth() {
  Room room;
  room.volume_m3 = 60, room.fan_m3_s = 0.5, room.booth_face_m2 = 16 * 0.09290304, room.mixing_factor = 3;
  return room;
}

// Half a gallon of toluene an hour. The rule with its own old limit (1.4 %) asks 71 ft3/min against fire, 1 267 ft3/min
// keep the legal 200 ppm, and a booth of 16 ft2 draws 2 400.
TEST(Air, FireIsNotBreathIsNotTheBooth) {
  VapourFlow toluene = flow("toluene", 0.5 * gallon_h);
  toluene.of.explosive_limit->value = 0.014;
  toluene.of.breathing_limit->value = 200e-6;
  const AirAsked asked = air_asked(std::span(&toluene, 1), booth(), room_K, true);
  EXPECT_NEAR(asked.fire.value / ft3_min, 71.4, 0.7);
  EXPECT_NEAR(asked.breathing.value / 3 / ft3_min, 1267, 13);  // before the mixing factor
  EXPECT_NEAR(asked.face.value / ft3_min, 2400, 1e-6);
  EXPECT_EQ(asked.ruled_by, "breathing");
  EXPECT_EQ(asked.ruling.value, asked.breathing.value);
}

TEST(Air, TheLowestOfTheKnownLimitsRules) {
  const VapourFlow toluene = flow("toluene", 0.5 * gallon_h);
  EXPECT_DOUBLE_EQ(toluene.of.explosive_limit->value, 0.010);  // of 1.0, 1.1, 1.4
  EXPECT_DOUBLE_EQ(toluene.of.breathing_limit->value, 20e-6);  // of 20, 50, 100, 200 ppm
  const AirAsked asked = air_asked(std::span(&toluene, 1), booth(), room_K, true);
  EXPECT_NEAR(asked.fire.value / ft3_min, 71.4 * (0.99 / 0.010) / (0.986 / 0.014), 1.0);
  EXPECT_NEAR(asked.breathing.value / 3 / ft3_min, 12670, 130);
}

TEST(Air, WhatIsMissingIsNeverSafe) {
  Room room = booth();
  VapourFlow unknown = flow("toluene", 1e-6);
  unknown.of.breathing_limit.reset();
  AirAsked asked = air_asked(std::span(&unknown, 1), room, room_K, true);
  EXPECT_TRUE(std::isnan(asked.ruling.value));
  EXPECT_TRUE(std::isnan(asked.breathing.value));
  EXPECT_GT(asked.fire.value, 0);
  EXPECT_GT(asked.at_least.value, 0);
  ASSERT_EQ(asked.missing.size(), 1u);
  EXPECT_EQ(asked.missing[0], "a breathing limit of toluene");

  unknown = flow("toluene", 1e-6);
  unknown.of.explosive_limit.reset();
  EXPECT_TRUE(std::isnan(air_asked(std::span(&unknown, 1), room, room_K, true).ruling.value));

  const VapourFlow known = flow("toluene", 1e-6);
  room.booth_face_m2.reset();
  asked = air_asked(std::span(&known, 1), room, room_K, true);
  EXPECT_TRUE(std::isnan(asked.ruling.value)) << "no word of a booth";
  EXPECT_FALSE(std::isnan(air_asked(std::span(&known, 1), room, room_K, false).ruling.value)) << "drying needs none";
  room.booth_face_m2 = 1, room.crossdraught_m_s = 0.8;
  EXPECT_TRUE(std::isnan(air_asked(std::span(&known, 1), room, room_K, true).ruling.value)) << "draught too strong";
  EXPECT_FALSE(mix_of(std::span(&unknown, 1), room_K).complete());
}

TEST(Air, NoMixingFactorMeansTheWorst) {
  Room said = booth(), silent = booth();
  silent.mixing_factor.reset();
  const VapourFlow one = flow("butyl_acetate", 1e-6);
  EXPECT_NEAR(air_asked(std::span(&one, 1), silent, room_K, true).breathing.value,
              air_asked(std::span(&one, 1), said, room_K, true).breathing.value * 10 / 3, 1e-12);
}

TEST(Contents, ATinNobodyReadTheSheetOfIsUnknown) {
  std::vector<VapourFlow> flows;
  const Material& lacquer = *library().find("nitrocellulose_lacquer");
  add_vapours(flows, lacquer, 1e-6, library(), {});
  ASSERT_EQ(flows.size(), 1u);
  EXPECT_NEAR(flows[0].liquid_m3_s, 0.8e-6, 1e-12);
  EXPECT_NEAR(*flows[0].of.density_kg_m3, (945 - 0.2 * 1300) / 0.8, 1e-9);
  EXPECT_FALSE(flows[0].of.missing().empty());
  EXPECT_TRUE(std::isnan(air_asked(flows, booth(), room_K, true).ruling.value));

  const std::vector<Contents> read{{"nitrocellulose_lacquer", "sheet", {{"butyl_acetate", 0.7}, {"isopropanol", 0.3}}}};
  flows.clear();
  add_vapours(flows, lacquer, 1e-6, library(), read);
  ASSERT_EQ(flows.size(), 2u);
  EXPECT_NEAR(flows[0].liquid_m3_s, 0.56e-6, 1e-12);
  EXPECT_FALSE(std::isnan(air_asked(flows, booth(), room_K, true).ruling.value));
  EXPECT_TRUE(faults_of(read[0], library(), "contents[1]").empty());
}

TEST(Contents, ABlendOf103PerCentIsAFault) {
  const Contents wrong{"nitrocellulose_lacquer", "sheet", {{"butyl_acetate", 0.73}, {"isoprpanol", 0.3}}};
  const auto faults = faults_of(wrong, library(), "contents[1]");
  ASSERT_EQ(faults.size(), 2u);
  EXPECT_EQ(faults[0].where.key, "contents[1].solvents[2].material");
  EXPECT_NE(faults[0].mend.find("isopropanol"), std::string::npos);
  EXPECT_NE(faults[1].what.find("103.0"), std::string::npos);
}

TEST(Contents, WaterAsksNothing) {
  std::vector<VapourFlow> flows;
  add_vapours(flows, *library().find("soap_water"), 1e-6, library(), {});
  EXPECT_EQ(air_asked(flows, booth(), room_K, false).ruling.value, 0);
}

TEST(Cartridges, ThoseThatDoNotHoldAreNamed) {
  const auto fit = [](const char* id) { return cartridge_for(vapour_facts(*library().find(id)), 100e-6).fit; };
  EXPECT_EQ(fit("methanol"), CartridgeFit::does_not_hold);
  EXPECT_EQ(fit("dichloromethane"), CartridgeFit::does_not_hold);
  EXPECT_EQ(fit("acetone"), CartridgeFit::holds_briefly);
  EXPECT_EQ(fit("toluene"), CartridgeFit::holds);
  VapourFacts nameless;
  nameless.name = "a tin";
  EXPECT_EQ(cartridge_for(nameless, 1e-6).fit, CartridgeFit::not_known);
}

// The rule of thumb ends at 200 ppm of one solvent; what is breathed is shared as it evaporates.
TEST(Cartridges, NoneIsCreditedAboveItsLimitOrForWhatItHoldsBriefly) {
  const VapourFacts butyl = vapour_facts(*library().find("butyl_acetate"));
  EXPECT_EQ(cartridge_for(butyl, 199e-6).fit, CartridgeFit::holds);
  EXPECT_EQ(cartridge_for(butyl, 370e-6).fit, CartridgeFit::too_much);
  EXPECT_EQ(cartridge_for(butyl, NAN).fit, CartridgeFit::not_known);
  const std::vector<VapourFlow> both{flow("butyl_acetate", 1e-6), flow("toluene", 1e-6)};
  // Vapours by moles: 882.5/116.16 of butyl acetate to 866.9/92.14 of toluene, 44.7 to 55.3 %.
  const auto low = cartridges_for(both, room_K, 350e-6), high = cartridges_for(both, room_K, 400e-6);
  EXPECT_TRUE(all_hold(low));
  EXPECT_EQ(high[0].fit, CartridgeFit::holds);
  EXPECT_EQ(high[1].fit, CartridgeFit::too_much);
  EXPECT_FALSE(all_hold(high));
  EXPECT_FALSE(all_hold(cartridges_for(std::vector{flow("acetone", 1e-6)}, room_K, 10e-6)));
}

TEST(PoisonMist, IsReadFromFlagsBinderAndCautions) {
  const auto poison = [](const char* id) { return poison_of_mist(*library().find(id)); };
  EXPECT_EQ(poison("red_lead"), "lead");
  EXPECT_EQ(poison("chrome_yellow"), "lead and chromate");
  EXPECT_EQ(poison("emerald_green"), "arsenic");
  EXPECT_EQ(poison("polyurethane"), "isocyanate");
  EXPECT_EQ(poison("two_pack_polyurethane"), "isocyanate");
  EXPECT_EQ(poison("catalysed_lacquer"), "formaldehyde");
  EXPECT_EQ(poison("nitrocellulose_lacquer"), "");
  EXPECT_EQ(poison("zinc_white"), "");
  AirAsked nothing;
  nothing.fire.value = nothing.breathing.value = nothing.face.value = nothing.ruling.value = 0;
  EXPECT_EQ(verdict_of(nothing, 10.0, {Respirator::supplied_air, true, false, false}), AirVerdict::enough);
  EXPECT_EQ(verdict_of(nothing, 10.0, {Respirator::supplied_air, true, false, true}), AirVerdict::do_not_spray);
}

}  // namespace
}  // namespace witnessline::safety

#include "safety/ventilation.h"

#include <gtest/gtest.h>

#include <cmath>

#include "safety/air_advice.h"
#include "safety/contents.h"
#include "safety/handled.h"
#include "safety/ignition.h"
#include "safety/respirator.h"
#include "safety/room_air.h"

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
  EXPECT_NEAR(asked.breathing.value / 3 / 0.1 / ft3_min, 1267, 13);  // before mixing factor and capture
  EXPECT_NEAR(asked.face.value / ft3_min, 2400, 1e-6);
  EXPECT_NEAR(asked.face.band.low / ft3_min, 1600, 1e-6);  // 100 ft/min, 29 CFR 1910.107 (b)(5)
  EXPECT_EQ(asked.ruled_by, "face");
  EXPECT_EQ(asked.ruling.value, asked.face.value);
  Room bare = booth();
  bare.booth_face_m2 = 0;
  const AirAsked room = air_asked(std::span(&toluene, 1), bare, room_K, true);
  EXPECT_NEAR(room.breathing.value / 3 / ft3_min, 1267, 13) << "no booth captures nothing";
  EXPECT_EQ(room.ruled_by, "breathing");
}

TEST(Air, TheLowestOfTheKnownLimitsRules) {
  const VapourFlow toluene = flow("toluene", 0.5 * gallon_h);
  EXPECT_DOUBLE_EQ(toluene.of.explosive_limit->value, 0.010);  // of 1.0, 1.1, 1.4
  EXPECT_DOUBLE_EQ(toluene.of.breathing_limit->value, 20e-6);  // of 20, 50, 100, 200 ppm
  const AirAsked asked = air_asked(std::span(&toluene, 1), booth(), room_K, true);
  EXPECT_NEAR(asked.fire.value / ft3_min, 71.4 * (0.99 / 0.010) / (0.986 / 0.014), 1.0);
  EXPECT_NEAR(asked.breathing.value / 3 / 0.1 / ft3_min, 12670, 130);
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

// ACGIH (memory): 3 where fresh air passes the person first, to 10 where it does not.
TEST(Air, NoMixingFactorMeansTheWorstButAtABooth) {
  Room given = booth(), absent = booth();
  absent.mixing_factor.reset();
  const VapourFlow one = flow("butyl_acetate", 1e-6);
  const auto breathing = [&](const Room& room) {
    return air_asked(std::span(&one, 1), room, room_K, true).breathing.value;
  };
  EXPECT_NEAR(breathing(absent), breathing(given), 1e-12);
  given.booth_face_m2 = absent.booth_face_m2 = 0;
  EXPECT_NEAR(breathing(absent), breathing(given) * 10 / 3, 1e-12);
}

// A missing limit: the sum of the others stands as "at least", and what is not known is named.
TEST(Mix, OneMissingLimitLosesNoneOfTheOthers) {
  std::vector<VapourFlow> both{flow("toluene", 1e-6), flow("naphtha", 1e-6)};
  const VapourMix known = mix_of(both, room_K);
  EXPECT_TRUE(known.complete());
  EXPECT_TRUE(known.danger.complete()) << "none is published for naphtha: a tenth of its explosive limit stands for it";
  both[1].of.breathing_limit.reset(), both[1].of.danger_unpublished = false;
  const VapourMix part = mix_of(both, room_K);
  EXPECT_GT(part.breathing.per_share, 0.5 * known.breathing.per_share) << "toluene still counts";
  EXPECT_EQ(part.breathing.unknown, std::vector<std::string>{both[1].of.name});
  EXPECT_EQ(part.danger.unknown, std::vector<std::string>{both[1].of.name});
  EXPECT_FALSE(part.complete());
}

TEST(Mix, EverySolventHasItsImmediatelyDangerousConcentrationOrSaysThatNoneIsPublished) {
  for (const Material& m : library().all()) {
    if (m.role != Role::solvent || m.harmless_vapour) continue;
    EXPECT_TRUE(m.find(Property::danger_limit) || m.none_published.contains(Property::danger_limit)) << m.id;
  }
}

Airing spraying(std::span<const VapourFlow> flows, std::span<const Release> releases, const Room& room) {
  return {flows, releases, room, room_K, true, false, false, "", 300, 7200};
}

// HSE: a spray room with a small extract fan needs about half an hour; a mist whose poison is not worked out, no time.
TEST(RoomAir, NobodyReentersAfterSecondsNorAfterPoison) {
  const std::vector<VapourFlow> little{flow("butyl_acetate", 1e-9)};
  const std::vector<Release> releases{{0, 300, mix_of(little, room_K).vapour_m3_s, 0}};
  Room room;
  room.volume_m3 = 60, room.fan_m3_s = 2, room.booth_face_m2 = 0;
  EXPECT_DOUBLE_EQ(room_air(spraying(little, releases, room)).clear.value, 1800);
  room.booth_face_m2 = 1.5;
  EXPECT_DOUBLE_EQ(room_air(spraying(little, releases, room)).clear.value, 900);
  Airing poison = spraying(little, releases, room);
  poison.poison = "isocyanate";
  const RoomAir air = room_air(poison);
  EXPECT_TRUE(std::isnan(air.clear.value));
  EXPECT_EQ(air.verdict, AirVerdict::do_not_spray);
  // Much vapour and a weak fan: what is worked out rules, and bad mixing is its upper end.
  const std::vector<VapourFlow> much{flow("butyl_acetate", 2e-6)};
  const std::vector<Release> most{{0, 300, mix_of(much, room_K).vapour_m3_s, 0}};
  room.booth_face_m2 = 0, room.fan_m3_s = 0.1, room.mixing_factor = 3;
  const RoomAir slow = room_air(spraying(much, most, room));
  EXPECT_GT(slow.clear.value, 1800);
  EXPECT_GT(slow.clear.band.high, 2 * slow.clear.value);
}

// Filters may not be worn in air that is immediately dangerous, nor where that is not known (29 CFR 1910.134 (d)(2)).
TEST(RoomAir, NoFilterIsCreditedInImmediatelyDangerousAir) {
  const std::vector<VapourFlow> toluene{flow("toluene", 2e-6)};
  const std::vector<Release> releases{{0, 3600, mix_of(toluene, room_K).vapour_m3_s, 0}};
  Room room;
  room.volume_m3 = 30, room.fan_m3_s = 0.5, room.booth_face_m2 = 0, room.respirator = Respirator::full_face;
  RoomAir air = room_air(spraying(toluene, releases, room));
  EXPECT_TRUE(air.immediate());
  EXPECT_EQ(air.verdict, AirVerdict::too_little);
  EXPECT_NE(instead_of_more_air(air, {room, true}).find("open-face booth"), std::string::npos);

  std::vector<VapourFlow> unknown{flow("butyl_acetate", 0.05e-6)};
  const std::vector<Release> little{{0, 3600, mix_of(unknown, room_K).vapour_m3_s, 0}};
  EXPECT_EQ(room_air(spraying(unknown, little, room)).verdict, AirVerdict::enough_with_respirator);
  unknown[0].of.danger_limit.reset();
  air = room_air(spraying(unknown, little, room));
  EXPECT_EQ(air.danger_unknown.size(), 1u);
  EXPECT_EQ(air.verdict, AirVerdict::too_little);
}

// An open face at 0.51 m/s (29 CFR 1910.107 (b)(5)) takes most of the vapour; a fan that does not hold it takes none.
TEST(RoomAir, ABoothThatHoldsItsFaceCaptures) {
  Room room;
  room.volume_m3 = 30, room.booth_face_m2 = 1, room.mixing_factor = 5;
  EXPECT_DOUBLE_EQ(captured_share(room, 0.6), booth_captures);
  EXPECT_DOUBLE_EQ(captured_share(room, 0.4), 0);
  const std::vector<VapourFlow> one{flow("butyl_acetate", 0.5e-6)};
  const std::vector<Release> releases{{0, 3600, mix_of(one, room_K).vapour_m3_s, 0}};
  room.fan_m3_s = 0.6;
  const RoomAir booth = room_air(spraying(one, releases, room));
  room.booth_face_m2 = 0;
  const RoomAir bare = room_air(spraying(one, releases, room));
  EXPECT_NEAR(booth.peak_of_limit.value, 0.1 * bare.peak_of_limit.value, 1e-9);
  EXPECT_NEAR(booth.peak_of_fire.value, bare.peak_of_fire.value, 1e-12)
      << "what burns goes through the fan all the same";
  room.booth_face_m2 = 2, room.respirator = Respirator::half_mask;
  const RoomAir weak = room_air(spraying(one, releases, room));
  EXPECT_EQ(weak.verdict, AirVerdict::too_little);
  EXPECT_NE(instead_of_more_air(weak, {room, true}).find("close it down"), std::string::npos);
}

// Temperature classes of IEC 60079-0: T1 450, T2 300, T3 200 degC.
TEST(Ignition, TheLowestOfTheBlendRules) {
  const std::vector<VapourFlow> blend{flow("acetone", 1e-6), flow("heptane", 1e-6), flow("water", 1e-6)};
  const Ignition lit = ignition_of(blend);
  EXPECT_NEAR(*lit.flash_K, 253.15, 1e-9);
  EXPECT_NEAR(*lit.autoignition_K, 477.15, 1e-9);
  EXPECT_EQ(temperature_class(*lit.autoignition_K), "T3");
  EXPECT_TRUE(lit.unknown.empty());
  EXPECT_EQ(temperature_class(*ignition_of(std::vector{flow("toluene", 1e-6)}).autoignition_K), "T1");
  EXPECT_EQ(ignition_of(std::vector{flow("pm_acetate", 1e-6)}).unknown.size(), 1u);
  EXPECT_EQ(ignition_advice(ignition_of(std::vector{flow("water", 1e-6)}), room_K), "");
}

TEST(Ignition, OfSeveralStepsStandsInOneSentenceACase) {
  const Ignition both = either_of(ignition_of(std::vector{flow("heptane", 1e-6), flow("pm_acetate", 1e-6)}),
                                  ignition_of(std::vector{flow("acetone", 1e-6), flow("pm_acetate", 1e-6)}));
  EXPECT_NEAR(*both.flash_K, 253.15, 1e-9);
  EXPECT_EQ(both.unknown.size(), 1u) << "a name stands once";
  const std::string text = ignition_advice(both, room_K);
  EXPECT_EQ(text.find(" flashes at "), text.rfind(" flashes at ")) << text;
  EXPECT_NE(text.find("incomplete: assume any spark or hot surface lights it."), std::string::npos) << text;
}

// A liquid counts as flammable up to a flash point of 60 degC (GHS 2.6, from memory). Nine of water and one of butyl
// glycol (67 degC) ask for no gear for explosive air; a share of acetone, a missing figure or no water do.
TEST(Ignition, MostlyWaterNeedsNoRatedGearUnlessWhatItCarriesIsFlammable) {
  const auto advice = [](std::vector<VapourFlow> flows) { return ignition_advice(ignition_of(flows), room_K); };
  const std::string water_borne = advice({flow("water", 9e-6), flow("butyl_glycol", 1e-6)});
  EXPECT_EQ(water_borne.find("explosive air"), std::string::npos) << water_borne;
  EXPECT_NE(water_borne.find("ordinary fan"), std::string::npos) << water_borne;
  EXPECT_NE(advice({flow("butyl_glycol", 1e-6)}).find("explosive air"), std::string::npos) << "mist without water";
  EXPECT_NE(advice({flow("water", 9e-6), flow("acetone", 1e-6)}).find("explosive air"), std::string::npos);
  const std::string unknown = advice({flow("water", 9e-6), flow("pm_acetate", 1e-6)});
  EXPECT_NE(unknown.find("incomplete"), std::string::npos) << unknown;
  EXPECT_EQ(unknown.find("ordinary fan"), std::string::npos) << unknown;
  const Ignition both = either_of(ignition_of(std::vector{flow("water", 9e-6), flow("butyl_glycol", 1e-6)}),
                                  ignition_of(std::vector{flow("acetone", 1e-6)}));
  EXPECT_TRUE(both.needs_rated_gear()) << "a solvent wipe in the same plan";
}

TEST(Missing, StandsOnceWithWhereItIsEntered) {
  EXPECT_EQ(describe_missing({"the solvents of a", "the solvents of b", "the solvents of c"}),
            "The solvents of a, b and c are missing: enter them under [[contents]].");
  EXPECT_EQ(describe_missing({"a breathing limit of d"}), "Needed: a breathing limit of d.");
  EXPECT_EQ(listed({"shellac, two-pound cut", "lacquer"}), "shellac, two-pound cut; and lacquer");
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
  EXPECT_NE(faults[0].fix.find("isopropanol"), std::string::npos);
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

TEST(PoisonMist, IsReadFromWhatTheMaterialHolds) {
  const auto poison = [](const char* id) { return poison_of_mist(*library().find(id)); };
  EXPECT_EQ(poison("red_lead"), "lead");
  EXPECT_EQ(poison("chrome_yellow"), "lead and chromate");
  EXPECT_EQ(poison("emerald_green"), "arsenic");
  EXPECT_EQ(poison("polyurethane"), "") << "oil-modified: its isocyanate was used up when it was made";
  EXPECT_EQ(poison("vermilion"), "mercury");
  EXPECT_EQ(poison("polyester"), "styrene");
  EXPECT_EQ(poison("two_pack_polyurethane"), "isocyanate");
  EXPECT_EQ(poison("catalysed_lacquer"), "formaldehyde");
  EXPECT_EQ(poison("nitrocellulose_lacquer"), "");
  EXPECT_EQ(poison("zinc_white"), "");
  AirAsked nothing;
  nothing.fire.value = nothing.breathing.value = nothing.face.value = nothing.ruling.value = 0;
  EXPECT_EQ(verdict_of(nothing, 10.0, {}), AirVerdict::enough);
  EXPECT_EQ(verdict_of(nothing, 10.0, {.poison_mist = true}), AirVerdict::do_not_spray);
  EXPECT_EQ(verdict_of(nothing, 10.0, {.poison_vapour = true}), AirVerdict::not_known);
  EXPECT_EQ(verdict_of(nothing, 10.0, {.nobody = true, .poison_vapour = true}), AirVerdict::enough_with_nobody_in);
  EXPECT_EQ(cartridge_against("isocyanate").fit, CartridgeFit::does_not_hold);
}

}  // namespace
}  // namespace witnessline::safety

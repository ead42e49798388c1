// One concentration decides the verdict, the peak and the demand; sentences of rooms, booths and the open air.
#include "safety/air_advice.h"

#include <gtest/gtest.h>

#include <cmath>

#include "safety/rounded.h"

namespace witnessline::safety {
namespace {

const Library& library() {
  static const Library read = *read_library(PROJECT_FOLDER "/data");
  return read;
}

constexpr double room_K = 294.15;

/// Three coats of 4 min with an hour between, sprayed and dried in one place.
struct Day {
  Spraying spraying{{}, 3, 240, 3600, 0.3, 1200, room_K};
  Room room;
  Day(const char* solvent, double liquid_mL_min, std::optional<double> booth_m2, double fan_m3_h) {
    spraying.flows = {{vapour_facts(*library().find(solvent)), liquid_mL_min * 1e-6 / 60}};
    room.volume_m3 = 30, room.fan_m3_s = fan_m3_h / 3600, room.booth_face_m2 = booth_m2.value_or(0);
  }
  RoomAir air(bool gun, const std::string& poison = "") const {
    const VapourMix mix = mix_of(spraying.flows, room_K);
    const std::vector<Release> releases = releases_of(spraying, mix.vapour_m3_s, false).spraying;
    return room_air({spraying.flows, releases, room, room_K, gun, !gun, false, poison, spraying.end_s(),
                     spraying.end_s() + 7200, gun ? 0.0 : spraying.end_s()});
  }
};

TEST(OneConcentration, EnoughIsAPeakBelowTheLimitAndAFanAboveTheDemand) {
  bool enough_seen = false, too_little_seen = false;
  for (const char* solvent : {"ethanol", "toluene", "butyl_acetate"})
    for (const double mL_min : {2.0, 30.0, 150.0})
      for (const double fan_m3_h : {300.0, 2800.0, 9000.0}) {
        const Day day(solvent, mL_min, {}, fan_m3_h);
        const RoomAir air = day.air(true);
        if (air.asked.fire.value > air.fan.value) continue;
        const bool enough = air.verdict == AirVerdict::enough;
        EXPECT_EQ(enough, air.peak_of_limit.value <= 1) << solvent << mL_min << " " << fan_m3_h;
        EXPECT_EQ(enough, air.asked.breathing.value <= air.fan.value * (1 + 1e-6)) << solvent << mL_min;
        EXPECT_EQ(enough || air.verdict == AirVerdict::too_little, true) << "no respirator is worn";
        enough_seen |= enough, too_little_seen |= !enough;
      }
  EXPECT_TRUE(enough_seen && too_little_seen);
}

// With the demand of the steady state the smallest flow would be that of a gun that never stops.
TEST(OneConcentration, TheDemandIsTheFlowThatJustKeepsTheLimit) {
  Day day("toluene", 30, {}, 3000);
  const double asked_m3_s = day.air(true).asked.breathing.value;
  day.room.fan_m3_s = asked_m3_s;
  EXPECT_NEAR(day.air(true).peak_of_limit.value, 1, 1e-4);
  EXPECT_LT(asked_m3_s, air_asked(day.spraying.flows, day.room, room_K, true).breathing.value);
}

TEST(OneConcentration, DryingInTheBoothHasTheBoothsCreditToo) {
  for (const double mL_min : {5.0, 60.0, 150.0}) {
    const Day day("toluene", mL_min, 1.0, 2800);
    const RoomAir gun = day.air(true), dries = day.air(false);
    EXPECT_LE(dries.peak_of_limit.value, gun.peak_of_limit.value);
    EXPECT_NEAR(dries.captured, booth_captures, 1e-12);
    EXPECT_FALSE(dries.immediate() && dries.verdict == AirVerdict::enough);
    EXPECT_EQ(dries.clear.value, gun.clear.value) << "one air, one time to come back";
  }
}

// Shellac in alcohol at a booth that holds its face: 1000 ppm is a generous limit, practice sprays it without a mask
// against vapour.
TEST(OneConcentration, SpiritAtABoothIsEnoughWithAMargin) {
  const RoomAir air = Day("ethanol", 120, 1.0, 2800).air(true);
  EXPECT_EQ(air.verdict, AirVerdict::enough);
  EXPECT_LT(air.peak_of_limit.value, 0.5);
  EXPECT_NE(describe_air(air, {Day("ethanol", 120, 1.0, 2800).room, true})[0].find("below half"), std::string::npos);
}

TEST(OpenAir, APoisonGivenOffIsNeverEnough) {
  for (const std::string poison : {"styrene", "isocyanate"}) {
    Day day("butyl_acetate", 1, {}, 1);
    day.room = {}, day.room.outdoors = true, day.room.respirator = Respirator::half_mask;
    const RoomAir gun = day.air(true, poison), dries = day.air(false, poison);
    EXPECT_LT(dries.peak_of_limit.value, 1) << "its solvent alone would pass";
    EXPECT_EQ(gun.verdict, AirVerdict::do_not_spray);
    EXPECT_EQ(dries.verdict, AirVerdict::enough_with_nobody_in);
    const auto sprayed = describe_air(gun, {day.room, true, false, poison}),
               cured = describe_air(dries, {day.room, false, false, poison});
    EXPECT_NE(sprayed.back().find("air away and upwind"), std::string::npos) << sprayed.back();
    EXPECT_EQ(sprayed.back().find("booth"), std::string::npos) << sprayed.back();
    EXPECT_NE(cured[0].find("keep everyone away"), std::string::npos) << cured[0];
    ASSERT_EQ(gun.cartridges.size(), 1u);
    EXPECT_EQ(gun.cartridges[0].solvent, poison);
    EXPECT_EQ(gun.cartridges[0].says.find("for a shift"), std::string::npos);
  }
}

TEST(OpenAir, SendsNobodyOutdoorsNorAirsARoom) {
  Day day("toluene", 300, {}, 1);
  day.room = {}, day.room.outdoors = true;
  const RoomAir air = day.air(true);
  ASSERT_EQ(air.verdict, AirVerdict::too_little);
  std::string all;
  for (const std::string& sentence : describe_air(air, {day.room, true})) all += sentence;
  for (const Note& note : air_dangers(air, {day.room, true})) all += note.text;
  for (const char* wrong : {"whole room", "spray outdoors", "enters", "fan"})
    EXPECT_EQ(all.find(wrong), std::string::npos) << wrong << ": " << all;
  EXPECT_NE(all.find("steady wind"), std::string::npos) << all;
}

TEST(Margin, IsInWordsFirst) {
  EXPECT_EQ(describe_margin(0.38), "below half its breathing limit");
  EXPECT_NE(describe_margin(0.9).find("too close to call"), std::string::npos);
  EXPECT_EQ(describe_margin(54.7), "about 55 times its breathing limit");
  EXPECT_NE(describe_margin(NAN).find("unknown"), std::string::npos);
}

TEST(Rounded, ToTwoFiguresAndDemandsUpwards) {
  EXPECT_EQ(show_rounded(2743.2 / 3600, Quantity::air_flow, BenchUnits::metric), "2700 m3/h");
  EXPECT_EQ(show_rounded(2743.2 / 3600, Quantity::air_flow, BenchUnits::metric, true), "2800 m3/h");
  EXPECT_EQ(show_rounded(2800.0 / 3600, Quantity::air_flow, BenchUnits::metric, true), "2800 m3/h");
  EXPECT_EQ(show_rounded(900, Quantity::duration, BenchUnits::metric), "15 min");
  EXPECT_EQ(two_figures(0.0942), "0.094");
  EXPECT_EQ(two_figures(9.97), "10");
  EXPECT_EQ(two_figures(0), "0");
  EXPECT_EQ(describe_flow(385737.0 / 3600, BenchUnits::metric).find_first_of("0123456789"), std::string::npos)
      << "a flow nobody can move is no number";
}

}  // namespace
}  // namespace witnessline::safety

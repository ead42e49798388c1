#include "job/spots.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace witnessline::job {
namespace {

const Library& library() {
  static const Library held = [] {
    Result<Library> read = read_library(std::string(PROJECT_FOLDER) + "/data");
    if (!read) throw std::runtime_error(read.errors()[0].text());
    return *read;
  }();
  return held;
}

/// Old red toner and old lacquer, over which a white primer is sprayed.
Job job() {
  Job j;
  j.coats = {{"old red", "red_toner", Origin::original, 20e-6, 2e-6, 0, {}},
             {"old clear", "nitrocellulose_lacquer", Origin::original, 60e-6, 5e-6, 0, {}}};
  return j;
}
Plan plan(const std::string& mixture) {
  Spray spray;
  spray.mixture = mixture, spray.thinner = "lacquer_thinner", spray.thinning = 1, spray.where.on = {"front"};
  Plan p;
  p.id = "over", p.steps = {{"lay", "", spray}};
  return p;
}
Run run_on(std::vector<LaidOn> grounds) {
  Run r;
  r.steps.resize(2);
  r.steps[1].laid_on = std::move(grounds);
  return r;
}
std::vector<HoldPoint> open(const Job& j, const std::string& mixture, std::vector<LaidOn> grounds) {
  return open_spots(j, plan(mixture), run_on(std::move(grounds)), library());
}
SpotTest spot(SpotKind kind, const std::string& coat, SpotResult result) {
  SpotTest s;
  s.kind = kind, s.coat = coat, s.result = result;
  return s;
}

TEST(Spots, SprayingOverAnOldCoatWaitsForFisheyes) {
  const std::vector<HoldPoint> held =
      open(job(), "nitrocellulose_lacquer", {{"old clear", Origin::original, 0.1, Meeting::bites_in}});
  ASSERT_EQ(held.size(), 1u);
  EXPECT_NE(held[0].question.find("fisheyes"), std::string::npos);
  EXPECT_EQ(held[0].before, std::vector<std::string>{"lay"});
  EXPECT_EQ(held[0].plan, "over");
  EXPECT_TRUE(held[0].answer.empty());
}

TEST(Spots, WhatOnlySitsOnTopWaitsForABondSpot) {
  const std::vector<LaidOn> ground{{"old clear", Origin::original, 0.1, Meeting::sits_on_top}};
  Job j = job();
  j.spots = {spot(SpotKind::fisheye, "old clear", SpotResult::clear)};
  const std::vector<HoldPoint> held = open(j, "nitrocellulose_lacquer", ground);
  ASSERT_EQ(held.size(), 1u);
  EXPECT_NE(held[0].question.find("tape"), std::string::npos);
  j.spots.push_back(spot(SpotKind::bond, "old clear", SpotResult::clear));
  EXPECT_TRUE(open(j, "nitrocellulose_lacquer", ground).empty());
}

TEST(Spots, ALightCoatOverOldRedWaitsForABleedSpot) {
  const auto asks_bleed = [](const std::vector<HoldPoint>& held) {
    return std::any_of(held.begin(), held.end(),
                       [](const HoldPoint& h) { return h.question.find("free of bleed") != std::string::npos; });
  };
  EXPECT_TRUE(asks_bleed(open(job(), "white_primer", {{"old red", Origin::original, 0.1, Meeting::bites_in}})));
  EXPECT_FALSE(asks_bleed(open(job(), "white_primer", {{"old clear", Origin::original, 0.1, Meeting::bites_in}})));
  EXPECT_FALSE(
      asks_bleed(open(job(), "nitrocellulose_lacquer", {{"old red", Origin::original, 0.1, Meeting::bites_in}})));
}

TEST(Spots, AClearSpotAnswersAFailedOneSaysWhatToDo) {
  const std::vector<LaidOn> ground{{"old clear", Origin::original, 0.1, Meeting::bites_in}};
  Job j = job();
  j.spots = {spot(SpotKind::fisheye, "old clear", SpotResult::clear)};
  EXPECT_TRUE(open(j, "nitrocellulose_lacquer", ground).empty());
  j.spots.push_back(spot(SpotKind::fisheye, "old clear", SpotResult::fails));
  const std::vector<HoldPoint> held = open(j, "nitrocellulose_lacquer", ground);
  ASSERT_EQ(held.size(), 1u);
  EXPECT_NE(held[0].question.find("silicone"), std::string::npos);
  j.spots = {spot(SpotKind::fisheye, "old clear", SpotResult::not_done)};
  EXPECT_EQ(open(j, "nitrocellulose_lacquer", ground).size(), 1u);
}

TEST(Spots, ASpotSpeaksForItsOwnPaintAndZone) {
  const std::vector<LaidOn> ground{{"old clear", Origin::original, 0.1, Meeting::bites_in}};
  Job j = job();
  j.spots = {spot(SpotKind::fisheye, "old clear", SpotResult::clear)};
  j.spots[0].with = PaintTin{};
  j.spots[0].with->material = "shellac";
  EXPECT_EQ(open(j, "nitrocellulose_lacquer", ground).size(), 1u);
  j.spots[0].with->material = "nitrocellulose_lacquer", j.spots[0].with->batch = "L-1";
  EXPECT_TRUE(open(j, "nitrocellulose_lacquer", ground).empty());
  PaintTin other;
  other.material = "nitrocellulose_lacquer", other.batch = "L-2";
  j.shelf = {other};
  EXPECT_EQ(open(j, "nitrocellulose_lacquer", ground).size(), 1u) << "the plan lays another tin";
  j.shelf.push_back(*j.spots[0].with);
  EXPECT_TRUE(open(j, "nitrocellulose_lacquer", ground).empty());
  j.spots[0].with.reset(), j.spots[0].where.on = {"back"};
  EXPECT_EQ(open(j, "nitrocellulose_lacquer", ground).size(), 1u);
  j.spots[0].where.on = {"back", "front"};
  EXPECT_TRUE(open(j, "nitrocellulose_lacquer", ground).empty());
}

TEST(Spots, CoatsOfThePlanAndRaggedEdgesAskNothing) {
  EXPECT_TRUE(open(job(), "nitrocellulose_lacquer",
                   {{"seal", Origin::this_plan, 0.1, Meeting::bites_in},
                    {"old clear", Origin::original, 0.5e-4, Meeting::bites_in}})
                  .empty());
}

TEST(Spots, WoodThatWasFinishedIsAskedForFreshWoodIsNot) {
  EXPECT_EQ(open(job(), "nitrocellulose_lacquer", {{"wood", Origin::original, 0.1, Meeting::bites_in}}).size(), 1u);
  EXPECT_TRUE(open(Job{}, "nitrocellulose_lacquer", {{"wood", Origin::original, 0.1, Meeting::bites_in}}).empty());
}

TEST(Spots, APairThatMayLiftWaitsForAWetSpot) {
  Job j = job();
  j.coats.push_back({"enamel", "alkyd_varnish", Origin::later, 50e-6, 5e-6, 0, {}});
  for (const Meeting risky : {Meeting::lifts_or_crazes, Meeting::unknown})
    EXPECT_EQ(open(j, "nitrocellulose_lacquer", {{"enamel", Origin::later, 0.1, risky}}).size(), 2u);
  EXPECT_EQ(open(j, "shellac", {{"enamel", Origin::later, 0.1, Meeting::sits_on_top}}).size(), 2u)
      << "fisheye and bond";
}

TEST(Spots, RedsAndDyesMayBleedWhitesAndBluesDoNot) {
  for (const char* id : {"red_toner", "brown_toner", "eosin_lake", "cochineal_lake", "vermilion"})
    EXPECT_TRUE(may_bleed(*library().find(id))) << id;
  for (const char* id : {"lead_white", "ultramarine", "viridian", "bone_black", "nitrocellulose_lacquer"})
    EXPECT_FALSE(may_bleed(*library().find(id))) << id;
  for (const char* id : {"lead_white", "zinc_white", "white_primer"}) EXPECT_TRUE(light(*library().find(id))) << id;
  for (const char* id : {"ultramarine", "bone_black", "red_toner"}) EXPECT_FALSE(light(*library().find(id))) << id;
}

}  // namespace
}  // namespace witnessline::job

#include "safety/handled.h"

#include <gtest/gtest.h>

namespace witnessline::safety {
namespace {

const Library& library() {
  static const Library read = *read_library(PROJECT_FOLDER "/data");
  return read;
}

std::vector<RaisedHazard> of(std::initializer_list<const char*> ids, const Work& work = {}) {
  std::vector<Handled> all;
  for (const char* id : ids) all.push_back({library().find(id), "", false});
  return hazards_of(all, work);
}

bool raises(const std::vector<RaisedHazard>& all, Hazard hazard, Severity severity) {
  return std::any_of(all.begin(), all.end(),
                     [&](const RaisedHazard& r) { return r.hazard == hazard && r.severity == severity; });
}

TEST(Handled, WhatAMaterialHoldsRaisesItsHazard) {
  EXPECT_TRUE(raises(of({"red_lead"}), Hazard::old_pigments, Severity::danger));
  EXPECT_TRUE(raises(of({"red_lead"}, {.sprays = true}), Hazard::poison_mist, Severity::danger));
  EXPECT_FALSE(raises(of({"red_lead"}, {.cuts = true}), Hazard::poison_mist, Severity::danger));
  for (const char* id : {"two_pack_polyurethane", "polyester", "catalysed_lacquer"})
    EXPECT_TRUE(raises(of({id}), Hazard::hardener, Severity::danger)) << id;
  EXPECT_TRUE(raises(of({"nitrocellulose_lacquer"}), Hazard::nitrocellulose_residue, Severity::caution));
  EXPECT_TRUE(
      raises(of({"nitrocellulose_lacquer"}, {.opens = true}), Hazard::nitrocellulose_residue, Severity::danger));
  for (const char* id : {"oil_varnish", "alkyd_varnish", "polyurethane", "pore_filler"})
    EXPECT_TRUE(raises(of({id}), Hazard::oily_rags, Severity::caution)) << id;
  EXPECT_TRUE(of({"shellac", "acrylic_lacquer", "water_borne_lacquer"}).empty());
}

// 29 CFR 1910.107 (g)(5): coatings whose mixed residues may ignite spontaneously are not alternated in one booth.
TEST(Handled, NitrocelluloseAndOilInOneFilterIsADanger) {
  EXPECT_TRUE(raises(of({"nitrocellulose_lacquer", "oil_varnish"}, {.sprays = true}), Hazard::nitrocellulose_residue,
                     Severity::danger));
  EXPECT_FALSE(raises(of({"nitrocellulose_lacquer", "oil_varnish"}), Hazard::nitrocellulose_residue, Severity::danger));
}

TEST(Handled, OldColourCountsAsLeadedWhateverItsMaterialSays) {
  const Handled tin{library().find("alkyd_enamel_white"), "the white tin", true},
      unknown{nullptr, "the blue coat", true};
  for (const Handled& one : {tin, unknown}) {
    const auto raised = hazards_of({&one, 1}, {.cuts = true});
    EXPECT_TRUE(raises(raised, Hazard::old_pigments, Severity::danger)) << one.name;
    EXPECT_NE(raised.front().text.find(one.name), std::string::npos);
  }
  EXPECT_TRUE(counts_as_leaded({}));
  EXPECT_TRUE(counts_as_leaded(45));
  EXPECT_FALSE(counts_as_leaded(5));
}

// A film hard for years is not sprayed and gives nothing off; what stays in it as poison or as fire does.
TEST(Handled, ACuredFilmIsNotCautionedAsPaint) {
  const auto film = [](const char* id) { return Handled{library().find(id), "", false, true}; };
  const Handled lacquer{library().find("nitrocellulose_lacquer"), "", false};
  const std::vector<Handled> over{lacquer, film("polyester"), film("oil_varnish"), film("house_enamel_white")};
  const auto raised = hazards_of(over, {.sprays = true});
  EXPECT_FALSE(raises(raised, Hazard::hardener, Severity::danger));
  EXPECT_FALSE(raises(raised, Hazard::poison_mist, Severity::danger)) << "nobody sprays the old enamel";
  EXPECT_TRUE(raises(raised, Hazard::old_pigments, Severity::danger)) << "its dust is lead all the same";
  EXPECT_FALSE(raises(raised, Hazard::oily_rags, Severity::caution));
  EXPECT_FALSE(raises(raised, Hazard::nitrocellulose_residue, Severity::danger)) << "no oil in the filter";
  EXPECT_TRUE(raises(raised, Hazard::nitrocellulose_residue, Severity::caution));
}

TEST(Handled, StyreneIsNamedByItsPaint) {
  const auto both = of({"styrene", "polyester"}), alone = of({"styrene"});
  for (const RaisedHazard& one : both)
    if (one.hazard == Hazard::hardener) EXPECT_EQ(one.text.find("; styrene"), std::string::npos) << one.text;
  EXPECT_TRUE(raises(alone, Hazard::hardener, Severity::danger));
}

TEST(Handled, HazardsComeFromDataNotFromNames) {
  Material made = *library().find("shellac");
  made.name = "lead-free isocyanate-free finish", made.cautions = {"No lead, no isocyanate, no styrene."};
  const Handled one{&made, "", false};
  EXPECT_TRUE(hazards_of({&one, 1}, {.sprays = true}).empty());
  made.name = "sunshine", made.cautions.clear(), made.holds = {Harmful::lead};
  EXPECT_EQ(hazards_of({&one, 1}, {.sprays = true}).size(), 2u);
}

TEST(Handled, HeatNearNitrocelluloseIsADanger) {
  EXPECT_TRUE(
      raises(of({"nitrocellulose_lacquer"}, {.heats = true}), Hazard::nitrocellulose_residue, Severity::danger));
  EXPECT_FALSE(raises(of({"shellac"}, {.heats = true}), Hazard::nitrocellulose_residue, Severity::danger));
}

TEST(Handled, AMixtureOfTheJobIsWhatItIsMadeOf) {
  std::vector<Handled> all;
  add_mixture(all, {"sunburst_red", "sunburst red", {{"nitrocellulose_lacquer", 0.8}, {"red_lead", 0.2}}}, library());
  const auto raised = hazards_of(all, {.sprays = true});
  EXPECT_TRUE(raises(raised, Hazard::poison_mist, Severity::danger));
  EXPECT_TRUE(raises(raised, Hazard::nitrocellulose_residue, Severity::caution));
}

TEST(Handled, ManyTinsAreNamedOnceInOneSentence) {
  const auto raised = of({"red_lead", "lead_white", "chrome_yellow", "chrome_yellow_deep", "red_lead"});
  ASSERT_EQ(raised.size(), 2u);  // lead, and the nitrocellulose that binds it
  EXPECT_NE(raised[0].text.find("and 1 more"), std::string::npos) << raised[0].text;
  EXPECT_EQ(raised[0].of.size(), 4u);
}

}  // namespace
}  // namespace witnessline::safety

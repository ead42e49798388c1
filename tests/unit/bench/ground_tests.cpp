#include "bench/ground.h"

#include <gtest/gtest.h>

#include "bench/existing.h"
#include "shapes/bench_bodies.h"

namespace witnessline::bench {
namespace {

const Bench& bench() {
  static const Result<Library> library = read_library(PROJECT_FOLDER "/data");
  static const Bench held{shapes::torus(88, 26), *library, {nullptr}, {}, {}, 7};
  return held;
}
Film coated(const std::string& mixture, double thickness_m = 60e-6) {
  return *existing_film({{"old", mixture, Origin::original, thickness_m, 0, 0, {}}}, bench(), 0);
}
Spray coat_of(const std::string& mixture, const std::string& thinner = "", double thinning = 0) {
  Spray spray;
  spray.mixture = mixture, spray.thinner = thinner, spray.thinning = thinning;
  return spray;
}
Result<StepResult> done(const Step& step, const Film& film) { return run_step({"it", "", step}, film, bench()); }
double dissolved_m3(const StepResult& result) {
  double sum = 0;
  for (const CoatVolumes& coat : result.ledger.coats) sum += coat.dissolved_m3;
  return sum;
}
const Note* says(const StepResult& result, const std::string& words) {
  for (const Note& note : result.notes)
    if (note.text.find(words) != std::string::npos) return &note;
  return nullptr;
}
std::string fault(const Step& step, const Film& film) {
  const Result<StepResult> result = done(step, film);
  return result ? "" : result.errors()[0].text();
}

TEST(Ground, LacquerMeltsIntoLacquerWaterBorneIntoNothing) {
  const Film old = coated("nitrocellulose_lacquer");
  const Result<StepResult> lacquer = done(coat_of("nitrocellulose_lacquer", "lacquer_thinner", 1), old);
  ASSERT_TRUE(lacquer);
  EXPECT_GT(dissolved_m3(*lacquer), 0);
  ASSERT_TRUE(says(*lacquer, "bites into 'old'"));
  for (const char* under : {"nitrocellulose_lacquer", "shellac", "spirit_varnish", "acrylic_lacquer"}) {
    const Result<StepResult> water = done(coat_of("water_borne_lacquer"), coated(under));
    ASSERT_TRUE(water) << under;
    EXPECT_EQ(dissolved_m3(*water), 0) << under;
    EXPECT_FALSE(says(*water, "bites into")) << under;
  }
}

TEST(Ground, WipingOverLeadIsNoCut) {
  const Result<StepResult> wiped = done(Clean{}, coated("house_enamel_white"));
  ASSERT_TRUE(wiped);
  EXPECT_TRUE(says(*wiped, "(lead) is in the area being wiped"));
  EXPECT_FALSE(says(*wiped, "lies under what is cut"));
}

// White spirit stays when the lacquer's own solvents have left.
TEST(Ground, AThinnerThatTurnsAsItDriesIsADanger) {
  const Result<StepResult> wrong =
      done(coat_of("nitrocellulose_lacquer", "mineral_spirits", 0.25), coated("nitrocellulose_lacquer"));
  ASSERT_TRUE(wrong) << wrong.errors()[0].text();
  const Note* shown_text = says(*wrong, "Do not spray with it");
  ASSERT_TRUE(shown_text);
  EXPECT_EQ(shown_text->severity, Severity::danger);
  EXPECT_FALSE(says(*done(coat_of("nitrocellulose_lacquer", "lacquer_thinner", 1), coated("nitrocellulose_lacquer")),
                    "Do not spray with it"));
}

TEST(Ground, APairThatMayLiftCarriesTheTestAndTheRescue) {
  const Result<StepResult> acrylic =
      done(coat_of("acrylic_lacquer", "lacquer_thinner", 1), coated("nitrocellulose_lacquer"));
  ASSERT_TRUE(acrylic);
  const Note* shown_text = says(*acrylic, "'old'");
  ASSERT_TRUE(shown_text);
  EXPECT_GE(shown_text->severity, Severity::caution);
  EXPECT_NE(shown_text->text.find("full wet spot"), std::string::npos);
  EXPECT_NE(shown_text->text.find("shellac"), std::string::npos);
  EXPECT_NE(acrylic->laid_on[0].meeting, Meeting::bites_in);
}

TEST(Ground, AThinCoatOfThePlanMeltingWholeIntoItsKindIsNoWarning) {
  Spray mist = coat_of("nitrocellulose_lacquer", "lacquer_thinner", 3);
  mist.wet_m = 20e-6;
  const Result<StepResult> first = run_step({"mist", "", mist}, bare_film(bench().body), bench());
  ASSERT_TRUE(first);
  const Result<StepResult> next = done(coat_of("nitrocellulose_lacquer", "lacquer_thinner", 1), first->film);
  ASSERT_TRUE(next);
  EXPECT_FALSE(says(*next, "'mist'"));
  EXPECT_EQ(next->laid_on[0].meeting, Meeting::bites_in);
}

TEST(Ground, AThinnerThatThrowsTheBinderOutIsRefused) {
  const Film wood = bare_film(bench().body);
  EXPECT_NE(fault(coat_of("shellac", "water", 0.5), wood).find("out of its solvents"), std::string::npos);
  EXPECT_NE(fault(coat_of("nitrocellulose_lacquer", "naphtha", 1.5), wood).find("precipitates when it is thinned so"),
            std::string::npos);
  EXPECT_NE(fault(coat_of("water_borne_lacquer", "lacquer_thinner", 0.5), wood).find("curdle"), std::string::npos);
  EXPECT_NE(fault(coat_of("shellac", "soap_water", 0.5), wood).find("no thinner"), std::string::npos);
  EXPECT_EQ(fault(coat_of("shellac", "ethanol", 1), wood), "");
  EXPECT_EQ(fault(coat_of("water_borne_lacquer", "water", 0.1), wood), "");
  EXPECT_EQ(fault(coat_of("oil_varnish", "mineral_spirits", 0.3), wood), "");
}

TEST(Clean, ASolventOfTheExposedCoatTakesSomeOfItAndSaysSo) {
  Clean clean;
  clean.with = "acetone", clean.cloths = 3;
  const Result<StepResult> wiped = done(clean, coated("nitrocellulose_lacquer"));
  ASSERT_TRUE(wiped);
  ASSERT_EQ(wiped->ledger.coats.size(), 1u);
  EXPECT_NEAR(wiped->ledger.coats[0].cut_m3 / bench().body.area_m2(), 3e-6, 1e-8);
  ASSERT_TRUE(says(*wiped, "dissolves 'old'"));
  EXPECT_EQ(says(*wiped, "dissolves 'old'")->severity, Severity::danger);
  const Result<StepResult> cured = done(clean, coated("polyurethane"));
  ASSERT_TRUE(cured);
  EXPECT_TRUE(cured->ledger.coats.empty());
  clean.with = "naphtha";
  EXPECT_TRUE(done(clean, coated("nitrocellulose_lacquer"))->ledger.coats.empty());
}

TEST(Spray, CoatsTooWetOrTooSoonAreReported) {
  const Film wood = bare_film(bench().body);
  Spray spray = coat_of("nitrocellulose_lacquer", "lacquer_thinner", 1);
  spray.coats = 60, spray.wet_m = 500e-6, spray.flash_s = 0;
  const Result<StepResult> flood = done(spray, wood);
  ASSERT_TRUE(flood);
  EXPECT_TRUE(says(*flood, "500 um wet in one coat"));
  EXPECT_TRUE(says(*flood, "30000 um lie liquid together"));
  spray.coats = 4, spray.wet_m = 80e-6, spray.flash_s = 3600;  // a light coat (common practice, 76 um)
  const Result<StepResult> usual = done(spray, wood);
  ASSERT_TRUE(usual);
  EXPECT_FALSE(says(*usual, " um wet in one coat") || says(*usual, "liquid together"));
}

}  // namespace
}  // namespace witnessline::bench

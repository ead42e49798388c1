#include <gtest/gtest.h>

#include "app/verb.h"
#include "app/verbs/checks.h"

namespace witnessline::app {
namespace {

const Library& library() {
  static const Result<Library> read = read_library(PROJECT_FOLDER "/data");
  return *read;
}
ChecksRequest asked() {
  ChecksRequest r;
  r.film = "nitrocellulose_lacquer", r.thickness_m = 180e-6, r.stood_s = 40 * 31557600.0, r.solvent_ratio = 0.02;
  r.to_K = 253.15;
  return r;
}
ChecksAnswer answer_of(const ChecksRequest& r) {
  const Result<ChecksAnswer> answer = checks_answer(r, {library(), BenchUnits::metric, {}, example_folder()});
  if (!answer) throw std::runtime_error(answer.errors()[0].text());
  return *answer;
}

TEST(ChecksVerb, ColderIsLikelierToOpenAndToRunTooFar) {
  const ChecksAnswer answer = answer_of(asked());
  ASSERT_GE(answer.colds.size(), 6u);
  for (std::size_t i = 1; i < answer.colds.size(); ++i) {
    EXPECT_LT(answer.colds[i].to_K, answer.colds[i - 1].to_K);
    EXPECT_GE(answer.colds[i].opens.value, answer.colds[i - 1].opens.value);
    EXPECT_GE(answer.colds[i].too_far.value, answer.colds[i - 1].too_far.value);
    EXPECT_LE(answer.colds[i].too_far.value, answer.colds[i].opens.value);
  }
  for (std::size_t i = 1; i < answer.moves.size(); ++i) EXPECT_GE(answer.moves[i - 1].over_K, answer.moves[i].over_K);
}

TEST(ChecksVerb, ThickFilmsCheckSooner) {
  ChecksRequest thin = asked(), thick = asked();
  thin.thickness_m = 60e-6, thick.thickness_m = 250e-6;
  EXPECT_GT(answer_of(thick).colds.back().opens.value, answer_of(thin).colds.back().opens.value);
}

TEST(ChecksVerb, AFilmWithSolventIsHeldBackWithItsVapour) {
  ChecksRequest wet = asked();
  wet.solvent_ratio = 0.1, wet.by = ColdBy::freezer, wet.thickness_m = 100e-6, wet.area_m2 = 0.35;
  const ChecksAnswer answer = answer_of(wet);
  EXPECT_TRUE(answer.colds.empty());
  EXPECT_NE(answer.sentences[0].find("Do not cool it yet"), std::string::npos);
  EXPECT_GT(answer.of_explosive_limit.value, 0.25);
  wet.solvent_ratio.reset();
  EXPECT_NE(answer_of(wet).sentences[0].find("not known"), std::string::npos);
  EXPECT_TRUE(answer_of(wet).colds.empty());
}

TEST(ChecksVerb, AWholeBodyOfAJob) {
  ChecksRequest r;
  r.job = "../slab_bass/job.toml", r.to_K = 248.15, r.found_s = 70 * 31557600.0, r.pitch_m = 6e-3;
  const ChecksAnswer answer = answer_of(r);
  EXPECT_GT(answer.count.value, 10);
  EXPECT_GT(answer.length.value, 1);
  EXPECT_GT(answer.distance.value, 1e-3);
  r.job = "../no_such/job.toml";
  EXPECT_FALSE(checks_answer(r, {library(), BenchUnits::metric, {}, example_folder()}));
}

TEST(ChecksVerb, BadRequestsAreNamed) {
  ChecksRequest warm = asked();
  warm.to_K = 300;
  EXPECT_FALSE(checks_answer(warm, {library(), BenchUnits::metric, {}, example_folder()}));
  ChecksRequest odd = asked();
  odd.film = "nitrocelulose_lacquer";
  const auto fault = checks_answer(odd, {library(), BenchUnits::metric, {}, example_folder()});
  ASSERT_FALSE(fault);
  EXPECT_NE(fault.errors()[0].mend.find("nitrocellulose_lacquer"), std::string::npos);
  odd.film = "maple";
  EXPECT_FALSE(checks_answer(odd, {library(), BenchUnits::metric, {}, example_folder()}));
}

}  // namespace
}  // namespace witnessline::app

#include <gtest/gtest.h>

#include "app/verb.h"
#include "app/verbs/checks.h"
#include "app/verbs/on_job.h"
#include "base/random.h"
#include "cracking/driving.h"

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

// A film that shows no check has come through its room: it does not check there, whatever its toughness.
TEST(ChecksVerb, AFilmHasSurvivedWhatItHasBeenThrough) {
  ChecksRequest r = asked();
  r.stood_s = 270 * 86400.0;
  const double usual = answer_of(r).colds.front().opens.value;
  EXPECT_LT(usual, 0.3) << "at 5 degC, after a room that has been at 16";
  r.unchecked_K = 263.15;
  const ChecksAnswer hardened = answer_of(r);
  EXPECT_LT(hardened.colds.front().opens.value, 0.05);
  for (const ColdTried& c : hardened.colds)
    if (c.to_K > 264) EXPECT_LT(c.opens.value, 0.1) << c.to_K;
}

TEST(ChecksVerb, AFilmThatHardlyChecksIsGivenNoCold) {
  ChecksRequest r;
  r.film = "oil_varnish", r.thickness_m = 60e-6, r.wood = "spruce", r.stood_s = 100 * 31557600.0, r.to_K = 263.15;
  const ChecksAnswer tough = answer_of(r);
  EXPECT_EQ(tough.sentences[1], "Fewer than one such film in five checks at all, even at -40 degC.");
  r.film = "nitrocellulose_lacquer", r.thickness_m = 180e-6, r.stood_s = 40 * 31557600.0;
  const std::string brittle = answer_of(r).sentences[1];
  EXPECT_EQ(brittle.rfind("Checks open in one such film in five by ", 0), 0u) << brittle;
  EXPECT_EQ(brittle.find("none down to"), std::string::npos) << brittle;
  EXPECT_EQ(brittle.find('.'), brittle.size() - 1) << "whole degrees: " << brittle;
}

TEST(ChecksVerb, CountedChecksSetDirectionAndDistance) {
  ChecksRequest r = asked();
  r.found = {{"back", CheckRun::across, 20, 0.12, 90e-6}, {"back", CheckRun::along, 2, 0.12, 90e-6}};
  const ChecksAnswer answer = answer_of(r);
  const double expected_m = 180e-6 / 90e-6 / (20 / 0.12 + 2 / 0.12);
  bool any = false;
  for (const ColdTried& c : answer.colds)
    if (c.spacing.value > 0) {
      any = true;
      EXPECT_NEAR(c.spacing.value, expected_m, 1e-9);
    }
  EXPECT_TRUE(any);
  const auto says = [&](const char* text) {
    return std::any_of(answer.sentences.begin(), answer.sentences.end(),
                       [&](const std::string& s) { return s.find(text) != std::string::npos; });
  };
  EXPECT_TRUE(says("9 in 10 of their length runs across the grain"));
}

TEST(ChecksVerb, NoDistanceWithABandOfATenAndNoThicknessNobodyLays) {
  for (int i = 0; i < 12; ++i) {
    ChecksRequest r = asked();
    const auto draw = [&](const char* what, double low, double high) {
      return low + (high - low) * uniform(Key{3}.with(what).with(static_cast<std::uint64_t>(i)));
    };
    r.thickness_m = draw("film", 40e-6, 300e-6), r.stood_s = draw("age", 60, 15000) * 86400;
    r.to_K = draw("cold", 243, 285), r.shocks = 1 + i % 5;
    const ChecksAnswer answer = answer_of(r);
    for (const ColdTried& c : answer.colds)
      if (c.spacing.value > 0) EXPECT_LE(c.spacing.band.high, 10 * c.spacing.band.low);
    const std::string text = format_answer(answer, BenchUnits::metric);
    for (const std::string& s : {text})
      for (std::size_t at = s.find(" um"); at != std::string::npos; at = s.find(" um", at + 1)) {
        const std::size_t from = s.find_last_not_of("0123456789.", at - 1) + 1;
        EXPECT_LE(std::stod(s.substr(from, at - from)), 1000) << s.substr(from, 40);
      }
  }
}

TEST(ChecksVerb, AYoungFilmIsNotCooledByEither) {
  ChecksRequest young = asked();
  young.stood_s = 10 * 86400.0;
  const ChecksAnswer answer = answer_of(young);
  EXPECT_TRUE(answer.colds.empty());
  EXPECT_NE(answer.sentences[0].find("10 days old"), std::string::npos) << answer.sentences[0];
}

TEST(ChecksVerb, HumidityOfTheRoomIsUsed) {
  ChecksRequest dry = asked(), damp = asked();
  dry.room_humidity = 0.25, damp.room_humidity = 0.85;
  EXPECT_NE(answer_of(dry).across_grain.value, answer_of(damp).across_grain.value);
  // One and the same film is pulled harder across the grain by swollen wood...
  const CrackingFilm film = *cracking_film(*library().find("nitrocellulose_lacquer"));
  const CrackingWood wood = *cracking_wood(*library().find(asked().wood), asked().sawn == Sawn::flat ? 1 : 0);
  const auto pull_across = [&](double humidity) {
    ColdHistory past;
    past.room_humidity = humidity, past.shocks = 1, past.coldest_K = asked().to_K;
    return pull_of(film, {asked().stood_s, 0.2}, 0.2, wood, past).stress_Pa.across;
  };
  EXPECT_GT(pull_across(0.85), pull_across(0.25));
  // ...and one that came through that unchecked is one that bears more, so the cold asks less of it.
  EXPECT_LT(answer_of(damp).along_grain.value, answer_of(dry).along_grain.value);
}

// One count sets one distance: that of a film by itself and that of the same film on a body.
TEST(ChecksVerb, CountsGiveTheSameDistanceOnAFilmAndOnABody) {
  ChecksRequest body;
  body.job = "../slab_bass/job.toml", body.to_K = 243.15, body.found_s = 60 * 31557600.0, body.pitch_m = 10e-3;
  body.found = {{"neck", CheckRun::across, 18, 0.12, 120e-6}, {"neck", CheckRun::along, 6, 0.12, 120e-6}};
  const ChecksAnswer on_body = answer_of(body);
  ASSERT_GT(on_body.distance.value, 0);
  AskedOfJob of;
  of.job = body.job, of.pitch_m = body.pitch_m;
  const auto on = on_job(of, {library(), BenchUnits::metric, {}, example_folder()});
  ASSERT_TRUE(on);
  double film_m3 = 0, area_m2 = 0;
  for (std::size_t v = 0; v < on->body().size(); ++v) {
    double film_m = 0;
    for (const FilmLayer& layer : on->film().layers) film_m += std::max(0.0, static_cast<double>(layer.dry_m[v]));
    const double a_m2 = static_cast<double>(on->body().areas_m2()[v]);
    if (film_m > 0) film_m3 += a_m2 * film_m, area_m2 += a_m2;
  }
  ChecksRequest film = asked();
  film.thickness_m = film_m3 / area_m2, film.found = body.found, film.to_K = body.to_K, film.stood_s = body.found_s;
  for (const ColdTried& c : answer_of(film).colds)
    if (c.spacing.value > 0) EXPECT_NEAR(on_body.distance.value, c.spacing.value, 0.2 * c.spacing.value);
}

// The question and the plan's step ask the same of the same film: six drawn requests on each body.
TEST(ChecksVerb, TheQuestionAndTheStepAgree) {
  const Asking asking{library(), BenchUnits::metric, {}, example_folder()};
  for (const char* job : {"../slab_bass/job.toml", "../octave_mandolin/job.toml", "../lap_steel/job.toml"}) {
    AskedOfJob of;
    of.job = job, of.pitch_m = 10e-3;
    const Result<OnJob> on = on_job(of, asking);
    ASSERT_TRUE(on) << on.errors()[0].text();
    for (int i = 0; i < 6; ++i) {
      const auto draw = [&](const char* what, double low, double high) {
        return low + (high - low) * uniform(Key{4}.with(job).with(what).with(static_cast<std::uint64_t>(i)));
      };
      ChecksRequest r;
      r.job = job, r.pitch_m = of.pitch_m, r.to_K = draw("cold", 243, 305), r.shocks = 1 + i % 4;
      r.stood_s = draw("age", 5, 400) * 86400, r.found_s = draw("found", 0.02, 70) * 31557600.0;
      r.by = static_cast<ColdBy>(i % 3);
      if (i % 2) r.room_humidity = draw("humidity", 0.2, 0.8);
      if (i % 3 == 1) r.unchecked_K = draw("unchecked", 263, 290);
      if (i % 3 == 0)
        r.found = {{"neck", CheckRun::across, i, 0.1, 90e-6}, {"neck", CheckRun::along, 17 - i, 0.1, 90e-6}};
      ColdCheck step;
      step.to_K = r.to_K, step.shocks = r.shocks, step.by = r.by, step.cured_s = r.stood_s, step.found_s = r.found_s;
      step.room_humidity = r.room_humidity, step.unchecked_K = r.unchecked_K, step.found = r.found;
      const auto done = run_step({"cold", "", step}, on->film(), on->bench);
      const auto answer = checks_answer(r, asking);
      ASSERT_EQ(bool(done), bool(answer)) << job << ' ' << i;
      if (done)
        EXPECT_EQ(answer->count.value, static_cast<double>(done->film.marks->size() - on->film().marks->size()));
      // A film alone is refused for the same reasons.
      ChecksRequest alone = r;
      alone.job.clear(), alone.film = "nitrocellulose_lacquer", alone.thickness_m = 100e-6, alone.solvent_ratio = 0.0;
      alone.stood_s = r.found_s;
      alone.room_K = on->bench.shop.temperature_K;
      const auto film = checks_answer(alone, asking);
      EXPECT_EQ(film && !film->colds.empty(), bool(done)) << job << ' ' << i;
    }
  }
}

TEST(ChecksVerb, BadRequestsAreNamed) {
  ChecksRequest warm = asked();
  warm.to_K = 300;
  EXPECT_FALSE(checks_answer(warm, {library(), BenchUnits::metric, {}, example_folder()}));
  ChecksRequest odd = asked();
  odd.film = "nitrocelulose_lacquer";
  const auto fault = checks_answer(odd, {library(), BenchUnits::metric, {}, example_folder()});
  ASSERT_FALSE(fault);
  EXPECT_NE(fault.errors()[0].fix.find("nitrocellulose_lacquer"), std::string::npos);
  odd.film = "maple";
  EXPECT_FALSE(checks_answer(odd, {library(), BenchUnits::metric, {}, example_folder()}));
}

}  // namespace
}  // namespace witnessline::app

// Every kind of fault: told, with its line, column and key, and the nearest right word.
#include <algorithm>

#include "demo.h"

namespace witnessline::job {
namespace {

// Lines 1 to 9; what a test adds starts on line 10.
const std::string head = R"(id = "job"
title = "A job"
[instrument]
kind = "bass"
[body]
outline = "a.svg"
[[mixtures]]
id = "slate"
parts = [{ material = "zinc_white", mass_fraction = 0.5 }, { material = "ultramarine", mass_fraction = 0.5 }]
)";
// Lines 10 to 13 and 14 to 18; a step's own keys start on line 19.
const std::string coat = "[[coats]]\nname = \"old\"\nmixture = \"shellac\"\norigin = \"original\"\n";
const std::string step =
    coat + "thickness_um = 30\n[[plans]]\nid = \"p\"\ntitle = \"P\"\n[[plans.steps]]\nid = \"s\"\n";

const std::string clean_once = "steps = [{ id = \"s\", do = \"clean\" }]\n";

struct Row {
  std::string name, added;
  int line, column;
  std::string key, what, hint;  ///< hint: in expected or mend
};
void PrintTo(const Row& row, std::ostream* out) { *out << row.name; }

class Fault : public testing::TestWithParam<Row> {};

TEST_P(Fault, IsReportedWithItsPlace) {
  const Row& row = GetParam();
  const Result<Job> job = read_job(head + row.added, "job.toml", library());
  ASSERT_FALSE(job);
  EXPECT_EQ(job.errors().size(), 1u) << all_texts(job.errors());
  const Error& e = job.errors().front();
  EXPECT_EQ(e.where.file, "job.toml");
  EXPECT_EQ(e.where.line, row.line) << e.text();
  EXPECT_EQ(e.where.column, row.column) << e.text();
  EXPECT_EQ(e.where.key, row.key);
  EXPECT_NE(e.what.find(row.what), std::string::npos) << e.text();
  EXPECT_NE((e.expected + "|" + e.fix).find(row.hint), std::string::npos) << e.text();
}

INSTANTIATE_TEST_SUITE_P(
    Kinds, Fault,
    testing::Values(
        Row{"unknown_key", "[shop]\n  paice = 1.0\n", 11, 3, "shop.paice", "unknown key", "did you mean 'pace'?"},
        Row{"no_colder_than_the_shop", step + "do = \"check\"\nto_degC = 15\n[shop]\ntemperature_degC = 12\n", 21, 11,
            "plans.p.steps.s.to_degC", "no colder than the shop", "below 12 degC"},
        Row{"unknown_table", "[shopp]\n", 10, 2, "shopp", "unknown key", "did you mean 'shop'?"},
        Row{"unit_missing", coat + "thickness = 30\n", 14, 1, "coats[1].thickness", "unit missing",
            "did you mean 'thickness_um'?"},
        Row{"unit_missing_in_step", step + "do = \"spray\"\nmixture = \"slate\"\nwet = 80\n", 22, 1,
            "plans.p.steps.s.wet", "unit missing", "wet_um, wet_mm, wet_cm, wet_m, wet_mil or wet_in"},
        Row{"everyday_word", step + "do = \"spray\"\nmixture = \"slate\"\nthickness = 80\n", 22, 1,
            "plans.p.steps.s.thickness", "unit missing", "did you mean 'wet_um'?"},
        Row{"unknown_unit", coat + "thickness_furlong = 30\n", 14, 1, "coats[1].thickness_furlong", "unknown unit",
            "thickness_um"},
        Row{"both_units", coat + "thickness_um = 30\nthickness_mil = 1.2\n", 15, 1, "coats[1].thickness_mil",
            "gives the same value as thickness_um", "keep one"},
        Row{"wrong_type_text", coat + "thickness_um = \"30 um\"\n", 14, 16, "coats[1].thickness_um",
            "the text \"30 um\"", "without quotes or unit"},
        Row{"wrong_type_number", "[shop]\n[consent]\nwords = 3\n", 12, 9, "consent.words", "the number 3",
            "text in quotes"},
        Row{"wrong_type_list", step + "do = \"clean\"\nwhere = { on = \"front\" }\n", 21, 16,
            "plans.p.steps.s.where.on", "the text \"front\"", "write [\"front\"]"},
        Row{"wrong_type_table", "[shop]\n[consent]\n[[target]]\n", 12, 1, "target", "a list", "a table"},
        Row{"wrong_type_truth", "[[shelf]]\nmaterial = \"shellac\"\nvolume_mL = 3\nirreplaceable = \"yes\"\n", 13, 17,
            "shelf[1].irreplaceable", "the text \"yes\"", "true or false"},
        Row{"not_whole", step + "do = \"sand\"\ngrit = 400.5\n", 21, 8, "plans.p.steps.s.grit", "400.5",
            "whole number"},
        Row{"below_range", step + "do = \"sand\"\ngrit = 4\n", 21, 8, "plans.p.steps.s.grit", "too small: 4",
            "12 to 2500"},
        Row{"above_range", "[shop]\nrelative_humidity_pct = 120\n", 11, 25, "shop.relative_humidity_pct",
            "too large: 120 pct", "0 to 100 pct"},
        Row{"above_range_in_us_units", "[shop]\ntemperature_degF = 300\n", 11, 20, "shop.temperature_degF",
            "too large: 300 degF", "14 to 122 degF"},
        Row{"negative_thickness", coat + "thickness_um = -3\n", 14, 16, "coats[1].thickness_um", "is negative: -3 um",
            "0 to 2000 um"},
        Row{"not_a_number", coat + "thickness_um = nan\n", 14, 16, "coats[1].thickness_um", "not a number",
            "0 to 2000"},
        Row{"infinite", coat + "thickness_um = inf\n", 14, 16, "coats[1].thickness_um", "infinite", "0 to 2000"},
        Row{"missing_required", coat, 10, 1, "coats[1].thickness_um", "is missing", "thickness_um = ..."},
        Row{"missing_word_of_step", step, 18, 1, "plans.p.steps.s.do", "is missing", "do = ..."},
        Row{"empty_required", step + "do = \"spray\"\nmixture = \"\"\n", 21, 11, "plans.p.steps.s.mixture", "is empty",
            ""},
        Row{"unknown_step", step + "do = \"spry\"\nmixture = \"slate\"\nwet_um = 80\n", 20, 6, "plans.p.steps.s.do",
            "\"spry\"", "did you mean 'spray'?"},
        Row{"unknown_word", "[[readings]]\nname = \"a\"\nlamp = \"D56\"\n", 12, 8, "readings[1].lamp", "\"D56\"",
            "did you mean 'D50'?"},
        Row{"key_of_other_step", step + "do = \"clean\"\nwet_um = 80\n", 21, 1, "plans.p.steps.s.wet_um", "unknown key",
            "where, with"},
        Row{"duplicate_step", step + "do = \"clean\"\n[[plans.steps]]\nid = \"s\"\ndo = \"unmask\"\n", 22, 6,
            "plans.p.steps.s.id", "used twice", "line 19"},
        Row{"duplicate_plan",
            "[[plans]]\nid = \"p\"\ntitle = \"P\"\n" + clean_once + "[[plans]]\nid = \"p\"\ntitle = \"Q\"\n" +
                clean_once,
            15, 6, "plans.p.id", "used twice", "line 11"},
        Row{"duplicate_mixture",
            "[[mixtures]]\nid = \"slate\"\nparts = [{ material = \"shellac\", mass_fraction = 1 }]\n", 11, 6,
            "mixtures.slate.id", "used twice", "line 8"},
        Row{"duplicate_coat",
            coat + "thickness_um = 1\n[[coats]]\nname = \"old\"\nmixture = \"shellac\"\norigin = "
                   "\"later\"\nthickness_um = 2\n",
            16, 8, "coats[2].name", "used twice", "line 11"},
        Row{"mixture_named_as_material",
            "[[mixtures]]\nid = \"shellac\"\nparts = [{ material = \"shellac\", mass_fraction = 1 }]\n", 11, 6,
            "mixtures.shellac.id", "name of a material", "a word of its own"},
        Row{"id_is_no_word", "[[plans]]\nid = \"a b\"\ntitle = \"P\"\n" + clean_once, 11, 6, "plans.a b.id",
            "not a word", "letters"},
        Row{"no_such_material", "[[shelf]]\nmaterial = \"shelac\"\nvolume_mL = 3\n", 11, 12, "shelf[1].material",
            "no such mixture or material", "did you mean 'shellac'?"},
        Row{"no_such_wood", "[shop]\n[body.x]\n", 11, 7, "body.x", "unknown key", "outline"},
        Row{"no_such_mixture", step + "do = \"spray\"\nmixture = \"slat\"\n", 21, 11, "plans.p.steps.s.mixture",
            "no such mixture", "did you mean 'slate'?"},
        Row{"solvent_makes_no_coat", step + "do = \"spray\"\nmixture = \"acetone\"\n", 21, 11,
            "plans.p.steps.s.mixture", "is a solvent", "slate"},
        Row{"wood_is_no_thinner", step + "do = \"spray\"\nmixture = \"slate\"\nthinning = 1\nthinner = \"maple\"\n", 23,
            11, "plans.p.steps.s.thinner", "is a wood", "acetone"},
        Row{"thinned_with_nothing", step + "do = \"spray\"\nmixture = \"slate\"\nthinning = 1\n", 18, 1,
            "plans.p.steps.s", "thinned with nothing", "thinner"},
        Row{"no_such_coat", step + "do = \"lift\"\ncoat = \"olt\"\nstop_at = \"wood\"\n", 21, 8, "plans.p.steps.s.coat",
            "no such coat", "did you mean 'old'?"},
        Row{"coat_laid_later",
            step + "do = \"wear\"\ndepth_um = 3\nstop_at = \"t\"\nwhere = {}\n[[plans.steps]]\nid = \"t\"\ndo = "
                   "\"spray\"\n"
                   "mixture = \"slate\"\n",
            22, 11, "plans.p.steps.s.stop_at", "not laid before this step", "old or wood"},
        Row{"wear_of_nothing", step + "do = \"wear\"\nwhere = {}\n", 18, 1, "plans.p.steps.s",
            "neither depth_um nor life", "one of the two"},
        Row{"wear_of_both",
            "[[lives]]\nid = \"old\"\n" + step + "do = \"wear\"\ndepth_um = 3\nlife = \"old\"\nwhere = {}\n", 20, 1,
            "plans.p.steps.s", "both depth_um and life", "one of the two"},
        Row{"wear_by_hand_nowhere", step + "do = \"wear\"\ndepth_um = 3\n", 18, 1, "plans.p.steps.s",
            "no place is named", "where"},
        Row{"no_such_life", "[[lives]]\nid = \"played\"\n" + step + "do = \"wear\"\nlife = \"plaid\"\n", 23, 8,
            "plans.p.steps.s.life", "no such life", "did you mean 'played'?"},
        Row{"no_such_region", step + "do = \"clean\"\nwhere = { on = [\"front trebel\"] }\n", 21, 17,
            "plans.p.steps.s.where.on[1]", "no such region: \"trebel\"", "did you mean 'treble'?"},
        Row{"no_such_face",
            "[[survey]]\nfact = \"dent\"\nat = { x_mm = 1, y_mm = 2, radius_mm = 3, face = \"bakc\" }\n", 12, 50,
            "survey[1].at.face", "\"bakc\"", "did you mean 'back'?"},
        Row{"no_such_plan", "[consent]\nplan = \"partial\"\n", 11, 8, "consent.plan", "no such plan", ""},
        Row{"no_such_step_held", "[[hold_points]]\nquestion = \"?\"\nbefore = [\"sant\"]\n", 12, 11,
            "hold_points[1].before[1]", "no such step", "did you mean 'sand'?"},
        Row{"fractions",
            "[[mixtures]]\nid = \"m\"\nparts = [{ material = \"shellac\", mass_fraction = 0.6 }, { material = "
            "\"zinc_white\", mass_fraction = 0.6 }]\n",
            12, 9, "mixtures.m.parts", "sum to 1.2", "divide each by 1.2"},
        Row{"date", "[consent]\ndate = \"2026-02-30\"\n", 11, 8, "consent.date", "no day of the calendar",
            "YYYY-MM-DD"},
        Row{"far_year", "[consent]\ndate = \"2963-02-20\"\n", 11, 8, "consent.date", "in the year 2963",
            "check the year"},
        Row{"no_steps", "[[plans]]\nid = \"p\"\ntitle = \"P\"\n", 10, 1, "plans.p", "has no steps",
            "take the plan out"},
        Row{"no_wait", step + "do = \"wait\"\nduration_h = 0\n", 21, 14, "plans.p.steps.s.duration_h",
            "waits for no time", "more than 0 h"},
        Row{"lab", "[target]\nlab = [50, 1]\n", 11, 7, "target.lab", "has 2 numbers", "three"},
        Row{"target_of_nothing", "[target]\nname = \"x\"\n", 10, 1, "target", "neither lab nor untouched",
            "one of the two"},
        Row{"swab_without_solvent", step + "do = \"lift\"\ncoat = \"old\"\nstop_at = \"wood\"\nby = \"swab\"\n", 18, 1,
            "plans.p.steps.s", "swabs with nothing", "with"},
        Row{"coat_of_this_plan",
            "[[coats]]\nname = \"c\"\nmixture = \"shellac\"\norigin = \"this_plan\"\nthickness_um = 3\n", 13, 10,
            "coats[1].origin", "not laid by this plan", "original or later"},
        Row{"not_toml", "[shop]\npace = = 1\n", 11, 8, "", "not readable as TOML", "fix this line"},
        Row{"header_without_name", "[shop]\npace = 1.0\n[ = ]\n", 12, 1, "", "not readable as TOML", "write [name]"},
        Row{"letter_outside_quotes", "[shop]\npace = 1 \u00e9\n", 11, 10, "", "a letter past ASCII outside quotes",
            "in quotes"},
        Row{"written_twice", "[shop]\npace = 1.0\npace = 2.0\n", 12, 8, "", "written twice", "fix this line"}),
    [](const testing::TestParamInfo<Row>& info) { return info.param.name; });

TEST(Faults, NeitherOutlineNorMesh) {
  const Result<Job> job = read_job(
      "id = \"a\"\ntitle = \"A\"\n[instrument]\nkind = \"k\"\n[body]\ntop_wood = \"ahs\"\n", "job.toml", library());
  ASSERT_FALSE(job);
  ASSERT_EQ(job.errors().size(), 2u) << all_texts(job.errors());
  EXPECT_EQ(job.errors()[0].where.line, 5);
  EXPECT_NE(job.errors()[0].what.find("neither outline nor mesh"), std::string::npos);
  EXPECT_EQ(job.errors()[1].fix, "did you mean 'ash'?");
}

TEST(Faults, AllInOneRunInTheOrderOfTheFile) {
  std::string text = text_of("examples/octave_mandolin/job.toml");
  const auto swap = [&](const std::string& right, const std::string& wrong) {
    const std::size_t at = text.find(right);
    ASSERT_NE(at, std::string::npos) << right;
    text.replace(at, right.size(), wrong);
  };
  swap("thickness_mm = 72", "thickness = 72");
  swap("thickness_um = 9", "thickness_um = -9");
  swap("origin = \"later\"", "origin = \"latter\"");
  swap("relative_humidity_pct = 48", "relative_humidity_pct = nan");
  swap("do = \"lift\"", "do = \"lft\"");
  swap("mixture = \"new_shading\"", "mixture = \"newshading\"");
  swap("cloths = 2", "cloths = two");  // not TOML
  swap("plan = \"partial\"", "plan = \"patial\"");
  const Result<Job> job = read_job(text, "job.toml", library());
  ASSERT_FALSE(job);
  EXPECT_EQ(job.errors().size(), 8u) << all_texts(job.errors());
  EXPECT_TRUE(std::is_sorted(job.errors().begin(), job.errors().end(),
                             [](const Error& a, const Error& b) { return a.where.line < b.where.line; }));
  for (const Error& e : job.errors()) EXPECT_GT(e.where.line, 0) << e.text();
}

// A line that cannot be read takes neither the rest of its table nor what is missing elsewhere out of the answer.
TEST(Faults, AnInstrumentIsNeitherOlderThanAnyNorOfTheFuture) {
  const auto fault_of = [](const std::string& year) {
    std::string text = head + clean_once;
    text.replace(text.find("kind = "), 0, "year = \"" + year + "\"\n");
    const JobText read = read_job_text(text, "job.toml", library(), 2026);
    for (const Error& e : read.faults)
      if (e.where.key == "instrument.year") return e.text();
    return std::string();
  };
  EXPECT_NE(fault_of("2963").find("no instrument was made in 2963"), std::string::npos);
  EXPECT_NE(fault_of("2963").find("1400 to 2026"), std::string::npos);
  EXPECT_NE(fault_of("about 1150").find("no instrument was made in 1150"), std::string::npos);
  EXPECT_NE(fault_of("1959 or 2027").find("2027"), std::string::npos);
  for (const char* sound : {"2026", "about 1965", "1890s", "between 1713 and 1716", "unknown"})
    EXPECT_EQ(fault_of(sound), "") << sound;
}

TEST(Faults, ALineThatIsNoTomlHidesNoOther) {
  const Result<Job> job = read_job(
      "id = \"a\"\ntitle = = \"A\"\n[instrument]\n[body]\noutline = \"a.svg\"\ntop_wood = \"ahs\"\n"
      "[[plans]]\nid = \"p\"\ntitle = \"P\"\n[[plans.steps]]\nid = \"s\"\ndo = \"clen\"\ncloth = 2\nwait = 3\n",
      "job.toml", library());
  ASSERT_FALSE(job);
  const std::string all = all_texts(job.errors());
  for (const char* part : {"job.toml:2:", "job.toml:3:1: instrument.kind: is missing", "did you mean 'ash'?",
                           "did you mean 'clean'?", "did you mean 'cloths'?", "job.toml:14:1: plans.p.steps.s.wait"})
    EXPECT_NE(all.find(part), std::string::npos) << part << " is not in\n" << all;
  EXPECT_EQ(all.find("title: is missing"), std::string::npos) << all;
  EXPECT_EQ(job.errors().size(), 6u) << all;
}

// 60,000 unknown keys once made 31 MB of errors in 15 s.
TEST(Faults, PastTwoHundredTheyAreOnlyCounted) {
  std::string text = head;
  for (int i = 0; i < 60'000; ++i) text += "word" + std::to_string(i) + " = " + std::to_string(i) + "\n";
  const Result<Job> job = read_job(text, "job.toml", library());
  ASSERT_FALSE(job);
  ASSERT_EQ(job.errors().size(), 201u);
  EXPECT_LT(all_texts(job.errors()).size(), 300'000u);
  EXPECT_EQ(job.errors().back().what, "59800 more errors are not listed");
}

// Random damage to the demo job: an answer or faults with places inside the text, never a crash.
TEST(Faults, RandomDamageNeverCrashes) {
  const std::string whole = text_of("examples/lap_steel/job.toml");
  std::uint64_t state = 99;
  const auto draw = [&](std::size_t below) {
    state = state * 6364136223846793005u + 1442695040888963407u;
    return static_cast<std::size_t>(state >> 33) % below;
  };
  const std::string bits[] = {"\"",
                              "[",
                              "]",
                              "{",
                              "}",
                              "=",
                              "\n",
                              "-",
                              "1e999",
                              "nan",
                              "\xff",
                              "[[plans.steps]]\n",
                              "#",
                              "'''",
                              "id = \"x\"\n",
                              ".",
                              std::string(1, '\0'),
                              "9223372036854775808",
                              "do = \"mask\"\n"};
  int refused = 0;
  for (int i = 0; i < 200; ++i) {
    std::string text = whole;
    for (std::size_t hits = 1 + draw(4); hits > 0; --hits) {
      const std::size_t at = draw(text.size());
      switch (draw(3)) {
        case 0:
          text.erase(at, 1 + draw(40));
          break;
        case 1:
          text.insert(at, bits[draw(std::size(bits))]);
          break;
        default:
          text[at] = static_cast<char>(draw(256));
      }
    }
    const Result<Job> job = read_job(text, "job.toml", library());
    if (job) continue;
    ++refused;
    const int lines = static_cast<int>(std::count(text.begin(), text.end(), '\n')) + 2;
    for (const Error& e : job.errors()) {
      EXPECT_FALSE(e.what.empty());
      EXPECT_GT(e.where.line, 0) << e.text();
      EXPECT_LE(e.where.line, lines) << e.text();
    }
  }
  EXPECT_GT(refused, 100);
}

}  // namespace
}  // namespace witnessline::job

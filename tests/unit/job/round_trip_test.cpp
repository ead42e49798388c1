#include <cmath>

#include "base/tree.h"
#include "demo.h"
#include "job/outcome.h"
#include "job/read.h"
#include "job/write.h"

namespace witnessline::job {
namespace {

TEST(RoundTrip, DemoJobsAreWithoutFault) {
  for (const std::string& path : demo_jobs()) {
    const Result<Job> job = read_job(text_of(path), path, library());
    EXPECT_TRUE(job) << (job ? "" : all_texts(job.errors()));
    EXPECT_TRUE(job && job->invented) << path;
  }
}

TEST(RoundTrip, WrittenJobReadsBackEqual) {
  for (const std::string& path : demo_jobs()) {
    const Result<Job> job = read_job(text_of(path), path, library());
    ASSERT_TRUE(job);
    const Result<Job> again = read_job(write_job(*job), "written", library());
    ASSERT_TRUE(again) << all_texts(again.errors()) << write_job(*job);
    EXPECT_EQ(tree_of(*job), tree_of(*again)) << path;
    // SI values too, to the last bit, not only what the bench unit shows
    for (std::size_t i = 0; i < job->coats.size(); ++i)
      EXPECT_EQ(job->coats[i].thickness_m, again->coats[i].thickness_m);
  }
}

TEST(RoundTrip, NumbersReadBackToTheSameBits) {
  const Unit units[] = {unit::um, unit::mil, unit::degF, unit::h, unit::pct, unit::Mlx_h, unit::deg, unit::qt};
  std::uint64_t state = 12345;
  for (int i = 0; i < 20000; ++i) {
    state = state * 6364136223846793005u + 1442695040888963407u;
    const Unit& u = units[state % 8];
    const double written =
        static_cast<double>(static_cast<std::int64_t>(state >> 34)) / (1 + static_cast<double>(state % 997));
    const double si = u.to_si(written);
    EXPECT_EQ(u.to_si(std::stod(shortest(bench_value(si, u), false))), si) << written << " " << u.symbol;
  }
  EXPECT_EQ(shortest(bench_value(unit::um.to_si(90), unit::um), false), "90");
  EXPECT_EQ(shortest(bench_value(unit::mil.to_si(3.5), unit::um), false).substr(0, 4), "88.9");
}

TEST(RoundTrip, UsUnitsMeanTheSameJob) {
  const auto job = [](const std::string& coat, const std::string& shop) {
    return read_job("id = \"a\"\ntitle = \"A\"\n[instrument]\nkind = \"k\"\n[body]\noutline = \"a.svg\"\n[shop]\n" +
                        shop + "\n[[coats]]\nname = \"c\"\nmixture = \"shellac\"\norigin = \"original\"\n" + coat,
                    "job.toml", library());
  };
  // 1 mil = 25.4 um and 68 degF = 20 degC exactly (international inch; definition of the Fahrenheit scale)
  const Result<Job> metric = job("thickness_um = 25.4\n", "temperature_degC = 20.0");
  const Result<Job> us = job("thickness_mil = 1\n", "temperature_degF = 68");
  const Result<Job> mm = job("thickness_mm = 0.0254\n", "temperature_K = 293.15");
  ASSERT_TRUE(metric) << all_texts(metric.errors());
  ASSERT_TRUE(us) << all_texts(us.errors());
  ASSERT_TRUE(mm) << all_texts(mm.errors());
  EXPECT_NEAR(us->coats[0].thickness_m, metric->coats[0].thickness_m, 1e-18);
  EXPECT_NEAR(mm->coats[0].thickness_m, metric->coats[0].thickness_m, 1e-18);
  EXPECT_NEAR(us->shop.temperature_K, metric->shop.temperature_K, 1e-10);
  EXPECT_NEAR(mm->shop.temperature_K, metric->shop.temperature_K, 1e-10);
}

TEST(RoundTrip, JsonReadsBackEqual) {
  const Result<Job> job = read_job(text_of(demo_jobs()[0]), "job.toml", library());
  ASSERT_TRUE(job);
  std::vector<Error> faults;
  EXPECT_EQ(print_json(read_json(to_json(*job), "", faults)), to_json(*job));
  EXPECT_EQ(print_json(read_json(to_json(*job, 2), "", faults)), to_json(*job));
  Faults from_json{"job.json", {}, true};
  Job again;
  read_into(read_json(to_json(*job), "", faults), again, member("job", ""), unit::none, "", from_json);
  EXPECT_TRUE(from_json.list.empty()) << all_texts(from_json.list);
  EXPECT_EQ(tree_of(again), tree_of(*job));
  EXPECT_TRUE(faults.empty());
  read_json("{\n \"a\": ]", "a.json", faults);
  ASSERT_EQ(faults.size(), 1u);
  EXPECT_EQ(faults[0].where.line, 2);
  EXPECT_EQ(faults[0].where.column, 7);
}

TEST(RoundTrip, StringsSurvive) {
  std::vector<Error> faults;
  const std::string odd = "quote \" backslash \\ newline \n tab \t bell \x07 \xc3\xb8";
  EXPECT_EQ(read_json(in_quotes(odd), "", faults).text, odd);
  EXPECT_EQ(read_toml("a = " + in_quotes(odd), "", faults).find("a")->text, odd);
  EXPECT_TRUE(faults.empty()) << all_texts(faults);
}

// No text can exhaust the stack, and no number ends the program.
TEST(RoundTrip, TextsTooDeepAndNumbersTooLargeAreFaults) {
  std::string deep, closed;
  for (int i = 0; i < 20000; ++i) deep += "{\"a\":", closed += '}';
  std::vector<Error> faults;
  EXPECT_EQ(read_json(deep + "1" + closed, "x", faults).is, Tree::Is::nothing);
  EXPECT_EQ(faults.size(), 1u);
  read_json("{\"a\": 1e400}", "x", faults);
  EXPECT_EQ(faults.size(), 2u);
  std::string key = "a";
  for (int i = 0; i < 30000; ++i) key += ".a";
  read_toml("b = 1\n" + key + " = 1\n", "x", faults);
  ASSERT_EQ(faults.size(), 3u);
  EXPECT_EQ(faults.back().where.line, 2);
  read_toml("[" + key + "]\n", "x", faults);
  EXPECT_EQ(faults.size(), 4u);
  std::string many = "x = [0.1";
  for (int i = 0; i < 300; ++i) many += ", 0.1";
  read_toml(many + "]\n", "x", faults);
  EXPECT_EQ(faults.size(), 4u) << "a long list of numbers is no deep key";
}

// What is no UTF-8 never leaves as JSON: each byte of it becomes U+FFFD.
TEST(RoundTrip, BytesThatAreNoTextAreReplaced) {
  EXPECT_EQ(in_quotes("a\xff\xfe z"), "\"a\xEF\xBF\xBD\xEF\xBF\xBD z\"");
  EXPECT_EQ(in_quotes("T\xC3\xB8nnvik \xE2\x80\x94 \xF0\x9F\x8E\xBB"),
            "\"T\xC3\xB8nnvik \xE2\x80\x94 \xF0\x9F\x8E\xBB\"");
  EXPECT_EQ(in_quotes("\xC3"), "\"\xEF\xBF\xBD\"");                                  // cut short
  EXPECT_EQ(in_quotes("\xED\xA0\x80"), "\"\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\"");  // half of a surrogate pair
}

}  // namespace
}  // namespace witnessline::job

#include "app/verbs/on_job.h"

#include <gtest/gtest.h>

#include "app/app.h"

namespace witnessline::app {
namespace {

Result<OnJob> asked(const AskedOfJob& of) {
  static const Library library = *read_library(data_folder());
  return on_job(of, {library, BenchUnits::metric, {}, example_folder()});
}

TEST(OnJob, OpensTheFinishAsFoundAndAfterAStep) {
  const auto found = asked({"../slab_bass/job.toml", "", "", 8e-3});
  ASSERT_TRUE(found) << found.errors().front().text();
  EXPECT_EQ(found->run.steps.size(), 1u);
  EXPECT_NEAR(found->body().pitch_m(), 8e-3, 1e-9);
  const auto after = asked({"../slab_bass/job.toml", "slate_over", "isolate", 8e-3});
  ASSERT_TRUE(after) << after.errors().front().text();
  EXPECT_EQ(after->run.steps.back().id, "isolate");
  EXPECT_EQ(after->film().layers.size(), found->film().layers.size() + 1);
}

TEST(OnJob, FaultsNameTheirKeys) {
  const auto key_of = [](const AskedOfJob& of) {
    const auto opened = asked(of);
    return opened ? std::string("none") : opened.errors().front().where.key;
  };
  EXPECT_EQ(key_of({"../slab_bass/job.toml", "slate_ovr", "", 8e-3}), "plan");
  EXPECT_EQ(key_of({"../slab_bass/job.toml", "slate_over", "isolat", 8e-3}), "after");
  EXPECT_EQ(key_of({"../slab_bass/job.toml", "", "isolate", 8e-3}), "after");
  EXPECT_EQ(key_of({"../../README.md", "", "", 8e-3}), "job");
  EXPECT_EQ(key_of({"/etc/hostname", "", "", 8e-3}), "job");
}

}  // namespace
}  // namespace witnessline::app

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>

#include "app/app.h"

namespace witnessline::app {
namespace {

// A job that says nothing of its life: what its wear is held against is said, with the step it is about.
TEST(OrdinaryLife, StandingInIsReported) {
  const std::filesystem::path folder = std::filesystem::path(testing::TempDir()) / "ordinary_life";
  std::filesystem::create_directories(folder);
  std::filesystem::copy_file(PROJECT_FOLDER "/data/outlines/slab_bass.svg", folder / "slab.svg",
                             std::filesystem::copy_options::overwrite_existing);
  std::ofstream(folder / "job.toml") << R"job(id = "worn"
title = "Worn by hand (invented)"
invented = true
[instrument]
kind = "electric bass, slab body"
[body]
outline = "slab.svg"
thickness_mm = 40
top_wood = "ash"
back_wood = "ash"
side_wood = "ash"
pitch_mm = 5.0
[[coats]]
name = "old lacquer"
mixture = "nitrocellulose_lacquer"
origin = "original"
thickness_um = 60
[[plans]]
id = "by_hand"
title = "By hand"
[[plans.steps]]
id = "worn"
do = "wear"
depth_um = 40
where = { patches = [{ x_mm = 60, y_mm = 60, radius_mm = 20, face = "front" }], fade_mm = 10 }
)job";
  const Result<Worked> worked = simulate((folder / "job.toml").string());
  ASSERT_TRUE(worked) << worked.errors()[0].text();
  const std::vector<Note>& notes = worked->outcome().plans.at(0).notes;
  const auto stated = [](const Note& n) {
    return n.about == "worn" && n.text.find("ordinary player's 40 years and 3500 hours") != std::string::npos;
  };
  EXPECT_EQ(std::count_if(notes.begin(), notes.end(), stated), 1);
}

}  // namespace
}  // namespace witnessline::app

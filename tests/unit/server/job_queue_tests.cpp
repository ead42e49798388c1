// The jobs on offer: a bad one, or one that takes for ever, keeps no other from being read.
#include "server/job_queue.h"

#include <fmt/format.h>
#include <gtest/gtest.h>
#include <stdlib.h>

#include <filesystem>
#include <fstream>

namespace witnessline::server {
namespace {

namespace fs = std::filesystem;
using namespace std::chrono_literals;

class Desk : public testing::Test {
 protected:
  void SetUp() override {
    setenv("WITNESSLINE_DATA", PROJECT_FOLDER "/data", 1);
    std::string pattern = (fs::temp_directory_path() / "job_desk_XXXXXX").string();
    ASSERT_NE(mkdtemp(pattern.data()), nullptr);
    folder_ = pattern;
  }
  void TearDown() override { fs::remove_all(folder_); }

  /// A job on a block 300 x 400 x 40 mm, one corner of it at `corner`.
  void job(const std::string& name, double pitch_mm, const std::string& corner = "-150 0 -20") {
    fs::create_directories(folder_ / name);
    std::ofstream(folder_ / name / "job.toml")
        << "id = \"" << name << "\"\ntitle = \"" << name
        << "\"\n[instrument]\nkind = \"block\"\n[body]\nmesh = \"block.obj\"\nmesh_unit = \"mm\"\npitch_mm = "
        << pitch_mm
        << "\n[[coats]]\nname = \"old\"\nmixture = \"nitrocellulose_lacquer\"\norigin = \"original\"\nthickness_um = "
           "60\n[[plans]]\nid = \"p\"\ntitle = \"P\"\n[[plans.steps]]\nid = \"a\"\ndo = \"clean\"\n";
    std::ofstream(folder_ / name / "block.obj")
        << "v " << corner << "\nv 150 0 -20\nv 150 400 -20\nv -150 400 -20\nv -150 0 20\nv 150 0 20\nv 150 400 20\n"
        << "v -150 400 20\nf 1 4 3 2\nf 5 6 7 8\nf 1 2 6 5\nf 2 3 7 6\nf 3 4 8 7\nf 4 1 5 8\n";
  }

  /// Waits until no job is unread.
  static std::vector<DeskEntry> read(JobQueue& desk) {
    for (int k = 0; k < 1200; ++k) {
      const auto all = desk.all();
      if (std::none_of(all.begin(), all.end(), [](const DeskEntry& e) { return e.stage == Stage::unread; })) return all;
      std::this_thread::sleep_for(50ms);
    }
    ADD_FAILURE() << "a job is still unread after a minute";
    return desk.all();
  }

  fs::path folder_;
};

TEST_F(Desk, AMeshThatCrossesItselfIsRefusedAndTheNextJobIsRead) {
  job("a_crossed", 8, "0 200 90");
  job("b_sound", 8);
  const auto desk = JobQueue::open(folder_.string());
  ASSERT_TRUE(desk);
  const auto all = read(**desk);
  ASSERT_EQ(all.size(), 2u);
  EXPECT_EQ(all[0].stage, Stage::refused);
  ASSERT_FALSE(all[0].errors.empty());
  EXPECT_NE(all[0].errors.front().text().find("crosses itself"), std::string::npos) << all[0].errors.front().text();
  EXPECT_EQ(all[1].stage, Stage::waiting);
}

TEST_F(Desk, AJobThatTakesTooLongIsRefused) {
  job("a", 8);
  const auto desk = JobQueue::open(folder_.string(), 0ms);
  ASSERT_TRUE(desk);
  const auto all = read(**desk);
  EXPECT_EQ(all[0].stage, Stage::refused);
  ASSERT_FALSE(all[0].errors.empty());
  EXPECT_NE(all[0].errors.front().text().find("took longer than 0 s"), std::string::npos);
}

TEST_F(Desk, AJobIsReadWhileAnotherIsWorkedOut) {
  job("a_long", 0.6);
  const auto desk = JobQueue::open(folder_.string());
  ASSERT_TRUE(desk);
  read(**desk);
  (*desk)->work_out("a_long");
  job("b_new", 8);
  std::optional<DeskEntry> found;
  for (int k = 0; k < 1200 && (!found || found->stage == Stage::unread); ++k) {
    std::this_thread::sleep_for(50ms);
    found = (*desk)->find("b_new");
  }
  ASSERT_TRUE(found);
  EXPECT_EQ(found->stage, Stage::waiting);
  EXPECT_EQ((*desk)->find("a_long")->stage, Stage::working);
}

}  // namespace
}  // namespace witnessline::server

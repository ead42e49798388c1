// Files and folders are on the disk whole or not at all, and a disk that fails costs no file descriptor.
#include "app/files.h"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>

#include "app/app.h"

namespace {
std::atomic<bool> disk_fails = false;
std::atomic<int> folders_synced = 0;
}  // namespace

/// Stands before the system's own for this whole program.
extern "C" int fsync(int file) {
  struct stat facts {};
  if (::fstat(file, &facts) == 0 && S_ISDIR(facts.st_mode)) ++folders_synced;
  if (disk_fails) {
    errno = EIO;
    return -1;
  }
  return static_cast<int>(::syscall(SYS_fsync, file));
}

namespace witnessline::app {
namespace {

namespace fs = std::filesystem;

class Files : public testing::Test {
 protected:
  void SetUp() override {
    std::string pattern = (fs::temp_directory_path() / "files_test_XXXXXX").string();
    ASSERT_NE(mkdtemp(pattern.data()), nullptr);
    folder_ = pattern;
  }
  void TearDown() override {
    disk_fails = false;
    fs::remove_all(folder_);
  }
  static std::ptrdiff_t open_files() {
    return std::distance(fs::directory_iterator("/proc/self/fd"), fs::directory_iterator{});
  }
  fs::path folder_;
};

TEST_F(Files, a_disk_that_fails_leaves_no_file_and_no_descriptor) {
  const auto before = open_files();
  disk_fails = true;
  for (int i = 0; i < 20; ++i) {
    EXPECT_FALSE(write_new_file(folder_ / "new.toml", "x"));
    EXPECT_FALSE(replace_folder(folder_ / "out", {{"a/b.txt", "x"}, {"c.txt", "y"}}));
  }
  disk_fails = false;
  EXPECT_EQ(open_files(), before);
  EXPECT_TRUE(fs::is_empty(folder_));
}

TEST_F(Files, the_folder_of_what_is_written_is_on_the_disk_too) {
  folders_synced = 0;
  ASSERT_TRUE(write_new_file(folder_ / "new.toml", "x"));
  EXPECT_EQ(folders_synced, 1);
  folders_synced = 0;
  ASSERT_TRUE(replace_folder(folder_ / "out", {{"a/b.txt", "x"}, {"c.txt", "y"}}));
  EXPECT_EQ(folders_synced, 3) << "out, out/a and the folder out lies in";
  ASSERT_TRUE(replace_folder(folder_ / "out", {{"c.txt", "z"}}));
  EXPECT_EQ(*read_file(folder_ / "out/c.txt"), "z");
  EXPECT_FALSE(fs::exists(folder_ / "out/a"));
}

TEST_F(Files, a_new_job_makes_the_folders_above_it) {
  const fs::path job = folder_ / "shop/bass/job.toml";
  ASSERT_TRUE(new_job(job.string()));
  EXPECT_TRUE(fs::exists(job));
  EXPECT_TRUE(fs::exists(job.parent_path() / "job.svg"));
  ASSERT_FALSE(new_job(job.string()));
  const auto below_a_file = new_job((job / "job.toml").string());
  ASSERT_FALSE(below_a_file);
  EXPECT_NE(below_a_file.errors()[0].fix, "");
}

TEST(VerifyJson, what_could_not_be_worked_out_is_null_and_says_why) {
  Check refused{.id = "a", .what = "A", .inputs = "", .published = 2, .tolerance = 1, .unit = "um"};
  refused.fault = "input 'x' is missing";
  Check fine = refused;
  fine.id = "b", fine.ours = 2.5, fine.fault = "";
  const std::string json = verify_json({refused, fine});
  EXPECT_NE(json.find("\"ours\": null"), std::string::npos) << json;
  EXPECT_NE(json.find("\"error\": null"), std::string::npos) << json;
  EXPECT_NE(json.find("\"refused\": \"input 'x' is missing\""), std::string::npos) << json;
  EXPECT_NE(json.find("\"ours\": 2.5"), std::string::npos) << json;
  EXPECT_NE(json.find("\"outside_tolerance\": 1"), std::string::npos) << json;
}

}  // namespace
}  // namespace witnessline::app

// What the program prints on its way where nobody's terminal shows it: a log file, a pipe.
#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "cli/cli.h"

namespace witnessline::cli {
namespace {

namespace fs = std::filesystem;

class Folder {
 public:
  Folder() {
    std::string pattern = (fs::temp_directory_path() / "progress_XXXXXX").string();
    path_ = mkdtemp(pattern.data());
  }
  ~Folder() { fs::remove_all(path_); }
  fs::path operator/(const char* name) const { return path_ / name; }

 private:
  fs::path path_;
};

/// Runs the command line in a child, its errors going to a file. Returns the exit status.
int run(std::vector<std::string> words, const fs::path& errors) {
  const pid_t child = fork();
  if (child == 0) {
    const int file = open(errors.c_str(), O_CREAT | O_WRONLY | O_TRUNC, 0600), nothing = open("/dev/null", O_WRONLY);
    dup2(file, STDERR_FILENO), dup2(nothing, STDOUT_FILENO);
    std::vector<char*> argv;
    for (std::string& word : words) argv.push_back(word.data());
    const int status = command_line(static_cast<int>(argv.size()), argv.data());
    std::fflush(nullptr);
    _exit(status);
  }
  int status = 0;
  waitpid(child, &status, 0);
  return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

TEST(Progress, WithoutATerminalIsALineForEachThingBegun) {
  const Folder folder;
  ASSERT_EQ(run({"witnessline", "new", (folder / "job.toml").string()}, folder / "new.txt"), well);
  // As coarse as a body may be laid: nothing is looked at but what is printed.
  std::ifstream in(folder / "job.toml");
  std::string job(std::istreambuf_iterator<char>(in), {});
  const std::size_t pitch = job.find("pitch_mm");
  ASSERT_NE(pitch, std::string::npos);
  job.replace(pitch, job.find('\n', pitch) - pitch, "pitch_mm = 10");
  std::ofstream(folder / "job.toml") << job;
  ASSERT_EQ(run({"witnessline", "simulate", (folder / "job.toml").string(), "--json"}, folder / "errors.txt"), well);
  std::ifstream errors(folder / "errors.txt");
  std::vector<std::string> lines;
  for (std::string line; std::getline(errors, line);) lines.push_back(line);
  ASSERT_GT(lines.size(), 2u);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    EXPECT_NE(lines[i].find(" % "), std::string::npos) << lines[i];
    EXPECT_GT(lines[i].size(), lines[i].find(" % ") + 3) << "a line that says nothing: " << lines[i];
    EXPECT_EQ(lines[i].find('\033'), std::string::npos) << "no terminal reads this: " << lines[i];
    if (i > 0) EXPECT_NE(lines[i].substr(6), lines[i - 1].substr(6)) << "said twice: " << lines[i];
  }
}

}  // namespace
}  // namespace witnessline::cli

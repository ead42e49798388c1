// What the program prints on its way where nobody's terminal shows it: a log file, a pipe.
#include <gtest/gtest.h>

#include <sstream>

#include "command.h"

namespace witnessline::cli {
namespace {

TEST(Progress, WithoutATerminalIsALineForEachThingBegun) {
  const Folder folder;
  ASSERT_EQ(run({"new", (folder / "job.toml").string()}).status, well);
  // As coarse as a body may be laid: nothing is looked at but what is printed.
  std::string job = bytes_of(folder / "job.toml");
  const std::size_t pitch = job.find("pitch_mm");
  ASSERT_NE(pitch, std::string::npos);
  job.replace(pitch, job.find('\n', pitch) - pitch, "pitch_mm = 10");
  std::ofstream(folder / "job.toml") << job;
  const Ran ran = run({"simulate", (folder / "job.toml").string(), "--json"});
  ASSERT_EQ(ran.status, well);
  std::istringstream errors(ran.errors);
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

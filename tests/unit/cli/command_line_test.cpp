// Exit status, which stream says what, and errors as JSON.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "command.h"

namespace witnessline::cli {
namespace {

TEST(CommandLine, HelpSucceedsOnStandardOutput) {
  const Ran all = run({"--help"}), one = run({"simulate", "--help"});
  EXPECT_EQ(all.status, 0);
  EXPECT_NE(all.output.find("simulate"), std::string::npos);
  EXPECT_EQ(all.errors, "");
  EXPECT_EQ(one.status, 0);
  EXPECT_NE(one.output.find("--out"), std::string::npos);
}

TEST(CommandLine, AMisspeltCommandSuggestsTheNearestOne) {
  const Ran near = run({"simulte"}), far = run({"kaleidoscope"});
  EXPECT_EQ(near.status, 2);
  EXPECT_NE(near.errors.find("did you mean 'simulate'?"), std::string::npos) << near.errors;
  EXPECT_EQ(near.output, "");
  EXPECT_EQ(far.status, 2);
  EXPECT_EQ(far.errors.find("did you mean"), std::string::npos) << far.errors;
}

TEST(CommandLine, AWrongOptionOrNoCommandIsStatus2) {
  EXPECT_EQ(run({}).status, 2);
  EXPECT_EQ(run({"validate"}).status, 2) << "the job file is missing";
  EXPECT_EQ(run({"verify", "--no-such-option"}).status, 2);
}

TEST(CommandLine, AFileThatIsMissingOrAFolderIsStatus1AndNamed) {
  const Folder folder;
  fs::create_directory(folder / "a_folder");
  for (const char* name : {"missing.toml", "a_folder"})
    for (const char* command : {"validate", "simulate", "dry"}) {
      const std::string file = (folder / name).string();
      const Ran ran = run({command, file});
      EXPECT_EQ(ran.status, 1) << command << " " << name << ": " << ran.errors;
      EXPECT_NE(ran.errors.find(name), std::string::npos) << command << ": " << ran.errors;
      EXPECT_EQ(ran.output, "") << command << " " << name;
    }
}

TEST(CommandLine, ErrorsAsJsonCarryFileLineKeyAndFix) {
  const Folder folder;
  const fs::path file = folder / "job.toml";
  std::ofstream(file) << "id = \"one\"\ntitel = \"a title\"\n";
  const Ran ran = run({"validate", file.string(), "--json"});
  EXPECT_EQ(ran.status, 1);
  const nlohmann::json answer = nlohmann::json::parse(ran.output, nullptr, false);
  ASSERT_FALSE(answer.is_discarded()) << ran.output;
  bool found = false;
  for (const nlohmann::json& error : answer.at("errors"))
    if (error.at("line") == 2) {
      found = true;
      EXPECT_EQ(error.at("file"), file.string());
      EXPECT_EQ(error.at("fix"), "did you mean 'title'?");
    }
  EXPECT_TRUE(found) << ran.output;
}

TEST(CommandLine, NewNeverWritesOverAFile) {
  const Folder folder;
  const fs::path file = folder / "job.toml";
  ASSERT_EQ(run({"new", file.string()}).status, 0);
  std::ofstream(file) << "mine";
  EXPECT_EQ(run({"new", file.string()}).status, 1);
  EXPECT_EQ(bytes_of(file), "mine");
}

}  // namespace
}  // namespace witnessline::cli

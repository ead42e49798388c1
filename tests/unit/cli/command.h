// The command line run in a child of the test, as a shell runs it.
#pragma once

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "cli/cli.h"

namespace witnessline::cli {

namespace fs = std::filesystem;

/// A new folder, gone with the test.
class Folder {
 public:
  Folder() {
    std::string pattern = (fs::temp_directory_path() / "command_XXXXXX").string();
    path_ = mkdtemp(pattern.data());
  }
  ~Folder() { fs::remove_all(path_); }
  fs::path operator/(const char* name) const { return path_ / name; }

 private:
  fs::path path_;
};

inline std::string bytes_of(const fs::path& file) {
  std::ifstream in(file);
  return std::string(std::istreambuf_iterator<char>(in), {});
}

struct Ran {
  int status = -1;  ///< -1: it did not end by itself
  std::string output, errors;
};

inline Ran run(std::vector<std::string> words) {
  const Folder folder;
  const fs::path output = folder / "output", errors = folder / "errors";
  words.insert(words.begin(), "witnessline");
  const pid_t child = fork();
  if (child == 0) {
    const int flags = O_CREAT | O_WRONLY | O_TRUNC;
    dup2(open(output.c_str(), flags, 0600), STDOUT_FILENO), dup2(open(errors.c_str(), flags, 0600), STDERR_FILENO);
    std::vector<char*> argv;
    for (std::string& word : words) argv.push_back(word.data());
    const int status = command_line(static_cast<int>(argv.size()), argv.data());
    std::fflush(nullptr);
    _exit(status);
  }
  int status = 0;
  waitpid(child, &status, 0);
  return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, bytes_of(output), bytes_of(errors)};
}

}  // namespace witnessline::cli

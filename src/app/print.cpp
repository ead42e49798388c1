// HTML to PDF by WeasyPrint, a program of its own: nothing of it is linked.
#include <fcntl.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <fstream>

#include "app/app.h"
#include "app/files.h"

extern char** environ;

namespace witnessline::app {
namespace {

namespace fs = std::filesystem;

/// A folder of our own under the system's temporary one, gone with this.
struct TemporaryFolder {
  fs::path path;
  TemporaryFolder() {
    std::string made = (fs::temp_directory_path() / "witnessline-XXXXXX").string();
    if (::mkdtemp(made.data())) path = made;
  }
  TemporaryFolder(const TemporaryFolder&) = delete;
  TemporaryFolder& operator=(const TemporaryFolder&) = delete;
  ~TemporaryFolder() {
    std::error_code error;
    if (!path.empty()) fs::remove_all(path, error);
  }
};

}  // namespace

Result<std::string> pdf_of(const std::string& html) {
  const TemporaryFolder folder;
  if (folder.path.empty())
    return Error{"no temporary folder can be made to print in", {}, "", "free space there, or set TMPDIR"};
  const std::string page = folder.path / "page.html", pdf = folder.path / "page.pdf";
  std::ofstream(page, std::ios::binary) << html;
  std::array<std::string, 6> words{"weasyprint", "--quiet", "--pdf-variant", "pdf/ua-1", page, pdf};
  std::array<char*, 7> arguments{};
  for (std::size_t i = 0; i < words.size(); ++i) arguments[i] = words[i].data();
  posix_spawn_file_actions_t streams;
  posix_spawn_file_actions_init(&streams);
  for (const int stream : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO})
    posix_spawn_file_actions_addopen(&streams, stream, "/dev/null", stream == STDIN_FILENO ? O_RDONLY : O_WRONLY, 0);
  pid_t child = 0;
  const int begun = ::posix_spawnp(&child, "weasyprint", &streams, nullptr, arguments.data(), environ);
  posix_spawn_file_actions_destroy(&streams);
  int status = 0;
  if (begun != 0 || ::waitpid(child, &status, 0) != child || status != 0)
    return Error{"the paper could not be printed as PDF",
                 {},
                 "WeasyPrint 57 or newer",
                 begun != 0 ? "install Debian's package weasyprint, or print the page from a browser"
                            : "print the page from a browser; please report this with your job file"};
  return read_file(pdf);
}

}  // namespace witnessline::app

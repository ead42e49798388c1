#include "app/files.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <fstream>
#include <set>
#include <sstream>
#include <system_error>

namespace witnessline::app {

namespace fs = std::filesystem;

namespace {

// A folder we wrote carries this file, so that a mistyped --out never replaces somebody's own folder.
constexpr const char* folder_mark = ".witnessline";

Error failed(const std::string& what, const fs::path& path, const std::string& fix) {
  return {fmt::format("{} ({})", what, std::generic_category().message(errno)), {path.string(), 0, 0, ""}, "", fix};
}

Result<Done> write_through(const fs::path& path, const std::string& bytes) {
  const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0644);
  if (file < 0) return failed("cannot create the file", path, "check the folder and its permissions");
  std::size_t done = 0;
  while (done < bytes.size()) {
    const ssize_t n = ::write(file, bytes.data() + done, bytes.size() - done);
    if (n < 0 && errno == EINTR) continue;
    if (n <= 0) {
      const Error error = failed("cannot write the file", path, "check that the disk has free space");
      ::close(file);
      ::unlink(path.c_str());
      return error;
    }
    done += static_cast<std::size_t>(n);
  }
  const int sync_error = ::fsync(file) == 0 ? 0 : errno;
  const bool closed = ::close(file) == 0;
  if (sync_error != 0 || !closed) {
    if (sync_error != 0) errno = sync_error;
    const Error error = failed("cannot finish the file", path, "check that the disk has free space");
    ::unlink(path.c_str());
    return error;
  }
  return Done{};
}

/// A new name is on the disk only once its folder is.
Result<Done> sync_folder(const fs::path& folder) {
  const int opened = ::open(folder.empty() ? "." : folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  const bool synced = opened >= 0 && (::fsync(opened) == 0 || errno == EINVAL);  // EINVAL: this disk has no such thing
  const int why = errno;
  if (opened >= 0) ::close(opened);
  errno = why;
  if (!synced) return failed("cannot finish the folder", folder, "check that the disk works and has free space");
  return Done{};
}

constexpr const char* mark_head = "Made by witnessline; these files are replaced together at the next run:";

/// The mark lists what was written, so that a file somebody put beside it is found.
std::string mark_of(const std::map<std::string, std::string>& files) {
  std::string text = std::string(mark_head) + "\n";
  for (const auto& [name, bytes] : files) text += name + "\n";
  return text;
}

/// A file of the folder that this program did not write, or ""; a folder without a mark is somebody's own.
std::string not_ours(const fs::path& folder) {
  std::set<std::string> written{folder_mark};
  std::ifstream mark(folder / folder_mark);
  std::string line;
  std::getline(mark, line);
  while (std::getline(mark, line)) written.insert(line);
  std::error_code error;
  for (auto at = fs::recursive_directory_iterator(folder, error); !error && at != fs::end(at); at.increment(error)) {
    const std::string name = at->path().lexically_relative(folder).generic_string();
    if (!at->is_directory() && !written.count(name)) return name;
  }
  return error ? error.message() : "";
}

}  // namespace

Result<std::string> read_file(const fs::path& path, const Place& asked_by) {
  std::error_code error;
  const Place where = asked_by.file.empty() && asked_by.key.empty() ? Place{path.string(), 0, 0, ""} : asked_by;
  if (!fs::exists(path, error))
    return Error{fmt::format("there is no file '{}'", path.string()), where, "", "check the path"};
  if (!fs::is_regular_file(path, error))
    return Error{fmt::format("'{}' is not a file", path.string()), where, "a file", "name the file itself"};
  if (fs::file_size(path, error) > (std::uintmax_t{512} << 20))
    return Error{fmt::format("'{}' is larger than 512 MiB", path.string()), where, "", "reduce the mesh first"};
  std::ifstream in(path, std::ios::binary);
  std::ostringstream bytes;
  bytes << in.rdbuf();
  if (!in) return Error{fmt::format("cannot read '{}'", path.string()), where, "", "check its permissions"};
  return std::move(bytes).str();
}

std::optional<fs::path> inside(const fs::path& folder, const fs::path& path) {
  std::error_code error;
  const fs::path home = fs::weakly_canonical(folder.empty() ? "." : folder, error);
  if (error) return std::nullopt;
  const fs::path real = fs::weakly_canonical(path, error);
  if (error) return std::nullopt;
  const fs::path below = real.lexically_relative(home);
  if (below.empty() || *below.begin() == "..") return std::nullopt;
  return real;
}

Result<Done> write_new_file(const fs::path& path, const std::string& bytes) {
  std::error_code error;
  if (fs::exists(path, error))
    return Error{"the file exists already", {path.string(), 0, 0, ""}, "", "choose another name"};
  const fs::path partial = path.string() + fmt::format(".partial-{}", ::getpid());
  if (auto written = write_through(partial, bytes); !written) return written;
  // link() fails when somebody made the file meanwhile; rename() would replace it.
  const int linked = ::link(partial.c_str(), path.c_str());
  const Error refused = failed("cannot create the file", path, "choose another name");
  ::unlink(partial.c_str());
  if (linked != 0) return refused;
  return sync_folder(path.parent_path());
}

Result<Done> replace_folder(const fs::path& given, const std::map<std::string, std::string>& files) {
  std::error_code error;
  const fs::path folder = fs::absolute(given, error).lexically_normal();
  const bool there = fs::exists(folder, error);
  if (there && !fs::is_directory(folder, error))
    return Error{"this is a file, not a folder", {folder.string(), 0, 0, ""}, "a folder", "choose another with --out"};
  if (const std::string other = there ? not_ours(folder) : ""; !other.empty())
    return Error{fmt::format("the folder holds '{}', which this program did not write, so it is left alone", other),
                 {folder.string(), 0, 0, ""},
                 "a new, empty or earlier outcome folder",
                 "move that file away, or choose another folder with --out"};
  std::string name = folder.string();
  while (name.size() > 1 && name.back() == '/') name.pop_back();
  const fs::path partial = name + fmt::format(".partial-{}", ::getpid());
  const fs::path old = name + fmt::format(".old-{}", ::getpid());
  const auto give_up = [&](Error why) -> Result<Done> {
    fs::remove_all(partial, error);
    return why;
  };
  fs::create_directories(partial, error);
  if (error)
    return Error{fmt::format("cannot make the folder ({})", error.message()),
                 {partial.string(), 0, 0, ""},
                 "",
                 "check its permissions"};
  if (auto marked = write_through(partial / folder_mark, mark_of(files)); !marked)
    return give_up(marked.errors().front());
  std::set<fs::path> folders{partial};
  for (const auto& [relative, bytes] : files) {
    fs::create_directories((partial / relative).parent_path(), error);
    if (auto written = write_through(partial / relative, bytes); !written) return give_up(written.errors().front());
    folders.insert((partial / relative).parent_path());
  }
  for (const fs::path& written : folders)
    if (auto synced = sync_folder(written); !synced) return give_up(synced.errors().front());
  const bool replaces = fs::exists(folder, error);
  if (replaces) fs::rename(folder, old, error);
  if (!error) fs::rename(partial, folder, error);
  if (error) {
    const std::string why = error.message();
    if (replaces) fs::rename(old, folder, error);
    return give_up({fmt::format("cannot put the folder in place ({})", why),
                    {folder.string(), 0, 0, ""},
                    "",
                    "check its permissions"});
  }
  const auto synced = sync_folder(folder.parent_path());
  if (replaces) fs::remove_all(old, error);
  return synced;
}

}  // namespace witnessline::app

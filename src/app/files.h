// The only place that opens files: reading what a job names, writing outcomes whole or not at all.
#pragma once

#include <filesystem>
#include <map>
#include <optional>
#include <string>

#include "base/result.h"

namespace witnessline::app {

/// The bytes of a file. Errors: missing, a folder, unreadable, larger than 512 MiB; `asked_by` says what named it.
Result<std::string> read_file(const std::filesystem::path& path, const Place& asked_by = {});

/// `path` with its links followed, where it lies in `folder`; nothing where it leads out of it.
std::optional<std::filesystem::path> inside(const std::filesystem::path& folder, const std::filesystem::path& path);

/// Writes one new file; appears whole or not at all. Errors: exists already, folder missing, disk full.
Result<Done> write_new_file(const std::filesystem::path& path, const std::string& bytes);

/// Replaces a folder by these files (relative path -> bytes); the old one stays until every new file is on the disk.
/// Errors: a folder that holds anything we did not write, no permission, disk full.
Result<Done> replace_folder(const std::filesystem::path& folder, const std::map<std::string, std::string>& files);

}  // namespace witnessline::app

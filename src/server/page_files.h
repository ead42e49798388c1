// PageFiles: the built page, read once into memory; nothing else of the disk can be asked for.
#pragma once

#include <map>
#include <string>

#include "base/modules.h"

namespace witnessline::server {

struct PageFile {
  std::string type, bytes;
  bool lasting = false;  ///< its name changes with its content
};

/// By address: "/" is index.html. Empty where the folder is not there.
std::map<std::string, PageFile> read_page(const std::string& folder);

}  // namespace witnessline::server

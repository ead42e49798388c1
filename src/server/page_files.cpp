#include "server/page_files.h"

#include <filesystem>
#include <fstream>
#include <iterator>

namespace witnessline::server {
namespace {

std::string type_of(const std::string& ending) {
  static const std::map<std::string, std::string> types{{".html", "text/html; charset=utf-8"},
                                                        {".js", "text/javascript; charset=utf-8"},
                                                        {".css", "text/css; charset=utf-8"},
                                                        {".svg", "image/svg+xml"},
                                                        {".png", "image/png"},
                                                        {".json", "application/json"},
                                                        {".woff2", "font/woff2"}};
  const auto known = types.find(ending);
  return known == types.end() ? "application/octet-stream" : known->second;
}

}  // namespace

std::map<std::string, PageFile> read_page(const std::string& folder) {
  namespace fs = std::filesystem;
  std::map<std::string, PageFile> files;
  std::error_code fault;
  for (fs::recursive_directory_iterator at(folder, fault), end; !fault && at != end; at.increment(fault)) {
    if (!at->is_regular_file(fault)) continue;
    std::ifstream in(at->path(), std::ios::binary);
    PageFile file{type_of(at->path().extension().string()),
                  std::string(std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()), false};
    const std::string address = "/" + at->path().lexically_relative(folder).generic_string();
    file.lasting = address.starts_with("/assets/");
    files[address == "/index.html" ? "/" : address] = std::move(file);
  }
  return files;
}

}  // namespace witnessline::server

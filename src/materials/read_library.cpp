#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "base/random.h"
#include "materials/binder_tables.h"
#include "materials/read_material.h"
#include "materials/sources.h"

namespace witnessline::materials {

namespace {
namespace fs = std::filesystem;

std::vector<fs::path> files_in(const fs::path& folder, const char* extension, std::vector<Error>& faults) {
  std::vector<fs::path> files;
  std::error_code failed;
  for (const auto& entry : fs::directory_iterator(folder, failed))
    if (entry.path().extension() == extension) files.push_back(entry.path());
  if (failed) faults.push_back({"the folder cannot be read", {folder.string(), 0, 0, ""}, "", "check the data folder"});
  std::sort(files.begin(), files.end());
  return files;
}

void add(std::vector<Error>& faults, const std::vector<Error>& more) {
  faults.insert(faults.end(), more.begin(), more.end());
}

Key with_contents(Key key, const fs::path& file) {
  std::ifstream stream(file, std::ios::binary);
  const std::string text{std::istreambuf_iterator<char>(stream), {}};
  return key.with(file.filename().string()).with(text);
}

/// Blends that name what is not in the library.
std::vector<Error> unknown_blends(const std::vector<Material>& materials) {
  std::vector<Error> faults;
  for (const Material& blend : materials)
    for (const BlendShare& part : blend.blend)
      if (std::none_of(materials.begin(), materials.end(), [&](const Material& m) { return m.id == part.material; }))
        faults.push_back({fmt::format("'{}' is not in the library", part.material),
                          {"", 0, 0, blend.id + ".blend"},
                          "ids of solvents",
                          ""});
  return faults;
}
}  // namespace

Result<Library> read_library(const std::string& folder) {
  const fs::path root = folder;
  std::vector<Error> faults;
  Key contents;

  const fs::path bib = root / "sources.bib";
  const Result<std::vector<Source>> sources = read_sources(bib.string());
  if (!sources) add(faults, sources.errors());
  contents = with_contents(contents, bib);

  std::map<std::string, SpectraFile> spectra;
  for (const fs::path& file : files_in(root / "spectra", ".csv", faults)) {
    Result<SpectraFile> read = read_spectra(file.string());
    if (!read)
      add(faults, read.errors());
    else
      spectra.emplace(file.filename().string(), std::move(*read));
    contents = with_contents(contents, file);
  }

  MaterialReader reader(sources ? *sources : std::vector<Source>{}, spectra);
  for (const fs::path& file : files_in(root / "materials", ".toml", faults)) {
    reader.read(file.string());
    contents = with_contents(contents, file);
  }
  add(faults, reader.faults());

  const fs::path ages = root / "shelf_life.csv";
  const auto lives = read_shelf_lives(ages.string(), sources ? *sources : std::vector<Source>{});
  if (!lives && sources) add(faults, lives.errors());
  contents = with_contents(contents, ages);
  const fs::path carried = root / "usual_carriers.csv";
  const auto carriers = read_usual_carriers(carried.string(), reader.materials());
  if (!carriers && reader.faults().empty()) add(faults, carriers.errors());
  contents = with_contents(contents, carried);
  add(faults, unknown_blends(reader.materials()));
  if (faults.empty() && reader.materials().empty())
    faults.push_back({"no material found", {(root / "materials").string(), 0, 0, ""}, "files named *.toml", ""});
  if (!faults.empty()) return faults;
  return Library(reader.materials(), *sources, contents.bits, *lives, *carriers);
}

}  // namespace witnessline::materials

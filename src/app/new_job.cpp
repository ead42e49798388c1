// A job file a person can start from: valid as it stands, every line explained, nothing in it pretends to be measured.
#include <filesystem>

#include "app/app.h"
#include "app/files.h"

namespace witnessline::app {

namespace {

constexpr const char* outline_svg =
    R"(<svg xmlns="http://www.w3.org/2000/svg" width="240mm" height="360mm" viewBox="0 0 240 360">
  <!-- Trace the body here, in millimetres, neck end up. This rounded block stands in until then. -->
  <path id="outline" d="M40 0 H200 A40 40 0 0 1 240 40 V320 A40 40 0 0 1 200 360 H40 A40 40 0 0 1 0 320 V40 A40 40 0 0 1 40 0 Z"/>
</svg>
)";

constexpr const char* job_toml = R"(# A Witnessline job. Keys carry their unit; docs/formats.md lists them all.
# Check it with:   witnessline validate THIS_FILE
# Work it out:     witnessline simulate THIS_FILE
id = "@ID@"
title = "A new job"

[instrument]
kind = "describe the instrument"
year = "not known"

[body]
outline = "@ID@.svg"        # traced outline, in mm
thickness_mm = 45
edge_radius_mm = 3
top_wood = "maple"
back_wood = "maple"
side_wood = "maple"
pitch_mm = 2               # 1 for the final run

# Coats found, wood side first.
[[coats]]
name = "old lacquer"
mixture = "nitrocellulose_lacquer"
origin = "original"
thickness_um = 80          # replace by what you read
spread_um = 15

# What must be known before a step may begin.
[[hold_points]]
hazard = "old_pigments"
question = "Has every coat been tested for lead and chromate, down to the wood?"
before = ["sand", "flat", "lift"]

# Measure these before anything is sprayed; absent, no plan that sprays is ready.
# [room]
# volume_m3 = 60
# fan_m3_h = 3000
# booth_face_m2 = 1.5      # 0: there is no booth

[[plans]]
id = "leave"
title = "Clean and leave alone"
summary = "Grime off, nothing else."

  [[plans.steps]]
  id = "wash"
  do = "clean"
  with = "naphtha"
  why = "Grime hides the finish you have to judge."
)";

std::string filled(std::string text, const std::string& id) {
  for (std::size_t at; (at = text.find("@ID@")) != std::string::npos;) text.replace(at, 4, id);
  return text;
}

}  // namespace

Result<Done> new_job(const std::string& path) {
  const std::filesystem::path file(path);
  std::string id = file.stem().string();
  for (char& c : id)
    if (!std::isalnum(static_cast<unsigned char>(c))) c = '_';
  if (id.find_first_not_of('_') == std::string::npos && !id.empty()) id = "job";
  if (id.empty() || file.extension() != ".toml")
    return Error{"a job file's name ends in .toml", {path, 0, 0, ""}, "a name such as my_job.toml", ""};
  const std::filesystem::path outline = file.parent_path() / (id + ".svg");
  std::error_code ignored;
  if (std::filesystem::exists(file, ignored))
    return Error{"the file exists already", {path, 0, 0, ""}, "", "choose another name"};
  std::error_code failed;
  if (file.has_parent_path()) std::filesystem::create_directories(file.parent_path(), failed);
  if (failed)
    return Error{"cannot make the folder (" + failed.message() + ")",
                 {file.parent_path().string(), 0, 0, ""},
                 "",
                 "make the folder, or choose another place"};
  if (auto written = write_new_file(outline, outline_svg); !written) return written;
  if (auto written = write_new_file(file, filled(job_toml, id)); !written) {
    std::filesystem::remove(outline, ignored);
    return written;
  }
  return Done{};
}

}  // namespace witnessline::app

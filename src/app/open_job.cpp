#include "app/open_job.h"

#include <fmt/format.h>

#include <chrono>
#include <filesystem>

#include "app/app.h"
#include "app/files.h"
#include "body/build_body.h"
#include "body/off_body.h"
#include "job/files.h"

namespace witnessline::app {

namespace fs = std::filesystem;

namespace {

/// The body file a job names: in the folder of the job file, or one of the program's own outlines. A job may come from
/// anybody, so it reaches no other file of the machine, through no link either.
Result<std::string> read_body_file(const Job& job, const fs::path& job_path) {
  const std::string& name = job.body.outline.empty() ? job.body.mesh : job.body.outline;
  const char* key = job.body.outline.empty() ? "body.mesh" : "body.outline";
  if (name.empty())
    return Error{"the body has neither outline nor mesh",
                 {job_path.string(), 0, 0, "body"},
                 "outline = \"FILE.svg\" or mesh = \"FILE.stl\"",
                 ""};
  const Place place{job_path.string(), 0, 0, key};
  const fs::path outlines = fs::path(data_folder()) / "outlines";
  const auto beside = inside(job_path.parent_path(), job_path.parent_path() / name);
  const auto own = inside(outlines, outlines / name);
  if (fs::path(name).is_absolute() || !beside)
    return Error{fmt::format("'{}' lies outside the folder of the job", name), place,
                 "a file in the folder of the job file, or the name of one of the program's own outlines",
                 "copy the file beside the job file and name it without a folder"};
  std::error_code ignored;
  return read_file(fs::exists(*beside, ignored) || !own || !fs::exists(*own, ignored) ? *beside : *own, place);
}

/// Places the job names that lie off its body. Those of coats and steps are found when they are worked out.
std::vector<Error> places_off(const Body& body, const Job& job) {
  std::vector<Error> errors;
  const auto look = [&](const Patch& patch, const std::string& key) {
    if (auto error = off_body(patch, body, key)) errors.push_back(std::move(*error));
  };
  for (std::size_t i = 0; i < job.survey.size(); ++i) look(job.survey[i].at, fmt::format("survey[{}].at", i + 1));
  for (const PartRecord& part : job.parts)
    for (std::size_t i = 0; i < part.covers.size(); ++i)
      look(part.covers[i], fmt::format("parts.{}.covers[{}]", part.name, i + 1));
  return errors;
}

int this_year() {
  const std::chrono::year_month_day today{std::chrono::floor<std::chrono::days>(std::chrono::system_clock::now())};
  const int year = static_cast<int>(today.year());
  return year < 2024 ? 0 : year;  // the clock of a machine without a battery says nothing
}

}  // namespace

Result<OpenedJob> open_job(const std::string& job_path, const Library& library) {
  auto text = read_file(job_path);
  if (!text) return text.errors();
  auto job = read_job(*text, job_path, library, this_year());
  if (!job) return job.errors();
  auto bytes = read_body_file(*job, job_path);
  if (!bytes) return bytes.errors();
  return OpenedJob{std::move(*job), std::move(*bytes)};
}

std::vector<SurveyFact> facts_of(const Job& job) {
  std::vector<SurveyFact> facts;
  for (const SurveyRecord& record : job.survey) {
    const float height =
        record.at.face == "back" ? -1.0f : 1.0f;  // far out of that face; the body takes the nearest point
    facts.push_back({record.fact,
                     {static_cast<float>(record.at.x_m), static_cast<float>(record.at.y_m), height},
                     record.at.radius_m,
                     record.depth_m,
                     record.remark});
  }
  return facts;
}

Result<BuiltBody> body_of(const OpenedJob& opened, const StopCheck& stop) {
  return body_of(opened, opened.job.body.pitch_m, stop);
}

Result<BuiltBody> body_of(const OpenedJob& opened, double pitch_m, const StopCheck& stop) {
  const BodySpec& spec = opened.job.body;
  auto built = build_body(spec, opened.body_bytes, spec.outline + spec.mesh, facts_of(opened.job), pitch_m, stop);
  if (!built) return built;
  if (auto errors = places_off(built->body, opened.job); !errors.empty()) return errors;
  return built;
}

}  // namespace witnessline::app

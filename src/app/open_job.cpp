#include "app/open_job.h"

#include <fmt/format.h>

#include <chrono>
#include <filesystem>

#include "app/app.h"
#include "app/files.h"
#include "body/build_body.h"
#include "body/off_body.h"
#include "job/files.h"
#include "job/places.h"

namespace witnessline::app {

namespace fs = std::filesystem;

namespace {

/// Where the body file of a job is: in its folder, or one of the program's own outlines. A job may come from anybody,
/// so it reaches no other file of the machine, through no link either.
Result<fs::path> find_body_file(const std::string& name, const std::string& key, const fs::path& job_path) {
  const fs::path outlines = fs::path(data_folder()) / "outlines";
  const auto beside = inside(job_path.parent_path(), job_path.parent_path() / name);
  const auto own = inside(outlines, outlines / name);
  if (fs::path(name).is_absolute() || !beside)
    return Error{fmt::format("'{}' is outside the job's folder", name),
                 {"", 0, 0, key},
                 "a file in the folder of the job file, or the name of one of the program's own outlines",
                 "copy the file beside the job file and name it without a folder"};
  std::error_code ignored;
  return fs::exists(*beside, ignored) || !own || !fs::exists(*own, ignored) ? *beside : *own;
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

std::vector<Error> OpenedJob::located(std::vector<Error> errors) const {
  for (Error& error : errors)
    if (!error.where.file.empty() && error.where.file == job.body.outline + job.body.mesh) error.where.file = body_file;
  return job::located(std::move(errors), tree, file);
}

Opening begin_to_open(const std::string& job_path, const Library& library) {
  auto text = read_file(job_path);
  if (!text) return {{}, text.errors()};
  JobText read = read_job_text(*text, job_path, library, this_year());
  Opening opening{{std::move(read.job), std::move(read.tree), job_path, "", ""}, std::move(read.faults)};
  OpenedJob& opened = opening.opened;
  const BodySpec& body = opened.job.body;
  if (body.outline.empty() == body.mesh.empty()) return opening;  // a fault of the job already
  const std::string key = body.outline.empty() ? "body.mesh" : "body.outline";
  const auto fault = [&](const std::vector<Error>& errors) {
    for (Error& error : opened.located(errors)) opening.faults.push_back(std::move(error));
  };
  const auto found = find_body_file(body.outline + body.mesh, key, job_path);
  if (!found) return fault(found.errors()), opening;
  opened.body_file = found->string();
  auto bytes = read_file(*found, {"", 0, 0, key});
  if (bytes)
    opened.body_bytes = std::move(*bytes);
  else
    fault(bytes.errors());
  return opening;
}

Result<OpenedJob> open_job(const std::string& job_path, const Library& library) {
  Opening opening = begin_to_open(job_path, library);
  if (!opening.faults.empty()) return std::move(opening.faults);
  return std::move(opening.opened);
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
  if (!built) return opened.located(built.errors());
  if (auto errors = places_off(built->body, opened.job); !errors.empty()) return opened.located(std::move(errors));
  return built;
}

}  // namespace witnessline::app

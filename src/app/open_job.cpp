#include "app/open_job.h"

#include <filesystem>

#include "app/app.h"
#include "app/files.h"
#include "job/files.h"

namespace witnessline::app {

namespace fs = std::filesystem;

namespace {

/// The body file a job names, beside the job file or in the program's own outlines.
Result<std::string> read_body_file(const Job& job, const fs::path& job_path) {
  const std::string& name = job.body.outline.empty() ? job.body.mesh : job.body.outline;
  const char* key = job.body.outline.empty() ? "body.mesh" : "body.outline";
  if (name.empty())
    return Error{"the body has neither outline nor mesh",
                 {job_path.string(), 0, 0, "body"},
                 "outline = \"FILE.svg\" or mesh = \"FILE.stl\"",
                 ""};
  const fs::path beside = job_path.parent_path() / name;
  const fs::path own = fs::path(data_folder()) / "outlines" / name;
  std::error_code ignored;
  return read_file(fs::exists(beside, ignored) || !fs::exists(own, ignored) ? beside : own,
                   {job_path.string(), 0, 0, key});
}

}  // namespace

Result<OpenedJob> open_job(const std::string& job_path, const Library& library) {
  auto text = read_file(job_path);
  if (!text) return text.errors();
  auto job = read_job(*text, job_path, library);
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

Result<BuiltBody> body_of(const OpenedJob& opened) { return body_of(opened, opened.job.body.pitch_m); }

Result<BuiltBody> body_of(const OpenedJob& opened, double pitch_m) {
  const BodySpec& spec = opened.job.body;
  return build_body(spec, opened.body_bytes, spec.outline + spec.mesh, facts_of(opened.job), pitch_m);
}

}  // namespace witnessline::app

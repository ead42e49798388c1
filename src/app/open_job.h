// A job file and the body file it names, read together: what every question about one instrument begins with.
#pragma once

#include <string>
#include <vector>

#include "base/stop.h"
#include "body/spec.h"
#include "job/job.h"
#include "materials/material.h"

namespace witnessline::app {

struct OpenedJob {
  Job job;
  std::string body_bytes;  ///< of the file the body is made from
};

/// Errors: every fault of the job file; a body file that is not there, or lies outside the job's folder.
Result<OpenedJob> open_job(const std::string& job_path, const Library&);

/// What the survey found, as the body carries it.
std::vector<SurveyFact> facts_of(const Job&);

/// The body of an opened job at its own pitch, or at another. Errors: as build_body().
Result<BuiltBody> body_of(const OpenedJob&, const StopCheck& stop = {});
Result<BuiltBody> body_of(const OpenedJob&, double pitch_m, const StopCheck& stop = {});

}  // namespace witnessline::app

// A job file and the body file it names, read together: what every question about one instrument begins with.
#pragma once

#include <string>
#include <vector>

#include "base/stop.h"
#include "base/tree.h"
#include "body/spec.h"
#include "job/job.h"
#include "materials/material.h"

namespace witnessline::app {

struct OpenedJob {
  Job job;
  Tree tree;               ///< what it was read from
  std::string file;        ///< of the job
  std::string body_file;   ///< as it was found
  std::string body_bytes;  ///< of that file

  /// Errors that name a key of the job, with its file, line and column; those of the body file with its path.
  std::vector<Error> located(std::vector<Error>) const;
};

/// A job as far as it could be opened, and every fault of the job file; a body file that is not there, or lies outside
/// the job's folder. Without faults it is whole.
struct Opening {
  OpenedJob opened;
  std::vector<Error> faults;
};
Opening begin_to_open(const std::string& job_path, const Library&);

/// Errors: the faults of begin_to_open().
Result<OpenedJob> open_job(const std::string& job_path, const Library&);

/// What the survey found, as the body carries it.
std::vector<SurveyFact> facts_of(const Job&);

/// The body of an opened job at its own pitch, or at another. Errors: as build_body(), located; places off the body.
Result<BuiltBody> body_of(const OpenedJob&, const StopCheck& stop = {});
Result<BuiltBody> body_of(const OpenedJob&, double pitch_m, const StopCheck& stop = {});

}  // namespace witnessline::app

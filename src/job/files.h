// Job files: read, checked whole, written, described.
#pragma once

#include <string>
#include <string_view>

#include "base/tree.h"
#include "job/job.h"
#include "job/shape.h"

namespace witnessline::job {

/// A job file as far as it could be read.
struct JobText {
  Job job;
  Tree tree;                  ///< what it was read from; nothing where it is no TOML at all
  std::vector<Error> faults;  ///< empty: the job is whole
};
JobText read_job_text(std::string_view text, const std::string& file_name, const Library& library, int this_year = 0);

/// Reads and checks a job file from its text. Every fault comes back at once, each with file, line, column, key, what
/// was expected and the nearest right word. `library` decides which materials exist.
/// `this_year`: dates after it are faults; 0: not known.
Result<Job> read_job(std::string_view text, const std::string& file_name, const Library& library, int this_year = 0);

/// The job as TOML that read_job reads back to an equal job (numbers round-trip).
std::string write_job(const Job&);

std::string job_schema_json();  ///< JSON Schema (2020-12) of a job file
std::string job_key_tables();   ///< docs/job_keys.md: the keys of a job file in tables
/// The keys of one shape and all it holds, as Markdown tables, the outermost under `heading`.
std::string key_tables(const Shape&, const std::string& heading);
/// Types of everything the server answers about a job, and of `more`.
std::string typescript_types(const std::vector<Shape>& more = {});

}  // namespace witnessline::job

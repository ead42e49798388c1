#include "jobs.h"

FUZZ(bytes) {
  const auto job = witnessline::job::read_job(bytes, "job.toml", witnessline::library(), 2026);
  if (!job) return witnessline::must_have_reason(job.errors());
  const auto again =
      witnessline::job::read_job(witnessline::job::write_job(*job), "again.toml", witnessline::library());
  if (!again) std::fprintf(stderr, "%s\n", again.errors().front().text().c_str());
  witnessline::must(static_cast<bool>(again), "a job that was written is read");
}

// A question about one instrument: the request names a job file and, where it matters, a plan and how far it has come.
#pragma once

#include <string>
#include <vector>

#include "app/verb.h"
#include "bench/run.h"
#include "job/job.h"

namespace witnessline::app {

/// The part of a request that says which instrument and in which state. Derive from it, and begin your describe() with
/// describe(v, static_cast<AskedOfJob&>(request)).
struct AskedOfJob {
  std::string job;        ///< job file
  std::string plan;       ///< empty: as found
  std::string after;      ///< step of the plan; empty: the last one
  double pitch_m = 3e-3;  ///< of the body it is asked on
};
template <class V>
void describe(V& v, AskedOfJob& a) {
  v(member("job", "job file, beside the request or in a folder beside its folder: \"../slab_bass/job.toml\"").must(),
    a.job);
  v(member("plan", "plan whose film is asked about; absent: the finish as found"), a.plan);
  v(member("after", "step of that plan after which; absent: its last"), a.after);
  v(member("pitch_mm", "spacing of the surface points it is worked out on", unit::mm).within(1, 10), a.pitch_m);
}

/// The instrument asked about.
struct OnJob {
  Job job;
  Bench bench;  ///< holds the body
  Run run;      ///< the plan as far as asked; only "before" where none is
  std::vector<Note> notes;

  const Film& before() const { return run.steps.front().film; }
  const Film& film() const { return run.steps.back().film; }
  const Body& body() const { return bench.body; }
};

/// A tin, knowing the mixtures of a job: one that is named by a mixture gets its parts. `job` empty: as it is.
/// Errors: as of opening a job, at "job".
Result<PaintTin> tin_of_job(PaintTin, const std::string& job, const Asking&);

/// The bench keeps a reference to the library of `asking`. Errors: a job file that is not there or lies elsewhere, its
/// faults, a plan or step it has not (key "plan", "after"), a plan that cannot be run.
Result<OnJob> on_job(const AskedOfJob&, const Asking& asking);

}  // namespace witnessline::app

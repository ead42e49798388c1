// An outcome of one plan: readings of every state of its run, then the totals. Bands come later (uncertainty.h).
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "job/job.h"
#include "job/outcome.h"

namespace witnessline::analysis {

/// Whether two states share everything a picture or a colour shows; states that merely came out equal may be called
/// different.
bool looks_same(const Film&, const Film&);

/// The colour a plan is judged by; empty when the job gives none. Errors: a region this body does not have.
Result<std::optional<Lab>> target_of(const Job&, const Film& before, const ViewContext&);

/// Hours at the bench of a plan worked out.
struct PlanHours {
  Figure hands_on;  ///< of the steps and around them
  std::vector<WorkAround> around;
};
PlanHours hours_of(const Plan&, const Run&, const Job&);

/// What of the colours an outcome reads: the faces and the target's area, or the target's area alone.
enum class ColoursRead { all, target_only };

/// Readings of every state of a run and the totals of its plan; bands come later (uncertainty.h).
/// Errors: a target region this body does not have.
Result<PlanOutcome> outcome_of(const Plan&, const Run&, const Job&, const Library&, const ViewContext&,
                               ColoursRead = ColoursRead::all, const Survey& = {});

/// Calls visit(path, figure) for every figure of a plan's outcome; the path names step, region or coat.
void each_figure(PlanOutcome&, const std::function<void(const std::string& path, Figure&)>& visit);

}  // namespace witnessline::analysis

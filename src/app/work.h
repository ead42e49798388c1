// A job being worked out: what simulate() puts together from a job file and what an Outcome is filled from.
#pragma once

#include <map>
#include <memory>

#include "app/app.h"
#include "bench/existing.h"
#include "view/fittings.h"

namespace witnessline::app {

/// Everything below a Worked; immutable once made.
struct Worked::Data {
  Job job;
  Library library;
  Body body;
  Palette palette;
  std::vector<std::shared_ptr<const Material>> woods;
  Film before;
  Film mean_before;                        ///< as found, without the unevenness of its coats
  std::map<std::string, CoatFacts> facts;  ///< by coat: what was found, and what the plans lay
  std::map<std::string, Run> runs;         ///< by plan id; a refused plan has none
  Outcome outcome;
  std::optional<Film> untouched;  ///< as_if_untouched(); nothing where no coat is original
  FittingMesh fittings;           ///< of the parts the job lists
  Survey survey() const { return {&mean_before, facts}; }
  ViewContext view_context() const { return {body, woods, palette, Lamp::D65, Observer::deg10}; }
};

/// The bench a job's plans run on; without shelter, which takes looking over the whole body: shelter_of().
Bench bench_of(const Job&, const Body&, const Library&);

/// The finish as it would be found today had nobody refinished it: the original coats alone, with the light and grime
/// they have had, also where a coat's `except` says that it is missing now (cavities and binding stay bare). ESTIMATE.
/// Nothing where no coat is original. Errors: as existing_film().
Result<std::optional<Film>> as_if_untouched(const Job&, const Bench&);

/// Stand-ins for the parts a job lists, for pictures.
FittingMesh fittings_of(const Job&, const Body&);
/// What those parts, and what each says it covers, keep from every vertex in use.
std::vector<Shelter> shelter_of(const Job&, const Body&);
/// Of the parts that have no place: they are neither drawn nor shelter anything.
std::vector<Note> notes_on_parts(const Job&);

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

}  // namespace witnessline::app

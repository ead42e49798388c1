// A job simulated: what simulate() puts together from a job file, and what every reading of it is taken from.
#pragma once

#include <map>
#include <memory>
#include <mutex>

#include "analysis/job_bench.h"
#include "analysis/outcome.h"
#include "app/app.h"
#include "papers/papers.h"

namespace witnessline::app {

/// What papers show of every plan, drawn when first asked for.
struct PaperPictures {
  std::once_flag once;
  std::vector<PlanPictures> plans;
};

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
  std::shared_ptr<PaperPictures> paper_pictures = std::make_shared<PaperPictures>();
  Survey survey() const { return {&mean_before, facts}; }
  ViewContext view_context() const { return {body, woods, palette, Lamp::D65, Observer::deg10}; }
};

}  // namespace witnessline::app

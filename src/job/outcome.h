// Outcome: what comes out of a job's plans, as plain data for text, JSON, CSV, the page and the papers.
#pragma once

#include <string>
#include <vector>

#include "job/job.h"
#include "view/readings.h"

namespace witnessline {

struct MaterialUse {
  std::string material, name;
  Figure volume, mass, left_on_shelf;
};

/// State after one step ("before" is the first).
struct StepOutcome {
  std::string id, word, why;
  std::vector<ThicknessReading> thickness;
  std::vector<ExposedReading> exposed;
  KeptReading kept;
  std::vector<ColourReading> colours;  ///< regions of the target and the faces
  std::optional<Figure> to_target;     ///< Delta E 2000, mean colour of the target's region
  Figure hands_on, waiting;
  std::vector<MaterialUse> used;
  std::vector<CoatVolumes> volumes;  ///< this step's books
  std::vector<Note> notes;
};

struct PlanOutcome {
  std::string id, title, summary;
  bool runs = true;  ///< false: refused; `notes` say why
  std::vector<StepOutcome> steps;
  Figure hands_on, waiting, days, cost, kept_fraction;
  Figure touched_fraction;  ///< share of the original finish's area that the plan cuts, lifts or melts into
  std::optional<Figure> to_target;
  std::vector<MaterialUse> used;
  std::vector<Note> notes;
  std::vector<HoldPoint> open_hold_points;
};

struct Outcome {
  std::string job, title;
  bool invented = false;
  std::vector<PlanOutcome> plans;
  std::vector<Note> notes;
};

std::string outcome_json(const Outcome&);
std::string outcome_csv(const Outcome&);               ///< one row a figure
std::string outcome_text(const Outcome&, BenchUnits);  ///< for a terminal

}  // namespace witnessline

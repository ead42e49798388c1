// Outcome: what comes out of a job's plans, as plain data for text, JSON, CSV, the page and the papers.
#pragma once

#include <string>
#include <vector>

#include "job/job.h"
#include "view/ageing.h"
#include "view/readings.h"

namespace witnessline::job {

struct MaterialUse {
  std::string material, name;
  Figure volume, mass, left_on_shelf;
  bool irreplaceable = false;
  Figure needed, enough;  ///< of the whole plan, of what the gun lays; else not known
  std::string give_up, strain;
};
template <class V>
void describe(V& v, MaterialUse& m) {
  v(member("material", "material, or mixture of the job that stands mixed on the shelf"), m.material);
  v(member("name", "name used at the bench"), m.name);
  v(member("volume", "liquid used"), m.volume);
  v(member("mass", "mass used"), m.mass);
  v(member("left_on_shelf", "what is left on the shelf"), m.left_on_shelf);
  v(member("irreplaceable", "there will never be more"), m.irreplaceable);
  v(member("needed", "amount needed for the whole plan, with what stays in the gun"), m.needed);
  v(member("enough", "chance that the stock is enough"), m.enough);
  v(member("give_up", "where to save first if it runs short"), m.give_up);
  v(member("strain", "how to strain it into the cup"), m.strain);
}

/// Work around the steps of a plan.
struct WorkAround {
  ShopWork work{};
  Figure time;
};
template <class V>
void describe(V& v, WorkAround& w) {
  v(member("work", "kind of work"), w.work);
  v(member("time", "hours of it"), w.time);
}

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
  std::vector<CoatVolumes> volumes;     ///< this step's books
  std::optional<AgeingReading> ageing;  ///< of a step that ages
  std::vector<Note> notes;
};
template <class V>
void describe(V& v, StepOutcome& s) {
  v(member("id", "id of the step; the first is \"before\""), s.id);
  v(member("word", "what was done"), s.word);
  v(member("why", "one line for the job card"), s.why);
  v(member("thickness", "all coats, by region"), s.thickness);
  v(member("exposed", "outermost coat left, by area"), s.exposed);
  v(member("kept", "original finish kept"), s.kept);
  v(member("colours", "mean colours"), s.colours);
  v(member("to_target", "colour difference to the target, Delta E 2000"), s.to_target);
  v(member("hands_on", "hours of work"), s.hands_on);
  v(member("waiting", "hours of waiting"), s.waiting);
  v(member("used", "materials used"), s.used);
  v(member("volumes", "what each coat gained and lost"), s.volumes);
  v(member("ageing", "ageing steps only: how deep, where to stop, which rings show"), s.ageing);
  v(member("notes", "notes, cautions and dangers"), s.notes);
}

struct PlanOutcome {
  std::string id, title, summary;
  bool runs = true;  ///< false: refused; `notes` say why
  std::vector<StepOutcome> steps;
  Figure carried_out;  ///< chance that no step is refused, over the scatter of hand and material
  Figure hands_on, waiting, days, cost, kept_fraction;
  std::vector<WorkAround> around;  ///< counted in hands_on
  Figure touched_fraction;         ///< share of the original finish's area that the plan cuts, lifts or melts into
  std::optional<Figure> to_target;
  std::vector<MaterialUse> used;
  std::vector<Note> notes;
  std::vector<StepAir> air;  ///< of the steps that let vapour into the room
  bool ready = false;        ///< it runs and no question is open
  std::vector<HoldPoint> open_hold_points, met_hold_points;
};
template <class V>
void describe(V& v, PlanOutcome& p) {
  v(member("id", "id of the plan"), p.id);
  v(member("title", "title, as shown"), p.title);
  v(member("summary", "one or two sentences"), p.summary);
  v(member("runs", "false: the plan is refused; its notes give the reason"), p.runs);
  v(member("steps", "state after each step"), p.steps);
  v(member("carried_out", "chance that it can be carried out as planned: no step is refused"), p.carried_out);
  v(member("hands_on", "hours of work, with the work around the steps"), p.hands_on);
  v(member("around", "hours around the steps: taking apart, photographs, cards, putting together, setting up"),
    p.around);
  v(member("waiting", "hours of waiting"), p.waiting);
  v(member("days", "from the first day to the last"), p.days);
  v(member("cost", "work and material"), p.cost);
  v(member("kept_fraction", "original finish kept at the end"), p.kept_fraction);
  v(member("touched_fraction", "share of the original finish that is cut, lifted or melted into"), p.touched_fraction);
  v(member("to_target", "colour difference to the target at the end, Delta E 2000"), p.to_target);
  v(member("used", "materials used"), p.used);
  v(member("notes", "notes, cautions and dangers"), p.notes);
  v(member("air", "fresh air needed by the steps that release vapour"), p.air);
  v(member("ready", "the plan can be carried out and no question is open"), p.ready);
  v(member("open_hold_points", "questions not yet answered"), p.open_hold_points);
  v(member("met_hold_points", "questions answered"), p.met_hold_points);
}

struct Outcome {
  std::string job, title;
  bool invented = false;
  std::vector<PlanOutcome> plans;
  std::vector<Note> notes;
};
template <class V>
void describe(V& v, Outcome& o) {
  v(member("job", "id of the job"), o.job);
  v(member("title", "title, as shown"), o.title);
  v(member("invented", "demo data, not a real instrument"), o.invented);
  v(member("plans", "one outcome per plan"), o.plans);
  v(member("notes", "notes, cautions and dangers"), o.notes);
}

std::string outcome_json(const Outcome&);
std::string outcome_csv(const Outcome&);               ///< one row a figure
std::string outcome_text(const Outcome&, BenchUnits);  ///< for a terminal

}  // namespace witnessline::job

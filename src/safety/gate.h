// The gate of a plan: every hazard of its steps is a question, and a plan with an open question is not ready.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "bench/existing.h"
#include "bench/run.h"
#include "safety/contents.h"
#include "safety/hazards.h"
#include "safety/ignition.h"
#include "safety/respirator.h"
#include "safety/room.h"

namespace witnessline::safety {

/// A question that must be answered before a step may begin.
struct HoldPoint {
  std::string question;
  std::vector<std::string> before;  ///< step words or ids it holds back: "sand", "lift"
  std::string plan;                 ///< absent: every plan
  std::string answer;               ///< in words, with how it was found
  Hazard hazard = Hazard::none;     ///< the hazard it is about; then question and steps follow from the plan
  bool met = false;                 ///< the answer lets those steps begin
};
template <class V>
void describe(V& v, HoldPoint& h) {
  v(member("question", "what must be known; absent with a hazard: its own question"), h.question);
  v(member("before", "step words or step ids it holds back; absent with a hazard: the steps that have it"), h.before);
  v(member("plan", "plan it belongs to; absent: every plan"), h.plan);
  v(member("answer", "what is known of it so far, with how it was found"), h.answer);
  v(member("met", "true: the answer lets those steps begin; needs an answer"), h.met);
  v(member("hazard", "hazard it is about; none: a question of the job's own"), h.hazard);
}

/// Air asked for by one step of a plan.
struct StepAir {
  std::string step, word;
  bool drying = false;  ///< nobody need be there
  Figure vapour_mass;   ///< solvent into the air
  AirAsked asked;
  Figure fan;  ///< of the room given; not known where none is
  AirVerdict verdict = AirVerdict::not_known;
  Figure peak_of_limit;   ///< highest where people breathe, over the breathing limit of the mixture
  Figure peak_of_danger;  ///< the same over what is immediately dangerous to life
  Figure clear;           ///< after the step until the room may be entered without a respirator
  std::vector<CartridgeAnswer> cartridges;
  Ignition lit_by;       ///< what lights it
  double air_K = 0;      ///< of the room while it is done
  std::string ignition;  ///< lit_by in sentences
  std::string instead;   ///< what to do where the fan is too little
  std::string poison;    ///< of what is sprayed: poison_of_mist; of what dries: what it gives off as it cures
};
template <class V>
void describe(V& v, StepAir& s) {
  v(member("step", "id of the step"), s.step);
  v(member("word", "what is done"), s.word);
  v(member("drying", "the work dries; nobody need be there"), s.drying);
  v(member("vapour_mass", "solvent into the air"), s.vapour_mass);
  v(member("asked", "air asked for"), s.asked);
  v(member("fan", "air the room's fan moves; not known where none is given"), s.fan);
  v(member("verdict", "whether that is enough"), s.verdict);
  v(member("peak_of_limit", "highest vapour where people breathe over its limit"), s.peak_of_limit);
  v(member("peak_of_danger", "the same over what is immediately dangerous to life"), s.peak_of_danger);
  v(member("clear", "after the step until the room may be entered without a respirator; no value: none can be given"),
    s.clear);
  v(member("ignition", "what lights it, and how hot a surface near it may be"), s.ignition);
  v(member("instead", "what to do where the fan is too little"), s.instead);
  v(member("cartridges", "whether organic-vapour cartridges hold it"), s.cartridges);
  v(member("poison",
           "what its mist holds, or what it gives off as it cures, that the air asked for does not count; empty: "
           "nothing known"),
    s.poison);
}

/// What a gate is worked out from.
struct Guarded {
  const Plan& plan;
  const Bench& bench;
  const Room& room;
  std::span<const Contents> contents;
  std::span<const ExistingCoat> coats;  ///< found on the body
  bool loose_parts = false;             ///< parts that came off are kept
};

/// Steps that let vapour into the air, in order; what coats laid since the last wait still give off is added to what
/// follows. From the books of the run: what was used, laid and left.
/// ESTIMATE: the gun is on for the time the step books (StepResult::gun_on_s); the solvent of a wait leaves within its
/// first hour.
std::vector<StepAir> air_of(const Guarded&, const Run&);

struct Gate {
  std::vector<HoldPoint> open, met;
};
/// Every hazard of a plan as a hold point that the job's own answers, or the air worked out, may meet. A demand on the
/// air that is known to fail cannot be answered away.
Gate gate_of(const Guarded&, std::span<const StepAir>, std::span<const HoldPoint> of_the_job);

}  // namespace witnessline::safety

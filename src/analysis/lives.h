// The life a job's wear is held against, and which of its touches are looked at.
#pragma once

#include <string>
#include <vector>

#include "job/job.h"

namespace witnessline::analysis {

/// A life whose `hand` and `held` are filled in from the kind of instrument where it does not say: "left-handed" plays
/// with the left, "lap steel" lies flat. What the kind does not tell stays unsaid.
Life held_as_usual(Life, const Instrument&);
/// That of an ordinary player of such an instrument.
Life usual_life_of(const Instrument&);

struct Against {
  Life life;
  bool stand_in = false;  ///< the job tells of none: an ordinary player's
};
/// Every life a job tells of; a stand-in where it tells of none.
std::vector<Against> lives_of(const Job&);

/// The life of that id; with an empty id the job's only one, or a stand-in where it has none.
/// Errors (key "life"): no such life; several, and none named.
Result<Against> life_of(const Job&, const std::string& id);

/// The life with these touches alone; all of them where none is named.
/// Errors (key "touches[N]"): one this life has not.
Result<Life> touched_only(Life, const std::vector<Touch>&);

/// "strap tail"
std::string touch_in_words(Touch);

}  // namespace witnessline::analysis

#include "analysis/lives.h"

#include <fmt/format.h>

#include <algorithm>

#include "history/wear_plausibility.h"
#include "job/shape.h"

namespace witnessline::analysis {

Life held_as_usual(Life life, const Instrument& instrument) {
  const auto is = [&](const char* word) { return instrument.kind.find(word) != std::string::npos; };
  if (life.hand == Hand::unstated && is("left-handed")) life.hand = Hand::left;
  if (life.held == Hold::unstated && is("lap steel")) life.held = Hold::flat;
  return life;
}

Life usual_life_of(const Instrument& instrument) {
  return held_as_usual(usual_life(held_as_usual({}, instrument).held), instrument);
}

Result<Against> life_of(const Job& job, const std::string& id) {
  if (id.empty()) {
    if (job.lives.size() == 1) return Against{held_as_usual(job.lives.front(), job.instrument), false};
    if (job.lives.empty()) return Against{usual_life_of(job.instrument), true};
  }
  std::vector<std::string> known;
  for (const Life& life : job.lives) {
    if (life.id == id) return Against{held_as_usual(life, job.instrument), false};
    known.push_back(life.id);
  }
  return Error{
      id.empty() ? std::string("this job has several lives: which one?") : fmt::format("this job has no life '{}'", id),
      {"", 0, 0, "life"},
      known.empty() ? std::string("none: leave it out") : fmt::format("one of: {}", fmt::join(known, ", ")),
      did_you_mean(id, known)};
}

std::vector<Against> lives_of(const Job& job) {
  if (job.lives.empty()) return {{usual_life_of(job.instrument), true}};
  std::vector<Against> all;
  for (const Life& life : job.lives) all.push_back({held_as_usual(life, job.instrument), false});
  return all;
}

std::string touch_in_words(Touch touch) {
  std::string word = words(&touch)[static_cast<std::size_t>(touch)];
  std::replace(word.begin(), word.end(), '_', ' ');
  return word;
}

Result<Life> touched_only(Life life, const std::vector<Touch>& touches) {
  if (touches.empty()) return life;
  const auto had = [&](Touch by) {
    return std::any_of(life.touches.begin(), life.touches.end(), [&](const TouchTime& t) { return t.by == by; });
  };
  std::vector<Error> errors;
  for (std::size_t i = 0; i < touches.size(); ++i)
    if (!had(touches[i])) {
      std::vector<std::string> known;
      for (const TouchTime& t : life.touches) known.push_back(touch_in_words(t.by));
      errors.push_back(
          {fmt::format("nothing of this life is a touch of the {}", touch_in_words(touches[i])),
           {"", 0, 0, fmt::format("touches[{}]", i + 1)},
           known.empty() ? std::string("none: nothing touched it") : fmt::format("one of: {}", fmt::join(known, ", ")),
           "Leave it out, or give the life hours of it."});
    }
  if (!errors.empty()) return errors;
  std::erase_if(life.touches,
                [&](const TouchTime& t) { return std::find(touches.begin(), touches.end(), t.by) == touches.end(); });
  return life;
}

}  // namespace witnessline::analysis

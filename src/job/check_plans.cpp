#include "job/check_plans.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace witnessline::job {
namespace {

class PlanCheck : JobRules {
 public:
  explicit PlanCheck(const JobRules& rules) : JobRules(rules) {}

  void plans(const At& at) {
    std::map<std::string, int> seen;
    for (std::size_t i = 0; i < job_.plans.size(); ++i) {
      id(job_.plans[i].id, at[i]["id"]);
      once(seen, job_.plans[i].id, at[i]["id"]);
      if (job_.plans[i].steps.empty())
        fault(at[i], "has no steps", "at least one [[plans.steps]]", "write what is done, or take the plan out");
      steps(job_.plans[i], at[i]["steps"]);
    }
  }

 private:
  void steps(const Plan& plan, const At& at) {
    std::map<std::string, int> seen;
    laid_ = {};
    for (const ExistingCoat& c : job_.coats) laid_.push_back(c.name);
    later_ = {};
    for (const PlannedStep& s : plan.steps) later_.push_back(s.id);
    for (std::size_t i = 0; i < plan.steps.size(); ++i) {
      const PlannedStep& s = plan.steps[i];
      id(s.id, at[i]["id"]);
      once(seen, s.id, at[i]["id"]);
      for (const ExistingCoat& c : job_.coats)
        if (c.name == s.id) fault(at[i]["id"], "is the name of a coat found: " + in_quotes(s.id), "a word of its own");
      std::visit([&](const auto& step) { this->step(step, at[i]); }, s.step);
      if (traits_of(s.step).lays) laid_.push_back(s.id);
    }
  }

  void coat(const std::string& word, const At& at, bool wood_too) {
    if (word.empty()) return;
    std::vector<std::string> words = laid_;
    if (wood_too) words.emplace_back("wood");
    const bool there = std::find(words.begin(), words.end(), word) != words.end();
    if (!there && std::find(later_.begin(), later_.end(), word) != later_.end())
      return fault(at, "is not laid before this step: " + in_quotes(word), one_of(words));
    known(word, at, words, "coat");
  }

  void thinned(double thinning, const std::string& thinner, const At& at) {
    material(thinner, at["thinner"], {Role::solvent});
    if (thinning > 0 && thinner.empty()) fault(at, "is thinned with nothing", "thinner, a material id");
  }

  void step(const Clean& s, const At& at) {
    where(s.where, at["where"]);
    material(s.with, at["with"], {Role::cleaner, Role::solvent});
  }
  void step(const Mask& s, const At& at) { where(s.where, at["where"]); }
  void step(const Unmask& s, const At& at) { where(s.where, at["where"]); }
  void step(const Plug& s, const At& at) { where(s.where, at["where"]); }
  void step(const Lift& s, const At& at) {
    coat(s.coat, at["coat"], false);
    coat(s.stop_at, at["stop_at"], true);
    if (!s.coat.empty() && s.coat == s.stop_at)
      fault(at["stop_at"], "is the coat that is lifted", "a coat below it, or wood");
    material(s.with, at["with"], {Role::solvent, Role::cleaner});
    if (s.by == LiftBy::swab && s.with.empty()) fault(at, "swabs with nothing", "with, a solvent of the library");
    where(s.where, at["where"]);
  }
  void step(const Spray& s, const At& at) {
    mixture_or_material(s.mixture, at["mixture"]);
    thinned(s.thinning, s.thinner, at);
    where(s.where, at["where"]);
  }
  void step(const MeltIn& s, const At& at) {
    mixture_or_material(s.mixture, at["mixture"]);
    thinned(s.thinning, s.thinner, at);
    where(s.where, at["where"]);
  }
  void step(const Sand& s, const At& at) { where(s.where, at["where"]); }
  void step(const Buff& s, const At& at) {
    material(s.compound, at["compound"], {Role::compound});
    where(s.where, at["where"]);
  }
  void step(const Wear& s, const At& at) {
    if (s.depth_m.has_value() == !s.life.empty())
      fault(at, s.life.empty() ? "has neither depth_um nor life" : "has both depth_um and life", "one of the two",
            "depth_um wears by hand, life as what touched it would have");
    if (s.depth_m && s.life.empty() && at.tree->find("where") == nullptr)
      fault(at, "is worn by hand, but no place is named", "where", "say where; only a life finds its places itself");
    life(s.life, at["life"]);
    if (s.stop_at != "nothing") coat(s.stop_at, at["stop_at"], true);
    where(s.where, at["where"]);
  }
  void life(const std::string& word, const At& at) { known(word, at, life_ids(), "life"); }
  void step(const Yellow& s, const At& at) {
    if (s.life.empty() != s.light_lx_s.has_value())
      fault(at, s.life.empty() ? "has neither light_Mlx_h nor life" : "has both light_Mlx_h and life",
            "one of the two");
    life(s.life, at["life"]);
    where(s.where, at["where"]);
    patches(s.parts, at["parts"]);
  }
  void step(const Grime& s, const At& at) {
    life(s.life, at["life"]);
    where(s.where, at["where"]);
    patches(s.parts, at["parts"]);
  }
  void step(const KnockBack& s, const At& at) {
    if (s.life.empty() != s.gloss_60.has_value())
      fault(at, s.life.empty() ? "has neither gloss_60 nor life" : "has both gloss_60 and life", "one of the two");
    life(s.life, at["life"]);
    where(s.where, at["where"]);
  }
  void step(const Wait& s, const At& at) {
    if (s.duration_s <= 0)
      fault(at["duration_h"], "waits for no time", "more than 0 h", "write how long, or take it out");
  }
  void step(const ColdCheck& s, const At& at) {
    where(s.where, at["where"]);
    life(s.life, at["life"]);
    if (s.life.empty() && !s.to_K) fault(at, "has neither life nor to_degC", "one of the two");
    if (s.to_K && *s.to_K >= job_.shop.temperature_K)
      fault(at["to_degC"], "is no colder than the shop",
            fmt::format("below {:.0f} degC", job_.shop.temperature_K - 273.15), "cold opens checks, warmth does not");
  }

  std::vector<std::string> laid_, later_;  ///< coats there before the step looked at; ids of the plan's steps
};

}  // namespace

void check_plans(const JobRules& rules, const At& plans) { PlanCheck(rules).plans(plans); }

}  // namespace witnessline::job

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
      OfStep names(*this, at[i]);
      check(s.step, names);
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

  /// What one step names, looked up here.
  class OfStep final : public StepCheck {
   public:
    OfStep(PlanCheck& plans, const At& at) : plans_(plans), at_(at) {}
    void where(std::string_view key, const Where& where) override { plans_.where(where, at_[key]); }
    void patches(std::string_view key, const std::vector<Patch>& all) override { plans_.patches(all, at_[key]); }
    void material(std::string_view key, const std::string& id, const std::vector<Role>& roles) override {
      plans_.material(id, at_[key], roles);
    }
    void paint(std::string_view key, const std::string& id) override { plans_.mixture_or_material(id, at_[key]); }
    void coat(std::string_view key, const std::string& name) override { plans_.coat(name, at_[key], false); }
    void coat_or_wood(std::string_view key, const std::string& name) override { plans_.coat(name, at_[key], true); }
    void life(std::string_view key, const std::string& id) override {
      plans_.known(id, at_[key], plans_.life_ids(), "life");
    }
    bool given(std::string_view key) const override { return at_.tree->find(key) != nullptr; }
    double shop_K() const override { return plans_.job_.shop.temperature_K; }
    void fault(std::string_view key, std::string what, std::string expected, std::string fix) override {
      plans_.fault(key.empty() ? at_ : at_[key], std::move(what), std::move(expected), std::move(fix));
    }

   private:
    PlanCheck& plans_;
    At at_;
  };

  std::vector<std::string> laid_, later_;  ///< coats there before the step looked at; ids of the plan's steps
};

}  // namespace

void check_plans(const JobRules& rules, const At& plans) { PlanCheck(rules).plans(plans); }

}  // namespace witnessline::job

// The mixing card: what a plan's mixtures are weighed from, in weighing order, as much as the plan lays.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "papers/page.h"

namespace witnessline::papers {
namespace {

/// What one kind of cup is mixed from and the steps it is for.
struct Cup {
  std::string mixture, name;
  std::vector<std::string> steps;
  std::vector<std::pair<std::string, double>> parts;  ///< name, mass [kg]; those weighed in first come first

  void add(const std::string& name, double mass_kg) {
    const auto known = std::find_if(parts.begin(), parts.end(), [&](const auto& p) { return p.first == name; });
    if (known == parts.end())
      parts.emplace_back(name, mass_kg);
    else
      known->second += mass_kg;
  }
};

}  // namespace

Tree mixing_card(const PlanPaper& paper) {
  const PaperSource& source = paper.source;
  std::vector<Cup> cups;
  for (std::size_t i = 0; i < paper.plan.steps.size() && i + 1 < paper.worked.steps.size(); ++i) {
    const auto lays = traits_of(paper.plan.steps[i].step).lays;
    const StepOutcome& done = paper.worked.steps[i + 1];
    if (!lays || done.used.empty()) continue;
    const std::string id(lays->mixture);
    auto cup = std::find_if(cups.begin(), cups.end(), [&](const Cup& c) { return c.mixture == id; });
    if (cup == cups.end()) {
      const auto mixture = std::find_if(source.job.mixtures.begin(), source.job.mixtures.end(),
                                        [&](const Mixture& m) { return m.id == id; });
      const Material* material = source.library.find(id);
      const bool named = mixture != source.job.mixtures.end() && !mixture->name.empty();
      cups.push_back({id, named ? mixture->name : material ? short_name(*material) : spaced(id), {}, {}});
      cup = cups.end() - 1;
    }
    cup->steps.push_back(fmt::format("{} ({})", i + 1, spaced(done.id)));
    std::vector<const MaterialUse*> order;
    for (const MaterialUse& use : done.used) order.push_back(&use);
    // The largest share first, so that what is weighed last, drop by drop, is the strongest colour; thinner after all.
    const auto thins = [&](const MaterialUse* use) {
      const Material* material = source.library.find(use->material);
      return material && material->role == Role::solvent;
    };
    std::stable_sort(order.begin(), order.end(), [&](const MaterialUse* a, const MaterialUse* b) {
      return thins(a) != thins(b) ? thins(b) : a->mass.value > b->mass.value;
    });
    for (const MaterialUse* use : order) {
      const Material* material = source.library.find(use->material);
      cup->add(material            ? short_name(*material)
               : use->name.empty() ? spaced(use->material)
                                   : use->name,
               use->mass.value);
    }
  }
  if (cups.empty()) return {};
  return fields({{"cups", each(cups, [](const Cup& cup) {
                    double running_g = 0;  // of what stands on the card, so that the scale agrees with it
                    std::int64_t order = 0;
                    Tree parts = each(cup.parts, [&](const auto& part) {
                      const double grams = std::round(10 * part.second / unit::g.scale) / 10;
                      running_g += grams;
                      return fields({{"order", Tree::of(++order)},
                                     {"name", text(part.first)},
                                     {"grams", text(fmt::format("{:.1f}", grams))},
                                     {"running", text(fmt::format("{:.1f}", running_g))}});
                    });
                    return fields({{"name", text(cup.name)},
                                   {"steps", text(listed(cup.steps))},
                                   {"parts", std::move(parts)},
                                   {"all", text(fmt::format("{:.1f}", running_g))}});
                  })}});
}

}  // namespace witnessline::papers

#include "app/paper_files.h"

#include <fmt/format.h>

#include "app/files.h"
#include "app/work.h"

namespace witnessline::app {
namespace {

constexpr StillSize paper_still{600, 800, 8};
constexpr double worn_m = 5e-6;  ///< the edge of wear, as worn_edges() counts it

std::string word_of(Paper paper) { return words(&paper)[static_cast<std::size_t>(paper)]; }

std::vector<float> weights_at(const Where& where, const Body& body) {
  const auto weights = weights_of(where, body);
  std::vector<float> at(body.size(), 0.0f);
  for (std::size_t v = 0; weights && v < body.size(); ++v) at[v] = static_cast<float>((*weights)[v]);
  return at;
}

/// What a plan's templates show of one face: masks, burst distances, wear, rings and checks.
class Drawing {
 public:
  Drawing(const Worked& worked, const Plan& plan, Seen seen) : worked_(worked), plan_(plan), body_(worked.body()) {
    drawing_ = outline_of(body_, seen);
    drawing_.name = seen == Seen::from_front ? "front" : "back";
    drawing_.title = seen == Seen::from_front ? "Front" : "Back, seen from behind";
  }

  TrueSize drawn() {
    for (std::size_t i = 0; i < plan_.steps.size(); ++i) step(i);
    return std::move(drawing_);
  }

 private:
  void step(std::size_t i) {
    const PlannedStep& planned = plan_.steps[i];
    const Traits traits = traits_of(planned.step);
    const std::string named = fmt::format("step {}", i + 1);
    if (traits.where && traits.surface == SurfaceEffect::masks)
      add(named + ": masked or plugged", 0.35, "4 1.5",
          level_lines(body_, weights_at(*traits.where, body_), 0.5f, seen()));
    if (traits.where && traits.lays && traits.where->fade_m > 0) {
      const std::vector<float> share = weights_at(*traits.where, body_);
      add(named + ": burst, nine tenths of the coat", 0.2, "1 1", level_lines(body_, share, 0.9f, seen()));
      add(named + ": burst, half of the coat", 0.3, "3 1 1 1", level_lines(body_, share, 0.5f, seen()));
      add(named + ": burst, a tenth of the coat", 0.2, "1 2.5", level_lines(body_, share, 0.1f, seen()));
    }
    const Film *before = worked_.film(plan_.id, i), *after = worked_.film(plan_.id, i + 1);
    if (!traits.ages || !before || !after) return;
    if (traits.wears) wear(named, *before, *after);
    add(named + ": checks", 0.15, "", mark_lines(*after, body_, MarkKind::check, planned.id, seen()));
    add(named + ": scratches", 0.15, "0.6 0.6", mark_lines(*after, body_, MarkKind::scratch, planned.id, seen()));
  }

  void wear(const std::string& named, const Film& before, const Film& after) {
    std::vector<float> taken(body_.size(), 0.0f);
    for (std::size_t l = 0; l < before.layers.size() && l < after.layers.size(); ++l)
      for (std::size_t v = 0; v < body_.size(); ++v)
        taken[v] += std::max(0.0f, before.layers[l].dry_m[v]) - std::max(0.0f, after.layers[l].dry_m[v]);
    add(named + ": edge of wear", 0.3, "6 2", level_lines(body_, taken, static_cast<float>(worn_m), seen()));
    for (std::size_t l = 0; l < before.layers.size() && l < after.layers.size(); ++l) {
      std::vector<float> left(body_.size(), 1.0f);  // where the coat never was, nothing is worn through
      for (std::size_t v = 0; v < body_.size(); ++v)
        if (before.layers[l].dry_m[v] > 0) left[v] = after.layers[l].dry_m[v];
      add(named + ": worn through " + after.layers[l].provenance.laid_by, 0.35, "2 1",
          level_lines(body_, left, 0.0f, seen()));
    }
  }

  Seen seen() const { return drawing_.seen; }
  void add(std::string label, double width_mm, std::string dashes, std::vector<std::vector<FlatPoint>> lines) {
    std::replace(label.begin(), label.end(), '_', ' ');
    if (!lines.empty()) drawing_.kinds.push_back({std::move(label), width_mm, std::move(dashes), std::move(lines)});
  }

  const Worked& worked_;
  const Plan& plan_;
  const Body& body_;
  TrueSize drawing_;
};

PlanPictures pictures_of(const Worked& worked, const Plan& plan, std::size_t last) {
  PlanPictures pictures;
  pictures.plan = plan.id;
  pictures.before = worked.still(plan.id, 0, Face::front, Light::window, paper_still, true);
  pictures.after = worked.still(plan.id, last, Face::front, Light::window, paper_still, true);
  pictures.map_before = original_map_svg(*worked.film(plan.id, 0), worked.body());
  pictures.map = original_map_svg(*worked.film(plan.id, last), worked.body());
  for (const Seen seen : {Seen::from_front, Seen::from_back})
    pictures.true_size.push_back(Drawing(worked, plan, seen).drawn());
  return pictures;
}

}  // namespace

const std::vector<PlanPictures>& Worked::paper_pictures() const {
  std::call_once(data_->paper_pictures->once, [&] {
    for (const Plan& plan : job().plans)
      for (const PlanOutcome& worked : outcome().plans)
        if (worked.id == plan.id && worked.runs && !worked.steps.empty())
          data_->paper_pictures->plans.push_back(pictures_of(*this, plan, worked.steps.size() - 1));
  });
  return data_->paper_pictures->plans;
}

std::optional<std::string> paper_page(const Worked& worked, Paper paper, const std::string& plan, BenchUnits units,
                                      Sheet sheet) {
  return paper_html(paper, {worked.outcome(), worked.job(), worked.library(), worked.paper_pictures(), units, sheet},
                    plan);
}

void add_papers(std::map<std::string, std::string>& files, const std::string& folder, const Worked& worked,
                BenchUnits units, Sheet sheet) {
  const Paper any{};
  for (std::size_t i = 0; i < words(&any).size(); ++i) {
    const auto paper = static_cast<Paper>(i);
    if (of_the_job(paper)) {
      if (auto html = paper_page(worked, paper, "", units, sheet)) files[folder + word_of(paper) + ".html"] = *html;
      continue;
    }
    for (const PlanOutcome& plan : worked.outcome().plans)
      if (auto html = paper_page(worked, paper, plan.id, units, sheet))
        files[folder + plan.id + "/" + word_of(paper) + ".html"] = *html;
  }
  for (const PlanPictures& plan : worked.paper_pictures())
    for (const TrueSize& drawing : plan.true_size)
      files[fmt::format("{}{}/template_{}.svg", folder, plan.plan, drawing.name)] =
          true_size_svg(drawing, worked.job().title + ": " + drawing.title);
}

Result<Done> write_papers(const Worked& worked, const std::string& folder, BenchUnits units,
                          const std::vector<Sheet>& sheets, const Progress& progress) {
  std::map<std::string, std::string> files;
  for (std::size_t s = 0; s < sheets.size(); ++s) {
    if (progress) progress("drawing the papers", static_cast<double>(s) / static_cast<double>(sheets.size()));
    std::map<std::string, std::string> pages;
    add_papers(pages, "", worked, units, sheets[s]);
    std::size_t done = 0;
    for (auto& [path, page] : pages) {
      if (progress)
        progress("printing " + path,
                 (static_cast<double>(s) + static_cast<double>(done++) / static_cast<double>(pages.size())) /
                     static_cast<double>(sheets.size()));
      if (path.ends_with(".html")) {
        auto pdf = pdf_of(page);
        if (!pdf) return pdf.errors();
        files[fmt::format("{}/{}.pdf", words(&sheets[s])[static_cast<std::size_t>(sheets[s])],
                          path.substr(0, path.size() - 5))] = std::move(*pdf);
      }
      if (s == 0) files[path] = std::move(page);
    }
  }
  files["outcome.json"] = outcome_json(worked.outcome());
  return replace_folder(folder, files);
}

}  // namespace witnessline::app

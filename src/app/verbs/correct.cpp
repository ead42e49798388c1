#include "app/verbs/correct.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace witnessline::app {

namespace {

// The shelf of the request with what the panel taught, and the additions made.
std::vector<TinGiven> learned_shelf(const CorrectRequest& request, const Mix& mix, const Correction& found) {
  std::vector<TinGiven> shelf = request.shelf;
  const int n = static_cast<int>(shelf.size());
  for (int i = 0; i < n; ++i) {
    TinGiven& t = shelf[static_cast<std::size_t>(i)];
    const Tin& tin = found.shelf[static_cast<std::size_t>(i)];
    if (!tin.separated) continue;
    t.absorption_per_m.assign(tin.absorption_per_m.at.begin(), tin.absorption_per_m.at.end());
    t.scattering_per_m.assign(tin.scattering_per_m.at.begin(), tin.scattering_per_m.at.end());
    t.absorption_log_sd.clear(), t.scattering_log_sd.clear();
    for (const Matrix& covariance : found.known.log_covariance) {
      t.absorption_log_sd.push_back(std::sqrt(std::max(covariance(i, i), 0.0)));
      t.scattering_log_sd.push_back(std::sqrt(std::max(covariance(n + i, n + i), 0.0)));
    }
  }
  for (const Pour& p : found.additions) {
    TinGiven& t = shelf[p.tin];
    t.in_cup_kg += p.mass_kg, t.volume_m3 = std::max(t.volume_m3 - p.mass_kg / mix.density_kg_m3[p.tin], 0.0);
  }
  return shelf;
}

}  // namespace

Result<CorrectAnswer> correct_answer(const CorrectRequest& request, const Asking& asking) {
  const auto mix = mix_of(request, asking);
  if (!mix) return mix.errors();
  CorrectAnswer answer;
  add_notes(answer.notes, mix->notes);
  const auto panel = read_surface(request.panel, "panel", request, asking, answer.notes);
  if (!panel) return panel.errors();
  BatchPanel cup;
  for (const TinGiven& t : request.shelf) cup.mass_kg.push_back(t.in_cup_kg);
  cup.read = *panel, cup.log_sd = request.film_sd_fraction;
  const auto found = correct(mix->shelf, mix->known, mix->aim, mix->laying, {1, request.scale_kg, 0.2}, cup,
                             {request.tolerance_delta_e, request.most_additions, request.most_added});
  if (!found) return found.errors();

  answer.additions = result_of(found->additions, request, *mix), answer.batch = result_of(found->batch, request, *mix);
  answer.next_batch = result_of(found->next_batch, request, *mix);
  answer.shelf = learned_shelf(request, *mix, *found);
  answer.batch_kg = found->batch_kg, answer.before = result_of(found->before), answer.after = result_of(found->after);
  const std::vector<Input> inputs{{"dry film", request.film_m, Quantity::film_thickness, Kind::estimate, ""},
                                  {"what was in the cup", found->batch_kg, Quantity::mass, Kind::measured, ""}};
  answer.delta_e_before = delta_e_figure("Delta E of the panel to the target", found->closeness_before,
                                         found->closeness_before, found->closeness_before, inputs);
  answer.delta_e_after = delta_e_figure("Delta E with the additions", found->likely_after, found->likely_band.low,
                                        found->likely_band.high, inputs);
  answer.best_delta_e = found->closeness_after;
  answer.predicted_delta_e = found->predicted_before, answer.panel_film_ratio = found->panel_film_ratio;
  answer.within = found->within, answer.spared = found->spared && !found->additions.empty();
  double worst = 0;
  for (const ViewDifference& d : found->after) worst = std::max(worst, d.delta_e);
  answer.verdict = verdict_on(worst);

  double added_kg = 0;
  for (const Pour& p : found->additions) added_kg += p.mass_kg;
  if (found->closeness_before <= request.tolerance_delta_e)
    answer.sentences.push_back(
        fmt::format("The panel is {:.2f} Delta E from the target: within what was asked, nothing is added.",
                    found->closeness_before));
  else if (found->additions.empty())
    answer.sentences.push_back(fmt::format(
        "The panel is {:.2f} Delta E from the target, and nothing on the shelf brings it nearer: mix a new batch.",
        found->closeness_before));
  else if (!found->within)
    answer.sentences.push_back(fmt::format(
        "Do not add to this batch: the panel is {:.2f} Delta E from the target, and the best additions leave "
        "{:.2f}. Mix a new batch from the shelf as it is known now.",
        found->closeness_before, found->closeness_after));
  else
    answer.sentences.push_back(
        fmt::format("The panel is {:.1f} Delta E from the target; with these additions expect about {:.1f} (90 of 100 "
                    "panels: {:.1f} "
                    "to {:.1f}), {:.1f} if all were known exactly. The batch grows from {} to {}.",
                    found->closeness_before, found->likely_after, found->likely_band.low, found->likely_band.high,
                    found->closeness_after, show(found->batch_kg - added_kg, Quantity::mass, BenchUnits::metric),
                    show(found->batch_kg, Quantity::mass, BenchUnits::metric)));
  if (found->within && added_kg > found->batch_kg - added_kg)
    answer.sentences.push_back(
        "More would be added than is in the cup: mixing it again at its first size, as below, wastes less.");
  if (answer.spared) answer.sentences.push_back("No tin that cannot be replaced is opened for it.");
  answer.sentences.push_back(
      fmt::format("Before it was read, the panel was expected {:.1f} from the target; {}. As far as its colour tells, "
                  "its film came "
                  "out {:.0f} um thick ({:.0f} planned).",
                  found->predicted_before,
                  std::abs(found->predicted_before - found->closeness_before) < 2
                      ? "what is known of the tins held"
                      : "the tins differ from what was known of them, and the shelf below has learned it",
                  1e6 * request.film_m * found->panel_film_ratio, 1e6 * request.film_m));
  if (found->within && !found->additions.empty())
    answer.sentences.push_back(
        "Add, stir, spray another panel and read it dry before anything goes on the instrument.");
  for (const auto& [name, r] : std::vector<std::pair<const char*, Reflectance>>{
           {"target", mix->aim.reflectance}, {"panel", *panel}, {"ground as it is", mix->laying.ground}}) {
    answer.curves.push_back(spectrum_curve(name, r));
    for (const Lamp lamp : request.lamps) answer.swatches.push_back(swatch_of(name, r, lamp, request.observer));
  }
  add_cautions(answer.batch, asking, answer.notes);
  add_notes(answer.notes, found->notes);
  return answer;
}

std::string format_answer(const CorrectAnswer& answer, BenchUnits units) {
  std::string text = dangers_of(answer.notes);
  for (const std::string& s : answer.sentences) text += s + "\n";
  if (!answer.additions.empty())
    text += (answer.within ? "\nAdd\n" : "\nThe nearest additions, for a look only\n") +
            format_text(answer.additions, units);
  text += "\nThe batch is then\n" + format_text(answer.batch, units);
  text += "\nTo mix it again at its first size\n" + format_text(answer.next_batch, units);
  text += "\nBefore" + format_text(answer.before) + "After " + format_text(answer.after);
  for (const Note& n : answer.notes) text += "\n" + n.text;
  return text + "\n";
}

Verb correct_verb() {
  return verb<CorrectRequest, CorrectAnswer>(
      "correct", "The least to add to a batch, after its panel was read, that brings it to the target",
      Work{.wets = true}, correct_answer, format_answer);
}

}  // namespace witnessline::app

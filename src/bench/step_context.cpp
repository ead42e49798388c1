#include "bench/step_context.h"

#include <fmt/format.h>

#include "bench/coat_words.h"
#include "bench/softness.h"

namespace witnessline::bench {

StepContext::StepContext(const PlannedStep& step, const Film& film_before, const Bench& at)
    : planned(step), before(film_before), bench(at), body(at.body) {
  result.id = step.id;
  result.word = word_of(step.step);
  const Traits traits = traits_of(step.step);
  result.wears = traits.wears, result.surface = traits.surface;
  result.film = film_before;
}

Key StepContext::key(std::string_view draw) const { return Key{bench.seed}.with(planned.id).with(draw); }

std::string StepContext::place(std::string_view member) const {
  return fmt::format("steps.{}{}{}", planned.id, member.empty() ? "" : ".", member);
}

Error StepContext::error(std::string what, std::string_view member, std::string expected, std::string fix) const {
  return {std::move(what), {"", 0, 0, place(member)}, std::move(expected), std::move(fix)};
}

void StepContext::note(Severity severity, std::string text) {
  const Note stated{severity, std::move(text), planned.id};
  const auto same = [&](const Note& n) { return n.severity == stated.severity && n.text == stated.text; };
  if (std::none_of(result.notes.begin(), result.notes.end(), same)) result.notes.push_back(stated);
}

Result<Reach> StepContext::reach(const Where& where) const {
  Result<std::vector<float>> weights = weights_of(where, body);
  if (!weights) {
    std::vector<Error> faults = weights.errors();
    for (Error& fault : faults)
      fault.where.key = place("where") + (fault.where.key.empty() ? "" : "." + fault.where.key);
    return faults;
  }
  Reach reach;
  reach.asked = std::move(*weights);
  reach.open = reach.asked;
  for_chunks(body.size(), field_chunk, [&](std::size_t begin, std::size_t end) {
    const std::size_t c = begin / field_chunk;
    if (before.masking.is_uniform(c) && before.masking.uniform_value(c) == 0) return;
    for (std::size_t v = begin; v < end; ++v)
      if (before.masking[v] != 0) reach.open[v] = 0;
  });
  reach.open_m2 = area_under(reach.open, body);
  if (reach.open_m2 > 0) return reach;
  const bool covered = area_under(reach.asked, body) > 0;
  return error(
      covered ? "everything this step reaches is under tape or plugs" : "this step reaches no part of the body",
      "where", "a place on the bare or coated surface",
      covered ? "unmask first, or choose another place" : "check the regions and patches");
}

Result<Reach> StepContext::reach_in_use(const Where& where, Shelter least_kept_off) const {
  Result<Reach> reached = reach(where);
  if (!reached || bench.shelter.empty()) return reached;
  for (std::size_t v = 0; v < body.size(); ++v)
    if (bench.shelter[v] >= least_kept_off) reached->open[v] = 0;
  reached->open_m2 = area_under(reached->open, body);
  if (reached->open_m2 > 0) return reached;
  return error("all of this lies under the parts of the instrument: a life does not get there", "where",
               "a place that is open when the parts are on", "choose another place, or do it by hand");
}

Result<std::size_t> StepContext::coat_named(const std::string& coat, std::string_view member) const {
  std::vector<std::string> known;
  for (std::size_t l = before.layers.size(); l-- > 0;) {
    if (before.layers[l].provenance.laid_by == coat) return l;
    known.push_back(before.layers[l].provenance.laid_by);
  }
  const std::string near = nearest_word(coat, known);
  return error(
      fmt::format("there is no coat named '{}' on this instrument at this step", coat), member,
      known.empty() ? "nothing: the wood is bare" : fmt::format("one of: {}", fmt::join(known, ", ")),
      near.empty() ? "name a coat of the job or the id of an earlier step" : fmt::format("did you mean '{}'?", near));
}

Result<const Life*> StepContext::life_named(const std::string& life) const {
  if (const auto found = bench.lives.find(life); found != bench.lives.end()) return &found->second;
  std::vector<std::string> known;
  for (const auto& [id, each] : bench.lives) known.push_back(id);
  const std::string near = nearest_word(life, known);
  return error(fmt::format("there is no life named '{}' in this job", life), "life",
               known.empty() ? "a life of the job" : fmt::format("one of: {}", fmt::join(known, ", ")),
               near.empty() ? "write it down under [[lives]]" : fmt::format("did you mean '{}'?", near));
}

Result<std::vector<float>> StepContext::under_parts(const std::vector<Patch>& parts) const {
  if (parts.empty()) return std::vector<float>(body.size());
  Result<std::vector<float>> weights = weights_of({{}, {}, parts, 0}, body);
  if (weights) return weights;
  std::vector<Error> faults = weights.errors();
  constexpr std::string_view list = "patches";  // what `where` calls them
  for (Error& fault : faults)
    fault.where.key =
        place("parts") + (fault.where.key.starts_with(list) ? fault.where.key.substr(list.size()) : std::string());
  return faults;
}

Result<std::vector<Paint>> StepContext::paints() const {
  std::vector<Paint> all;
  for (const FilmLayer& layer : before.layers) {
    Result<Paint> paint = paint_of(layer.mixture, bench, place());
    if (!paint) return paint.errors();
    all.push_back(std::move(*paint));
  }
  return all;
}

std::string area_text(double area_m2) { return show(area_m2, Quantity::area); }

/// A coat worked on twice in one step has one row.
static void add(Ledger& ledger, const CoatVolumes& c) {
  for (CoatVolumes& row : ledger.coats)
    if (row.coat == c.coat && row.origin == c.origin) {
      row.laid_m3 += c.laid_m3, row.cut_m3 += c.cut_m3, row.lifted_m3 += c.lifted_m3;
      row.dissolved_m3 += c.dissolved_m3, row.gone_through_m2 += c.gone_through_m2;
      row.solvent_laid_m3 += c.solvent_laid_m3, row.solvent_left_m3 += c.solvent_left_m3;
      row.solvent_cut_m3 += c.solvent_cut_m3, row.solvent_soaked_m3 += c.solvent_soaked_m3;
      return;
    }
  ledger.coats.push_back(c);
}

void StepContext::keep(const MassBalance& books, std::size_t may_go) {
  Ledger& ledger = result.ledger;
  // Less is the ragged edge of a cut, and not worth a word where nothing original goes.
  constexpr double worth_saying_m2 = 1e-5, original_worth_saying_m2 = 1e-6;
  std::string through;  // outermost first, as a hand meets them
  for (std::size_t l = 0; l < books.coats.size(); ++l) {
    const CoatSums& s = books.coats[l];
    const Provenance& from = film().layers[l].provenance;
    if (s.laid != 0 || s.cut != 0 || s.lifted != 0 || s.dissolved != 0 || s.solvent_left != 0 || s.solvent_cut != 0 ||
        s.soaked != 0)
      add(ledger, {from.laid_by, from.origin, s.laid, s.cut, s.lifted, s.dissolved, s.gone_through_m2, s.solvent_laid,
                   s.solvent_left, s.solvent_cut, s.soaked});
    const bool original = from.origin == Origin::original;
    if (l < may_go && s.gone_through_m2 > (original ? original_worth_saying_m2 : worth_saying_m2))
      through = fmt::format("{}{} on {}", coat_in_words(film().layers[l]), original ? " (original)" : "",
                            area_text(s.gone_through_m2)) +
                (through.empty() ? "" : ", ") + through;
  }
  if (!through.empty())
    note(Severity::caution,
         (traits_of(planned.step).tool == Tool::blade ? "cuts through " : "rubs through ") + through);
  ledger.wood_cut_m3 += books.wood_cut_m3;
  ledger.overspray_solids_m3 += books.overspray_solids_m3;
  ledger.overspray_solvent_m3 += books.overspray_solvent_m3;
}

void StepContext::use(const std::string& material, double volume_m3, double density_kg_m3, const std::string& mixture) {
  if (volume_m3 <= 0) return;
  for (Used& used : result.ledger.used)
    if (used.material == material && used.mixture == mixture) {
      used.volume_m3 += volume_m3;
      used.mass_kg += volume_m3 * density_kg_m3;
      return;
    }
  result.ledger.used.push_back({material, volume_m3, volume_m3 * density_kg_m3, mixture});
}

void StepContext::warn_of_dust(const MassBalance& books, const std::vector<Paint>& paints,
                               const std::vector<float>& weights) {
  for (std::size_t l = 0; l < paints.size(); ++l) {
    const Provenance& coat = before.layers[l].provenance;
    const std::string hazard = dust_hazard(paints[l], coat.origin);
    if (hazard.empty()) continue;
    if (books.coats[l].cut + books.coats[l].lifted > 0) {
      note(Severity::danger,
           fmt::format("This cuts {} ({}). Test it first; no dry sanding or scraping, no heat; follow your local "
                       "rules.",
                       coat_in_words(before.layers[l]), hazard));
      continue;
    }
    const Field<float>& dry_m = before.layers[l].dry_m;
    bool under = false;
    for (std::size_t v = 0; v < weights.size() && !under; ++v) under = weights[v] > 0 && dry_m[v] > 0;
    if (!under) continue;
    note(Severity::danger,
         !traits_of(planned.step).cuts
             ? fmt::format(
                   "{} ({}) is in the area being wiped: wet cloths, no scouring. The cloths are hazardous waste.",
                   coat_in_words(before.layers[l]), hazard)
             : fmt::format("{} ({}) lies under what is cut here: a slip goes into it. Keep it wet, stay above it.",
                           coat_in_words(before.layers[l]), hazard));
  }
}

void StepContext::warn_of_wet_film(const std::vector<float>& weights) {
  const Result<std::vector<Paint>> all = paints();
  if (!all) return;
  // Only a coat of this plan can be soft; which of them is outermost decides at each place.
  std::vector<std::optional<Softness>> softness(all->size());
  for (std::size_t l = 0; l < all->size(); ++l)
    if (before.layers[l].provenance.origin == Origin::this_plan)
      softness[l] = l > 0 && (*all)[l].main == (*all)[l - 1].main && softness[l - 1]
                        ? softness[l - 1]
                        : softness_of((*all)[l], bench.library);
  const std::span<const float> areas_m2 = body.areas_m2();
  double soft_m2 = 0, sinking_m2 = 0;
  for (std::size_t v = 0; v < weights.size(); ++v) {
    if (!(weights[v] > 0)) continue;
    std::size_t top = before.layers.size();
    while (top > 0 && !(before.layers[top - 1].dry_m[v] > 0)) --top;
    if (top == 0 || !softness[top - 1]) continue;
    const double dry_m = static_cast<double>(before.layers[top - 1].dry_m[v]);
    const double share = static_cast<double>(before.layers[top - 1].solvent_m[v]) / dry_m;
    const double cured_s = before.layers[top - 1].cured_s;
    if (softness[top - 1]->too_soft(dry_m, share, cured_s))
      soft_m2 += static_cast<double>(areas_m2[v]);
    else if (softness[top - 1]->still_sinks(dry_m, share, cured_s))
      sinking_m2 += static_cast<double>(areas_m2[v]);
  }
  constexpr double worth_a_word_m2 = 1e-4;
  if (soft_m2 > worth_a_word_m2) {
    result.too_soft_m2 = soft_m2;
    note(Severity::caution,
         fmt::format("Wait: {} of this film is still too soft to cut. Paper loads; pads and wheels tear it.",
                     area_text(soft_m2)));
  }
  if (sinking_m2 > worth_a_word_m2)
    note(
        Severity::information,
        fmt::format(
            "{} of this film can be cut, but it still shrinks a little: pores and fine scratches may show again in the "
            "months after. A longer wait before the last levelling and buffing lessens that.",
            area_text(sinking_m2)));
}

void StepContext::worked(double hands_on_h, double waiting_s) {
  result.hands_on_s += hands_on_h * 3600.0 * bench.shop.pace;
  result.waiting_s += waiting_s;
}

void StepContext::worked(ShopWork work) {
  result.hands_on_s += time_of(work, bench.shop.times, bench.shop.pace).time_s;
}

Result<StepResult> StepContext::done() { return std::move(result); }

void wear_marks(StepContext& context, double ridge_factor) {
  const std::vector<Mark>& marks = *context.before.marks;
  if (marks.empty()) return;
  const auto height_m = [](const Film& film, std::size_t v) {
    double h = -static_cast<double>(film.wood_cut_m[v]);
    for (const FilmLayer& layer : film.layers)
      if (const float d = layer.dry_m[v]; d > 0) h += static_cast<double>(d) + static_cast<double>(layer.solvent_m[v]);
    return h;
  };
  auto left = std::make_shared<std::vector<Mark>>();
  for (const Mark& mark : marks) {
    const double factor = mark.kind == MarkKind::tape_ridge ? ridge_factor : 1.0;
    Mark run = mark;  // what is left of it without a gap
    double depths_m = 0;
    const auto end_run = [&] {
      if (run.path.size() > 1 || (run.path.size() == 1 && mark.path.size() == 1)) {
        run.depth_m = static_cast<float>(depths_m / static_cast<double>(run.path.size()));
        left->push_back(run);
      }
      run.path.clear(), depths_m = 0;
    };
    run.path.clear();
    for (const SurfacePoint& at : mark.path) {
      const double removed_m = value_at(
          at, context.body, [&](std::uint32_t v) { return height_m(context.before, v) - height_m(context.film(), v); });
      const double depth_m = static_cast<double>(mark.depth_m) - factor * removed_m;
      if (depth_m > 0)
        run.path.push_back(at), depths_m += depth_m;
      else
        end_run();
    }
    end_run();
  }
  context.film().marks = std::move(left);
}

}  // namespace witnessline::bench

#include "analysis/outcome.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "analysis/job_bench.h"
#include "bench/tin_facts.h"
#include "job/spots.h"
#include "job/supplies.h"
#include "safety/gate.h"

namespace witnessline::analysis {

namespace {

constexpr double ghost_m = 10e-6;             // ESTIMATE: thinner original finish counts as a ghost (docs/estimates.md)
constexpr double touched_m = 0.5e-6;          // ESTIMATE: a loss below this is lost in the roughness of the film
constexpr double working_day_s = 8 * 3600.0;  // ESTIMATE: hours at the bench in a day
constexpr double day_s = 86400.0;

Figure total(const std::string& name, double value, Quantity quantity, const std::string& law, Kind kind) {
  Figure f;
  f.name = name;
  f.value = value;
  f.quantity = quantity;
  f.law = law;
  f.kind = kind;
  return f;
}

Input input(const std::string& name, double value, Quantity quantity, Kind kind, const std::string& source = "") {
  return {name, value, quantity, kind, source};
}

template <class T>
bool same(const Field<T>& a, const Field<T>& b) {
  for (std::size_t c = 0; c < a.chunk_count(); ++c)
    if (a.buffer(c) != b.buffer(c) || (a.is_uniform(c) && a.uniform_value(c) != b.uniform_value(c))) return false;
  return true;
}

std::vector<Error> at_key(std::vector<Error> errors, const std::string& key) {
  for (Error& error : errors)
    if (error.where.key.empty()) error.where.key = key;
  return errors;
}

double original_dry_m(const FilmLayer& layer, std::size_t vertex) {
  const double dry = std::max(0.0f, layer.dry_m[vertex]);
  return dry * (1.0 - layer.melted[vertex] / 255.0);
}

/// Share of the original finish's area that lost finish to a cut, a swab or a new coat.
Figure touched(const Film& before, const Film& now, const Body& body) {
  double area_before = 0, area_touched = 0;
  for (std::size_t v = 0; v < body.size(); ++v) {
    double had = 0, has = 0;
    for (const FilmLayer& layer : before.layers)
      if (layer.provenance.origin == Origin::original) had += original_dry_m(layer, v);
    if (had < ghost_m) continue;
    for (const FilmLayer& layer : now.layers)
      if (layer.provenance.origin == Origin::original) has += original_dry_m(layer, v);
    area_before += body.areas_m2()[v];
    if (had - has > touched_m) area_touched += body.areas_m2()[v];
  }
  Figure f =
      total("original finish touched", area_before > 0 ? area_touched / area_before : 0.0, Quantity::fraction,
            "area where more than 0.5 um of original finish was cut, lifted or melted / area that had at least 10 um",
            Kind::estimate);
  f.inputs = {input("area with original finish", area_before, Quantity::area, Kind::computed),
              input("area touched", area_touched, Quantity::area, Kind::computed)};
  return f;
}

std::vector<MaterialUse> uses(const std::vector<Used>& used, const Job& job, const Library& library) {
  std::vector<MaterialUse> rows;
  for (const Used& u : used) {
    MaterialUse row;
    row.material = u.material;
    row.name = name_of(u.material, job, library);
    row.volume = total("volume used", u.volume_m3, Quantity::film_volume,
                       "sum over coats of area x wet film / transfer", Kind::estimate);
    row.mass = total("mass used", u.mass_kg, Quantity::mass, "volume x density", Kind::estimate);
    for (const PaintTin& tin : job.shelf)
      row.irreplaceable |= tin.material == u.material && tin.irreplaceable && u.volume_m3 > 0;
    if (const std::optional<double> there_m3 = on_shelf_m3(u.material, job)) {
      row.left_on_shelf = total("left on the shelf", *there_m3 - u.volume_m3, Quantity::film_volume,
                                "volume on the shelf - volume used", Kind::estimate);
      row.left_on_shelf.inputs = {input("on the shelf", *there_m3, Quantity::film_volume, Kind::measured)};
    }
    rows.push_back(std::move(row));
  }
  return rows;
}

void add_used(std::vector<Used>& sum, const std::vector<Used>& more) {
  for (const Used& u : more) {
    auto at = std::find_if(sum.begin(), sum.end(),
                           [&](const Used& s) { return s.material == u.material && s.mixture == u.mixture; });
    if (at == sum.end())
      sum.push_back(u);
    else
      at->volume_m3 += u.volume_m3, at->mass_kg += u.mass_kg;
  }
}

/// Of a tin of the shelf; of a mixture without a price of its own what its parts cost.
std::optional<double> price_per_litre(const std::string& id, const Job& job, const Library& library) {
  for (const PaintTin& tin : job.shelf)
    if (tin.material == id && tin.price_per_litre > 0) return tin.price_per_litre;
  PaintTin named;
  named.material = id, named.parts = with_parts(named, job).parts;
  const Result<Paint> paint = paint_of(named, library, "");
  if (named.parts.empty() || !paint) return std::nullopt;
  double sum = 0;
  for (const Paint::Share& part : paint->shares) {
    const std::optional<double> price = price_per_litre(part.material, job, library);
    if (!price) return std::nullopt;
    sum += part.volume_fraction * *price;
  }
  return sum;
}

Figure cost_of(const std::vector<Used>& used, double hands_on_s, const Job& job, const Library& library,
               std::vector<Note>& notes) {
  double materials = 0;
  std::string unpriced;
  for (const Used& u : used)
    if (const std::optional<double> price = price_per_litre(u.material, job, library))
      materials += u.volume_m3 * 1000.0 * *price;
    else
      unpriced += (unpriced.empty() ? "" : ", ") + name_of(u.material, job, library);
  const double work = hands_on_s / 3600.0 * job.shop.rate_per_h;
  if (!unpriced.empty())
    notes.push_back({Severity::information,
                     "The shelf has no price for " + unpriced +
                         ", so the cost leaves it out. The true cost is at least what is shown.",
                     "cost"});
  if (job.shop.rate_per_h == 0)
    notes.push_back({Severity::information, "The shop gives no hourly rate; the cost is material only.", "cost"});
  const bool nothing_priced = materials + work <= 0;
  Figure f =
      total("cost", nothing_priced ? std::numeric_limits<double>::quiet_NaN() : materials + work, Quantity::money,
            "sum of volume x price per litre + hours at the bench x hourly rate", Kind::estimate);
  f.inputs = {input("material", materials, Quantity::money, Kind::estimate),
              input("work", work, Quantity::money, Kind::estimate)};
  return f;
}

Result<std::vector<ColourReading>> colours_of(const Film& film, const Job& job, const ViewContext& view_context,
                                              ColoursRead read) {
  std::vector<ColourReading> rows;
  for (const Region face : {Region::front, Region::back, Region::sides}) {
    if (read == ColoursRead::target_only || !view_context.body.has(face)) continue;
    const std::string name = words(&face)[static_cast<std::size_t>(face)];
    auto reading = colour_of(film, view_context, Where{{name}, {}, {}, 0}, name);
    if (!reading) return reading.errors();
    rows.push_back(std::move(*reading));
  }
  auto area = colour_of(film, view_context, job.target.where, "target area");
  if (!area) return at_key(area.errors(), "target.where");
  rows.push_back(std::move(*area));
  return rows;
}

Figure difference(const ColourReading& area, const Lab& target, const Job& job) {
  const auto lamp = std::find(all_lamps.begin(), all_lamps.end(), job.target.lamp) - all_lamps.begin();
  const Lab now = area.lab[static_cast<std::size_t>(lamp)];
  Figure f =
      total("colour difference to the target", delta_e_2000(now, target), Quantity::colour_difference,
            "CIEDE2000 of the area's mean reflectance against the target", Kind::estimate);  // as the spectra are
  f.source = "sharma2005";
  f.inputs = {input("L* now", now.l, Quantity::ratio, Kind::computed),
              input("a* now", now.a, Quantity::ratio, Kind::computed),
              input("b* now", now.b, Quantity::ratio, Kind::computed),
              input("L* target", target.l, Quantity::ratio, Kind::measured),
              input("a* target", target.a, Quantity::ratio, Kind::measured),
              input("b* target", target.b, Quantity::ratio, Kind::measured)};
  return f;
}

/// Steps that cut film which is still too soft there, each with the question that must be answered first.
std::vector<HoldPoint> soft_cuts(const Plan& plan, const Run& run) {
  std::vector<HoldPoint> soft;
  for (const StepResult& step : run.steps) {
    if (step.too_soft_m2 <= 0) continue;
    HoldPoint hold;
    hold.question =
        fmt::format("Is the film hard enough before '{}': does a thumbnail pressed in leave no mark?", step.id);
    hold.answer = fmt::format("Simulated: {} is still too soft to cut. Wait longer, or test where it does not show.",
                              show(step.too_soft_m2, Quantity::area));
    hold.plan = plan.id, hold.before = {step.id};
    soft.push_back(std::move(hold));
  }
  return soft;
}

}  // namespace

bool looks_same(const Film& a, const Film& b) {
  if (a.layers.size() != b.layers.size() || a.marks != b.marks) return false;
  for (std::size_t i = 0; i < a.layers.size(); ++i)
    if (!same(a.layers[i].dry_m, b.layers[i].dry_m) || !same(a.layers[i].melted, b.layers[i].melted)) return false;
  return same(a.wood_cut_m, b.wood_cut_m) && same(a.light_lx_s, b.light_lx_s) && same(a.roughness_m, b.roughness_m) &&
         same(a.scratch_m, b.scratch_m) && same(a.grime_kg_m2, b.grime_kg_m2) && same(a.open_pore, b.open_pore);
}

Result<std::optional<Lab>> target_of(const Job& job, const Film& before, const ViewContext& view_context) {
  const Target& target = job.target;
  if (target.lab.size() == 3) return std::optional<Lab>(Lab{target.lab[0], target.lab[1], target.lab[2]});
  if (target.untouched.empty()) return std::optional<Lab>();
  // A target is read on a cleaned spot: the grime is no part of the finish.
  Film cleaned = before;
  cleaned.grime_kg_m2 = Field<float>(before.size());
  const auto untouched = colour_of(cleaned, view_context, Where{{target.untouched}, {}, {}, 0}, target.untouched);
  if (!untouched) return at_key(untouched.errors(), "target.untouched");
  const auto lamp = std::find(all_lamps.begin(), all_lamps.end(), target.lamp) - all_lamps.begin();
  return std::optional<Lab>(untouched->lab[static_cast<std::size_t>(lamp)]);
}

Result<PlanOutcome> outcome_of(const Plan& plan, const Run& run, const Job& job, const Library& library,
                               const ViewContext& given, ColoursRead read, const Survey& survey) {
  ViewContext view_context = given;
  view_context.observer = job.target.observer;
  PlanOutcome out;
  out.id = plan.id, out.title = plan.title, out.summary = plan.summary;
  const Film& before = run.steps.front().film;
  const auto target = target_of(job, before, view_context);
  if (!target) return target.errors();
  double waiting_s = 0;
  std::vector<Used> used;
  std::vector<const Film*> films;
  for (std::size_t i = 0; i < run.steps.size(); ++i) {
    const StepResult& result = run.steps[i];
    StepOutcome step;
    step.id = result.id, step.word = result.word;
    if (i > 0) step.why = plan.steps[i - 1].why;
    step.thickness = thickness_by_region(result.film, view_context);
    step.exposed = exposed(result.film, view_context);
    step.kept = original_kept(result.film, before, view_context);
    if (i > 0 && looks_same(run.steps[i - 1].film, result.film)) {
      step.colours = out.steps.back().colours;
    } else {
      auto colours = colours_of(result.film, job, view_context, read);
      if (!colours) return colours.errors();
      step.colours = std::move(*colours);
    }
    if (*target) step.to_target = difference(step.colours.back(), **target, job);
    step.hands_on = total("hours at the bench", result.hands_on_s, Quantity::duration,
                          "time of this operation x pace of the shop", Kind::estimate);
    step.waiting = total("waiting", result.waiting_s, Quantity::duration, "time given in the plan", Kind::computed);
    step.used = uses(taken_from_shelf(result.ledger.used, job), job, library);
    step.volumes = result.ledger.coats;
    step.notes = result.notes;
    if (i > 0 && traits_of(plan.steps[i - 1].step).ages && read == ColoursRead::all)
      step.ageing = ageing_of(films, result.film, view_context, survey);
    films.push_back(&result.film);
    waiting_s += result.waiting_s;
    add_used(used, result.ledger.used);
    out.notes.insert(out.notes.end(), result.notes.begin(), result.notes.end());
    out.steps.push_back(std::move(step));
  }
  PlanHours hours = hours_of(plan, run, job);
  out.hands_on = std::move(hours.hands_on), out.around = std::move(hours.around);
  const double hands_on_s = out.hands_on.value;
  out.waiting = total("waiting", waiting_s, Quantity::duration, "sum over the steps", Kind::computed);
  out.days =
      total("from first to last day", std::ceil(waiting_s / day_s + hands_on_s / working_day_s) * day_s,
            Quantity::duration, "waiting by the clock + hours at the bench in 8 h days, rounded up", Kind::estimate);
  used = taken_from_shelf(used, job);
  const std::map<std::string, Supply> supplies = supplies_of(job, run, library);
  for (Used& u : used)
    if (const auto found = supplies.find(u.material); found != supplies.end() && u.volume_m3 > 0) {
      const double more = 1 + found->second.beside_m3 / u.volume_m3;
      u.volume_m3 *= more, u.mass_kg *= more;
    }
  out.cost = cost_of(used, hands_on_s, job, library, out.notes);
  out.kept_fraction = out.steps.back().kept.kept_fraction;
  out.touched_fraction = touched(before, run.steps.back().film, view_context.body);
  out.to_target = out.steps.back().to_target;
  out.used = uses(used, job, library);
  for (MaterialUse& use : out.used)
    if (const auto found = supplies.find(use.material); found != supplies.end()) {
      const Supply& supply = found->second;
      use.needed = supply.needed, use.enough = supply.enough;
      use.give_up = supply.give_up, use.strain = supply.strain;
    }
  if (!std::isfinite(out.kept_fraction.value))
    out.notes.push_back({Severity::information, "No original finish was found on this body, so none can be kept.", ""});
  for (const MaterialUse& use : out.used)
    if (use.irreplaceable)
      out.notes.push_back({Severity::caution,
                           fmt::format("The plan uses {} of {}, which can't be replaced.",
                                       show(use.volume.value, Quantity::film_volume), use.name),
                           use.material});
  for (const MaterialUse& use : out.used)
    if (use.left_on_shelf.value < 0)
      out.notes.push_back({Severity::caution,
                           fmt::format("The plan needs {} of {}, {} more than is on the shelf.",
                                       show(use.volume.value, Quantity::film_volume), use.name,
                                       show(-use.left_on_shelf.value, Quantity::film_volume)),
                           use.material});
  for (Note& note : notes_on_supplies(job, run, library)) out.notes.push_back(std::move(note));
  const Bench bench = bench_of(job, view_context.body, library);
  const Guarded guarded{plan, bench, job.room, job.contents, job.coats, !job.parts.empty()};
  out.air = air_of(guarded, run);
  Gate gate = gate_of(guarded, out.air, job.hold_points);
  out.open_hold_points = std::move(gate.open), out.met_hold_points = std::move(gate.met);
  for (HoldPoint& spot : open_spots(job, plan, run, library)) out.open_hold_points.push_back(std::move(spot));
  for (HoldPoint& tin : refused_tins(job, plan, run, library)) out.open_hold_points.push_back(std::move(tin));
  for (HoldPoint& cut : soft_cuts(plan, run)) {
    // The job answers it by asking it in the same words.
    const auto same = [&](const HoldPoint& one) { return one.question == cut.question; };
    if (std::none_of(out.open_hold_points.begin(), out.open_hold_points.end(), same) &&
        std::none_of(out.met_hold_points.begin(), out.met_hold_points.end(), same))
      out.open_hold_points.push_back(std::move(cut));
  }
  out.ready = out.open_hold_points.empty();
  if (!out.ready)
    out.notes.insert(out.notes.begin(),
                     {Severity::danger,
                      fmt::format("Not ready: {} question{} not answered. Do not begin.", out.open_hold_points.size(),
                                  out.open_hold_points.size() == 1 ? " is" : "s are"),
                      "hold_points"});
  return out;
}

void each_figure(PlanOutcome& plan, const std::function<void(const std::string&, Figure&)>& visit) {
  const auto uses = [&](const std::string& at, std::vector<MaterialUse>& rows) {
    for (MaterialUse& u : rows)
      visit(at + u.material + "/volume", u.volume), visit(at + u.material + "/mass", u.mass),
          visit(at + u.material + "/left", u.left_on_shelf);
  };
  for (StepOutcome& step : plan.steps) {
    const std::string at = step.id + "/";
    for (ThicknessReading& t : step.thickness)
      visit(at + t.region + "/area", t.area), visit(at + t.region + "/min", t.min), visit(at + t.region + "/p5", t.p5),
          visit(at + t.region + "/median", t.median), visit(at + t.region + "/p95", t.p95);
    for (ExposedReading& e : step.exposed) visit(at + "exposed/" + e.coat, e.area);
    KeptReading& kept = step.kept;
    visit(at + "visible area", kept.visible_area), visit(at + "covered area", kept.buried_area);
    visit(at + "visible volume", kept.visible_volume), visit(at + "covered volume", kept.buried_volume);
    visit(at + "dissolved volume", kept.dissolved_volume), visit(at + "kept", kept.kept_fraction);
    if (step.to_target) visit(at + "to target", *step.to_target);
    visit(at + "hands on", step.hands_on), visit(at + "waiting", step.waiting);
    uses(at, step.used);
  }
  for (WorkAround& w : plan.around) visit(std::string("around/") + name_of(w.work), w.time);
  visit("hands on", plan.hands_on), visit("waiting", plan.waiting), visit("days", plan.days), visit("cost", plan.cost);
  visit("kept", plan.kept_fraction), visit("touched", plan.touched_fraction);
  if (plan.to_target) visit("to target", *plan.to_target);
  uses("", plan.used);
  for (StepAir& air : plan.air) {
    const std::string at = "air/" + air.step + "/";
    visit(at + "mass", air.vapour_mass), visit(at + "fire", air.asked.fire);
    visit(at + "breathing", air.asked.breathing), visit(at + "ruling", air.asked.ruling);
    visit(at + "at least", air.asked.at_least), visit(at + "peak", air.peak_of_limit), visit(at + "clear", air.clear);
  }
}

}  // namespace witnessline::analysis

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "app/verbs/checks.h"
#include "app/verbs/on_job.h"
#include "base/chance.h"
#include "bench/cold.h"
#include "numerics/statistics.h"

namespace witnessline::app {

namespace {

constexpr double none = std::numeric_limits<double>::quiet_NaN();

Figure figure(std::string name, double value, Quantity quantity, std::string law) {
  Figure f;
  f.name = std::move(name), f.value = value, f.quantity = quantity;
  f.law = std::move(law), f.source = "estimate", f.kind = Kind::estimate;
  return f;
}

constexpr int bodies_alike = 20;

/// Checks a body shows after the cold.
struct Opened {
  std::size_t count = 0;
  double length_m = 0;
  /// One or two have no distance, and none is further from the next than the body is wide.
  bool gives_spacing(double area_m2) const { return count > 2 && area_m2 / length_m < std::sqrt(area_m2); }
};

}  // namespace

Result<ChecksAnswer> checks_on_body(const ChecksRequest& asked, const Asking& asking) {
  AskedOfJob of;
  of.job = asked.job, of.plan = asked.plan, of.after = asked.after, of.pitch_m = asked.pitch_m;
  const Result<OnJob> on = on_job(of, asking);
  if (!on) return on.errors();
  ColdCheck step;
  step.to_K = asked.to_K, step.shocks = asked.shocks, step.by = asked.by, step.cured_s = asked.stood_s;
  step.found_s = asked.found_s, step.plasticiser_frac = asked.plasticiser_frac;
  step.room_humidity = asked.room_humidity, step.unchecked_K = asked.unchecked_K, step.found = asked.found;
  if (asked.room_K)
    return Error{"is not used for a body of a job",
                 {"", 0, 0, "room_degC"},
                 "the temperature of the job's shop",
                 "leave it out, or change it in the job"};
  const Result<StepResult> cooled = run_step({"cold", "", step}, on->film(), on->bench);
  if (!cooled) {
    std::vector<Error> faults = cooled.errors();
    for (Error& fault : faults) fault.where.key = fault.where.key.substr(fault.where.key.rfind('.') + 1);
    return faults;
  }
  ChecksAnswer answer;
  answer.notes = on->notes;
  const std::vector<Note> cautions = cold_cautions(asked.by, "cold");
  for (const Note& note : cooled->notes)
    if (std::find(cautions.begin(), cautions.end(), note) != cautions.end())
      answer.notes.push_back({note.severity, note.text, ""});
    else
      answer.sentences.push_back(note.text + ".");
  const auto opened = [&](const Film& film) {
    Opened o;
    for (std::size_t m = on->film().marks->size(); m < film.marks->size(); ++m, ++o.count) {
      const std::vector<SurfacePoint>& path = (*film.marks)[m].path;
      for (std::size_t i = 0; i + 1 < path.size(); ++i) {
        const Vec3 a = on->body().position(path[i]), b = on->body().position(path[i + 1]);
        o.length_m +=
            std::hypot(static_cast<double>(b.x - a.x), static_cast<double>(b.y - a.y), static_cast<double>(b.z - a.z));
      }
    }
    return o;
  };
  // Bodies alike: the same coats, the materials as uncertain as they are, flaws elsewhere.
  std::vector<Opened> alike;
  for (std::uint64_t i = 0; i < bodies_alike; ++i) {
    const Library drawn = asking.library.draw(on->job.seed, i);
    Bench bench{on->body(), drawn, {}, on->bench.mixtures, on->bench.shop, on->bench.seed + i + 1};
    for (const auto& wood : on->bench.woods) {
      const Material* known = wood ? drawn.find(wood->id) : nullptr;
      bench.woods.push_back(known ? std::make_shared<const Material>(*known) : wood);
    }
    const Result<StepResult> other = run_step({"cold", "", step}, on->film(), bench);
    if (!other) return other.errors();
    alike.push_back(opened(other->film));
  }
  const Opened here = opened(cooled->film);
  const double area_m2 = on->body().area_m2();
  const auto share_of = [&](const auto& which) {
    return static_cast<double>(std::count_if(alike.begin(), alike.end(), which)) / static_cast<double>(bodies_alike);
  };
  const double any = share_of([](const Opened& o) { return o.count > 0; });
  const double few = share_of([](const Opened& o) { return o.count == 1 || o.count == 2; });
  std::vector<double> counts, lengths, distances;
  for (const Opened& o : alike) {
    counts.push_back(static_cast<double>(o.count)), lengths.push_back(o.length_m);
    if (o.gives_spacing(area_m2)) distances.push_back(area_m2 / o.length_m);
  }
  const std::string law =
      fmt::format("; band: {} bodies alike, materials drawn anew and flaws elsewhere", bodies_alike);
  answer.count = figure("checks", static_cast<double>(here.count), Quantity::ratio, "starters that are driven" + law);
  answer.count.band = central_band(counts);
  answer.length = figure("length of them all", here.length_m, Quantity::length, "sum over their paths" + law);
  answer.length.band = central_band(lengths);
  answer.distance = figure("mean distance", here.gives_spacing(area_m2) ? area_m2 / here.length_m : none,
                           Quantity::length, "area over length" + law);
  if (here.gives_spacing(area_m2) && distances.size() >= 3) answer.distance.band = central_band(distances);
  answer.opens = figure("chance that any opens", bounded_chance(any), Quantity::fraction, "share of the bodies alike");
  const double sd = std::sqrt((any * (1 - any) + 0.25 / bodies_alike) / bodies_alike);
  answer.opens.band = {bounded_chance(any - 2 * sd), bounded_chance(any + 2 * sd)};
  std::string says =
      any < 0.5
          ? fmt::format("Likely none: {} of {} bodies alike show any", std::lround(any * bodies_alike), bodies_alike)
          : fmt::format("{} of {} bodies alike show checks", std::lround(any * bodies_alike), bodies_alike);
  if (few > 0) says += fmt::format(", {} one or two only", std::lround(few * bodies_alike));
  if (distances.size() >= 3) {
    const Band band = central_band(distances);
    if (band.high > 10 * band.low)
      says += ". Where there are more, their distance can't be told: cool a card with the same coats first";
    else
      says +=
          fmt::format(". Where there are more, their mean distance is between {} and {}",
                      show(band.low, Quantity::length, asking.units), show(band.high, Quantity::length, asking.units));
  }
  answer.sentences.insert(answer.sentences.begin(), says + ".");
  if (const std::string found = found_in_words(asked.found, asking.units); !found.empty())
    answer.sentences.push_back(found);
  return answer;
}

}  // namespace witnessline::app

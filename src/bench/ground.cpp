#include "bench/ground.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "bench/coat_words.h"
#include "bench/tin_facts.h"
#include "drying/compatibility.h"
#include "drying/resin.h"
#include "drying/solvency.h"

namespace witnessline::bench {

namespace {

constexpr double smallest_noted_m2 = 1e-4;
constexpr double found_age_s = 30 * 365.25 * 86400, new_age_s = 30 * 86400.0;  // ESTIMATE

bool holds_water(const CarrierBlend& carrier) {
  for (const Material* solvent : carrier.solvents)
    if (solvent->family == SolventFamily::water) return true;
  return false;
}

bool mixes_with_water(const CarrierBlend& carrier) {
  return std::all_of(carrier.solvents.begin(), carrier.solvents.end(),
                     [](const Material* solvent) { return solvent->thins_water_borne; });
}

/// Why a thinner does not go into a paint; notes what is only doubtful.
std::vector<Error> fault_of_thinner(const Liquid& liquid, StepContext& context) {
  const CarrierBlend& thinner = liquid.mix->thinner;
  const std::string& name = liquid.thinner->name;
  const std::string& paint = liquid.paint.mixture->name;
  if (liquid.paint.binder() == Binder::water_borne) {
    if (mixes_with_water(thinner)) return {};
    return {context.error(fmt::format("{} does not mix with {}, which is water-borne: it would curdle", name, paint),
                          "thinner", "water, or what its maker names",
                          "thin it with water, a tenth at most, or set thinning to 0")};
  }
  if (holds_water(thinner))
    return {context.error(fmt::format("water throws the binder of {} out of its solvents", paint), "thinner",
                          "a solvent that dissolves its binder", "thin it with its own thinner")};
  const Solvency solvency = solvency_of(*liquid.mix);
  if (solvency.blend.staying == Staying::falls_out)
    return {context.error(
        fmt::format("{} precipitates when it is thinned so with {} ({})", paint, name, reason_in_words(solvency.blend)),
        "thinner", "a thinner that dissolves what binds the paint", "thin it with its own thinner, or thin it less")};
  for (const Note& note : solvency.notes)
    if (note.severity != Severity::information) context.note(note.severity, note.text);
  return {};
}

/// Area and mean thickness of whatever lies outermost.
std::vector<Ground> outermost(const Reach& reach, const Film& film, const Body& body) {
  struct Sum {
    double area_m2 = 0, volume_m3 = 0;
  };
  const std::size_t layers = film.layers.size();
  const std::span<const float> areas = body.areas_m2();
  const std::vector<Sum> sums = reduce_chunks(
      film.size(), field_chunk, std::vector<Sum>(layers),
      [&](std::size_t begin, std::size_t end) {
        std::vector<Sum> sum(layers);
        if (std::none_of(reach.open.begin() + static_cast<std::ptrdiff_t>(begin),
                         reach.open.begin() + static_cast<std::ptrdiff_t>(end), [](float w) { return w > 0; }))
          return sum;
        const Columns columns(film, begin, end);
        for (std::size_t i = 0; i < columns.size(); ++i) {
          const int l = columns.exposed(i);
          const double area_m2 = static_cast<double>(areas[begin + i]) * static_cast<double>(reach.open[begin + i]);
          if (l < 0 || area_m2 <= 0) continue;
          const auto layer = static_cast<std::size_t>(l);
          sum[layer].area_m2 += area_m2;
          sum[layer].volume_m3 += area_m2 * static_cast<double>(columns.dry_m(layer, i));
        }
        return sum;
      },
      [](std::vector<Sum> a, const std::vector<Sum>& b) {
        for (std::size_t l = 0; l < a.size(); ++l) a[l].area_m2 += b[l].area_m2, a[l].volume_m3 += b[l].volume_m3;
        return a;
      });
  std::vector<Ground> grounds;
  for (std::size_t l = 0; l < layers; ++l)
    if (sums[l].area_m2 > 0) grounds.push_back({l, sums[l].area_m2, sums[l].volume_m3 / sums[l].area_m2});
  return grounds;
}

/// The note on one pair, names left out.
struct PairNote {
  Severity severity = Severity::information;
  std::string before, after;  ///< the name of the coat
  bool operator==(const PairNote&) const = default;
};

PairNote describe_pair(const Compatibility& c, bool found_there) {
  const std::string held = c.practice          ? c.practice->says
                           : c.reasons.empty() ? "Nothing is known of this pair."
                                               : c.reasons.front();
  switch (c.verdict) {
    case Meeting::bites_in:
      return {Severity::information, "bites into ", ": the two become one film"};
    case Meeting::sits_on_top:
      return {Severity::information, "does not melt into ",
              fmt::format("; it bonds only to a scuffed surface. {} {}", held, c.test)};
    case Meeting::lifts_or_crazes:
      return {found_there ? Severity::danger : Severity::caution, "may lift or craze ",
              fmt::format(": {} First: {} {}", held, c.test, c.rescue)};
    case Meeting::unknown:
      break;
  }
  return {Severity::caution, "may or may not suit ", fmt::format(": {} First: {} {}", held, c.test, c.rescue)};
}

}  // namespace

Result<Liquid> liquid_of(const std::string& mixture, const std::string& thinner, double thinning,
                         StepContext& context) {
  std::vector<Error> faults;
  Result<Paint> paint = paint_of(mixture, context.bench, context.place("mixture"));
  if (!paint) faults = paint.errors();
  const Material* with = nullptr;
  if (!thinner.empty()) {
    const Result<const Material*> found = material_of(thinner, context.bench, context.place("thinner"));
    if (!found)
      faults.insert(faults.end(), found.errors().begin(), found.errors().end());
    else if ((*found)->role != Role::solvent)
      faults.push_back(context.error(fmt::format("{} is no thinner", (*found)->name), "thinner",
                                     "a solvent or thinner, a material id", "name what the paint is thinned with"));
    else
      with = *found;
  } else if (thinning > 0) {
    faults.push_back(context.error("the paint is thinned, but no thinner is named", "thinner", "a solvent's id",
                                   "name the thinner, or set thinning to 0"));
  }
  if (!faults.empty()) return faults;
  const Shop& shop = context.bench.shop;
  const auto& tins = context.bench.tins;
  const auto tin = std::find_if(tins.begin(), tins.end(), [&](const PaintTin& t) { return t.material == mixture; });
  std::vector<Note> stood_in;
  Result<TinFacts> facts = facts_of(tin == tins.end() ? PaintTin{} : *tin, *paint, context.bench.library,
                                    shop.temperature_K, "shelf", stood_in);
  if (!facts) facts = facts_of(PaintTin{}, *paint, context.bench.library, shop.temperature_K, "shelf", stood_in);
  if (!facts) return Liquid{*paint, with, paint->volume_solids / (1 + thinning), std::nullopt, std::nullopt};
  const double solids = facts->makeup.solids_frac;
  Liquid liquid{std::move(facts->paint), with, solids / (1 + thinning), std::nullopt, std::nullopt};
  if (!liquid.paint.main) return liquid;
  CarrierBlend more;
  if (with && thinning > 0) {
    const Result<CarrierBlend> found = carrier_of(thinner, context.bench.library);
    if (!found) return found.errors();
    more = *found;
  }
  Result<GunMix> mix = gun_mix(*liquid.paint.main, facts->own, solids, more, thinning, "thinner", stood_in);
  if (!mix) return liquid;
  liquid.mix = std::move(*mix);
  take_solvents(facts->makeup, liquid.mix->binds->binder, liquid.mix->thinner, liquid.mix->carrier);
  if (!facts->readings.empty())
    if (Result<SolutionViscosity> law = viscosity_law(facts->makeup, facts->readings)) liquid.viscosity = *law;
  if (more.solvents.empty()) return liquid;
  faults = fault_of_thinner(liquid, context);
  if (!faults.empty()) return faults;
  return liquid;
}

std::vector<Ground> grounds_under(const Liquid& liquid, double wet_m, int coats, const Reach& reach,
                                  const std::vector<Paint>& below, StepContext& context) {
  std::vector<Ground> grounds = outermost(reach, context.before, context.body);
  const double dry_m = wet_m * liquid.solids_fraction;
  const Shop& shop = context.bench.shop;
  const Airflow air = airflow_along(shop.temperature_K, shop.air_speed_m_s, shop.relative_humidity);
  struct Line {
    PairNote note;
    std::string names;
  };
  std::vector<Line> lines;
  for (Ground& ground : grounds) {
    const Provenance& from = context.before.layers[ground.layer].provenance;
    const bool found_there = from.origin != Origin::this_plan;
    const Paint& old = below[ground.layer];
    const Binder fresh = liquid.paint.binder();
    const double age_s = found_there ? found_age_s : new_age_s;
    Compatibility met;
    met.practice = common_practice(fresh, old.binder(), age_s, old.main ? old.main->role : Role::clear);
    met.verdict = met.practice ? met.practice->meeting : Meeting::unknown;
    if (liquid.mix && old.main && liquid.paint.main) {
      const Result<Compatibility> worked =
          compatibility({liquid.paint.main, liquid.mix->carrier, wet_m - dry_m, dry_m, coats * dry_m},
                        {old.main, ground.thickness_m, age_s}, air);
      if (worked) met = *worked;
    }
    // A thin coat of the plan that melts whole into one of its kind is what was wanted.
    if (!found_there && met.practice && met.practice->meeting == Meeting::bites_in) met.verdict = Meeting::bites_in;
    ground.meeting = met.verdict;
    // Water keeps the solvents of a water-borne paint away from what is below until too little of them is left.
    const bool may_soften = fresh != Binder::water_borne && fresh != Binder::none && old.binder() != Binder::none &&
                            !cross_linked(old.binder());
    ground.melts =
        may_soften &&
        (met.verdict == Meeting::bites_in ||
         (met.verdict != Meeting::sits_on_top && met.computed != Meeting::sits_on_top && met.chance_bites >= 0.5));
    if (ground.area_m2 < smallest_noted_m2 || (met.verdict == Meeting::bites_in && !found_there)) continue;
    const PairNote note = describe_pair(met, found_there);
    const std::string name = coat_in_words(context.before.layers[ground.layer]);
    const auto same = std::find_if(lines.begin(), lines.end(), [&](const Line& l) { return l.note == note; });
    if (same == lines.end())
      lines.push_back({note, name});
    else
      same->names += ", " + name;
  }
  const std::string called = liquid.paint.mixture->name.substr(0, liquid.paint.mixture->name.find_first_of(":,"));
  for (const Line& line : lines)
    context.note(line.note.severity, called + " " + line.note.before + line.names + line.note.after);
  return grounds;
}

}  // namespace witnessline::bench

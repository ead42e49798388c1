#include "app/verbs/thin_given.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "drying/solvency.h"
#include "materials/in_words.h"
#include "solvents/cup.h"

namespace witnessline::app {

namespace {

Result<const Material*> material_at(const std::string& id, const std::string& key, const Library& library) {
  if (const Material* material = library.find(id)) return material;
  const std::string near = nearest_word(id, library.ids());
  return Error{fmt::format("'{}' is no material of the library", id),
               {"", 0, 0, key},
               "a material id",
               near.empty() ? "" : fmt::format("did you mean '{}'?", near)};
}

}  // namespace

Error at_key(Error error, const std::string& key) {
  error.where.key = key;
  return error;
}

Result<Volatile> solvent_at(const std::string& id, const std::string& key, const Library& library) {
  const Result<const Material*> material = material_at(id, key, library);
  if (!material) return material.errors();
  const Result<CarrierBlend> whole = carrier_of(id, library);
  if (whole && whole->solvents.size() > 1)
    return Error{fmt::format("'{}' is a blend already", id),
                 {"", 0, 0, key},
                 "a single solvent",
                 "ask for it under thinner, or put its solvents here one by one"};
  Result<Volatile> made = volatile_of(**material);
  if (made) return made;
  std::vector<Error> faults;
  for (const Error& fault : made.errors()) faults.push_back(at_key(fault, key));
  return faults;
}

GivenBlend blend_at(const std::vector<SolventPart>& given, const std::string& key, const Library& library,
                    std::vector<Note>& notes, Gathered& faults) {
  GivenBlend blend;
  if (given.empty()) return blend;
  std::vector<BlendPart> parts;
  double sum = 0;
  for (std::size_t i = 0; i < given.size(); ++i) {
    const std::string here = fmt::format("{}[{}].material", key, i + 1);
    if (std::any_of(parts.begin(), parts.end(), [&](const auto& o) { return o.material == given[i].material; }))
      faults.list.push_back(
          {fmt::format("'{}' is listed twice", given[i].material), {"", 0, 0, here}, "", "add them up"});
    parts.push_back({given[i].material, given[i].share_frac, here});
    sum += given[i].share_frac;
  }
  if (std::abs(sum - 1) > 1e-6) {
    faults.list.push_back({fmt::format("the shares sum to {:.6g} %", 100 * sum),
                           {"", 0, 0, key},
                           "100 %",
                           "put right the share that is wrong: nothing is scaled for you"});
    return blend;
  }
  if (auto of = faults.good(blend_of(parts, library, notes))) blend.of = std::move(*of);
  if (auto solvents = faults.good(volatiles_of(blend.of, key, notes))) blend.solvents = std::move(*solvents);
  return blend;
}

GivenTin tin_at(const ThinRequest& request, const Library& library, std::vector<Note>& notes, Gathered& faults) {
  GivenTin tin;
  constexpr double thinnest_frac = 0.02;  // no paint holds less: a fraction was written for per cent
  if (request.tin.solids_frac && *request.tin.solids_frac < thinnest_frac)
    faults.list.push_back({fmt::format("solids of {:g} % by volume", 100 * *request.tin.solids_frac),
                           {"", 0, 0, "tin.solids_pct"},
                           "2 to 95 %",
                           "a fraction? write it in per cent; or leave it out"});
  if (request.tin.readings.empty())
    faults.list.push_back({"nothing says how thick the tin is", {"", 0, 0, "tin"}, "readings", "run it out of a cup"});
  const auto facts = faults.good(facts_of(request.tin, library, request.air.temperature_K, "tin", notes));
  if (facts) {
    const Paint& paint = facts->paint;
    tin.material = paint.main, tin.makeup = facts->makeup, tin.solids_sd_frac = facts->solids_sd_frac;
    tin.readings = facts->readings, tin.own.of = facts->own;
    take_solvents(tin.makeup, paint.binder(), {}, facts->own);
    const auto former = paint.main ? film_former_of(*paint.main) : std::nullopt;
    if (former)
      tin.film_former = *former;
    else
      faults.list.push_back({fmt::format("{} has no Hansen sphere", request.tin.material),
                             {"", 0, 0, "tin.material"},
                             "a clear, sealer or colour whose solvents are known",
                             "choose the material that binds it"});
    if (makers_thinner_only(paint.binder()))
      faults.list.push_back({fmt::format("how far to thin {} is not worked out here", paint.main->name),
                             {"", 0, 0, "tin.material"},
                             "a lacquer or varnish that is a solution and dries by its solvent alone",
                             paint.binder() == Binder::water_borne
                                 ? "a dispersion takes its maker's water and additives only: follow its data sheet"
                                 : "its thinner, their share and the hardener belong together: follow its data sheet"});
    if (paint.metallic || paint.pigmented)
      notes.push_back(
          {Severity::caution,
           "Pigment and flake thicken a lacquer in ways the law here does not know, and settle the faster the "
           "thinner it is: read the mix in the cup before spraying.",
           "tin.material"});
    if (!facts->own_solvents_given)
      notes.push_back(
          {Severity::caution,
           fmt::format("The tin's own solvents are not given: the usual ones of {} are taken (ESTIMATE). Its "
                       "safety data sheet lists the real ones.",
                       paint.main ? paint.main->name : request.tin.material),
           "tin.solvents"});
    if (auto solvents = faults.good(volatiles_of(facts->own, "tin.solvents", notes)))
      tin.own.solvents = std::move(*solvents);
  }
  if (std::any_of(request.tin.readings.begin(), request.tin.readings.end(),
                  [](const CupReading& r) { return r.cup.starts_with("zahn"); }))
    notes.push_back(
        {Severity::information,
         "Zahn cups differ by maker and batch, by a tenth and more: read and spray with one and the same cup.",
         "tin.readings"});
  if (request.wanted)
    tin.wanted = *request.wanted;
  else
    notes.push_back(
        {Severity::information,
         fmt::format("How it should run was not given: {:g} s in the {} are taken (data sheets and finishers "
                     "spray lacquer at 18 to 33 s).",
                     tin.wanted.run_out_s, find_cup(tin.wanted.cup)->name),
         "wanted"});
  const CupReading wanted{tin.wanted.cup, tin.wanted.run_out_s, 0, 0};
  if (const std::optional<double> v = faults.good(cup_viscosity_m2_s(wanted, "wanted"))) tin.wanted_m2_s = *v;
  return tin;
}

std::vector<ShelfSolvent> shelf_at(const ThinRequest& request, double thinner_m3, const Library& library,
                                   std::vector<Note>& notes, Gathered& faults) {
  std::vector<ShelfSolvent> shelf;
  const auto excluded = [&](const std::string& id) {
    return std::find(request.excluded.begin(), request.excluded.end(), id) != request.excluded.end();
  };
  for (std::size_t i = 0; i < request.excluded.size(); ++i)
    faults.good(material_at(request.excluded[i], fmt::format("excluded[{}]", i + 1), library));
  if (!request.shelf.empty()) {
    double there_m3 = 0;
    bool bounded = true;
    for (std::size_t i = 0; i < request.shelf.size(); ++i) {
      const PaintTin& given = request.shelf[i];
      const std::string key = fmt::format("shelf[{}].material", i + 1);
      if (!given.parts.empty())
        faults.list.push_back({fmt::format("'{}' is a mixture", given.material),
                               {"", 0, 0, fmt::format("shelf[{}].parts", i + 1)},
                               "a single solvent",
                               "put its solvents here one by one"});
      const auto one = faults.good(solvent_at(given.material, key, library));
      if (!one || excluded(one->id)) continue;
      if (std::any_of(shelf.begin(), shelf.end(), [&](const auto& other) { return other.of.id == one->id; })) {
        faults.list.push_back({fmt::format("'{}' is listed twice", one->id), {"", 0, 0, key}, "", "add them up"});
        continue;
      }
      if (!one->stood_in.empty())
        notes.push_back(
            {Severity::information, fmt::format("Of {} too little is on file: {}.", one->id, one->stood_in), key});
      shelf.push_back({*one, given.price_per_litre, 1});
      bounded &= given.volume_m3 > 0;
      if (given.volume_m3 <= 0 || thinner_m3 <= 0) continue;
      there_m3 += given.volume_m3;
      shelf.back().most_frac = std::min(1.0, given.volume_m3 / thinner_m3);
      if (shelf.back().most_frac < 1)
        notes.push_back({Severity::information,
                         fmt::format("Of {} there is enough for {:.0f} % of this thinner, no more.", one->id,
                                     100 * shelf.back().most_frac),
                         key});
    }
    if (bounded && there_m3 < thinner_m3 && !shelf.empty())
      faults.list.push_back(
          {fmt::format("the shelf holds {} of solvents, the tin takes {}", show(there_m3, Quantity::film_volume),
                       show(thinner_m3, Quantity::film_volume)),
           {"", 0, 0, "shelf"},
           "enough for what is thinned",
           fmt::format("thin {} of the tin at a time",
                       show(request.tin.volume_m3 > 0 ? request.tin.volume_m3 * there_m3 / thinner_m3
                                                      : 1e-3 * there_m3 / thinner_m3,
                            Quantity::film_volume))});
  } else {
    std::string left_out;
    for (const Material& material : library.all()) {
      if (material.role != Role::solvent || material.family == SolventFamily::water || excluded(material.id)) continue;
      const Result<Volatile> one = volatile_of(material);
      if (one && one->stood_in.empty())
        shelf.push_back({*one, 0, 1});
      else
        left_out += (left_out.empty() ? "" : ", ") + short_name(material);
    }
    if (!left_out.empty())
      notes.push_back({Severity::information,
                       fmt::format("Left out of the design because a property is missing: {}.", left_out), "shelf"});
  }
  if (shelf.size() > Solution::most_solvents)
    faults.list.push_back({fmt::format("{} solvents on the shelf", shelf.size()),
                           {"", 0, 0, "shelf"},
                           fmt::format("{} at most", Solution::most_solvents),
                           "leave out those you would not use"});
  if (shelf.empty() && faults.list.empty())
    faults.list.push_back(
        {"nothing is left to design from", {"", 0, 0, "shelf"}, "a solvent that is not excluded", ""});
  const bool priced = std::any_of(shelf.begin(), shelf.end(), [](const auto& one) { return one.price_per_L > 0; });
  if (priced && std::any_of(shelf.begin(), shelf.end(), [](const auto& one) { return one.price_per_L <= 0; }))
    notes.push_back({Severity::caution, "A solvent without a price counted as free.", "shelf"});
  return shelf;
}

}  // namespace witnessline::app

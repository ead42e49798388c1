#include "app/verbs/thin_given.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "drying/solvency.h"
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

Result<double> cup_at(const std::string& cup, double run_out_s, const std::string& key) {
  const Cup* found = find_cup(cup);
  if (!found) {
    std::vector<std::string> known;
    for (const Cup& one : cups()) known.emplace_back(one.id);
    const std::string near = nearest_word(cup, known);
    return Error{fmt::format("there is no cup '{}'", cup),
                 {"", 0, 0, key + ".cup"},
                 cup_words(),
                 near.empty() ? "" : fmt::format("did you mean '{}'?", near)};
  }
  const Result<double> viscosity_m2_s = viscosity_of_seconds_m2_s(*found, run_out_s);
  if (!viscosity_m2_s) return at_key(viscosity_m2_s.errors()[0], key + ".run_out_s");
  return *viscosity_m2_s;
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

GivenBlend blend_at(const std::vector<BlendPartGiven>& given, const std::string& key, const Library& library,
                    std::vector<Note>& notes, Gathered& faults) {
  GivenBlend blend;
  if (given.empty()) return blend;
  std::vector<BlendPart> parts;
  double sum = 0;
  for (std::size_t i = 0; i < given.size(); ++i) {
    const std::string here = fmt::format("{}[{}].material", key, i + 1);
    if (std::any_of(parts.begin(), parts.end(), [&](const auto& o) { return o.material == given[i].material; }))
      faults.list.push_back(
          {fmt::format("'{}' stands there twice", given[i].material), {"", 0, 0, here}, "", "add them up"});
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

GivenBlend own_solvents_at(const ThinRequest& request, const Material& paint, const Library& library,
                           std::vector<Note>& notes, Gathered& faults) {
  if (!request.tin.solvents.empty()) return blend_at(request.tin.solvents, "tin.solvents", library, notes, faults);
  GivenBlend own;
  if (auto usual = faults.good(usual_carrier(paint.binder, library))) own.of = std::move(*usual);
  if (auto solvents = faults.good(volatiles_of(own.of, "tin.solvents", notes))) own.solvents = std::move(*solvents);
  notes.push_back({Severity::caution,
                   fmt::format("The tin's own solvents are not given: the usual ones of {} are taken (ESTIMATE). Its "
                               "safety data sheet lists the real ones.",
                               paint.name),
                   "tin.solvents"});
  return own;
}

GivenTin tin_at(const ThinRequest& request, const Library& library, std::vector<Note>& notes, Gathered& faults) {
  GivenTin tin;
  if (const auto found = faults.good(material_at(request.tin.material, "tin.material", library))) tin.material = *found;
  if (tin.material) {
    if (const auto former = film_former_of(*tin.material))
      tin.film_former = *former;
    else
      faults.list.push_back({fmt::format("{} has no Hansen sphere", tin.material->id),
                             {"", 0, 0, "tin.material"},
                             "a clear, sealer or colour whose solvents are known",
                             "choose the material that binds it"});
    const Datum *solids = tin.material->find(Property::volume_solids), *density = tin.material->find(Property::density);
    constexpr double thinnest_frac = 0.02;  // no paint holds less: a fraction was written for per cent
    if (request.tin.solids_frac > 0 && request.tin.solids_frac < thinnest_frac)
      faults.list.push_back({fmt::format("solids of {:g} % by volume", 100 * request.tin.solids_frac),
                             {"", 0, 0, "tin.solids_pct"},
                             "2 to 90 %",
                             "a fraction? write it in per cent; or leave it out"});
    else if (request.tin.solids_frac > 0)
      tin.makeup.solids_frac = request.tin.solids_frac, tin.solids_sd_frac = 0.01;
    else if (solids)
      tin.makeup.solids_frac = solids->value, tin.solids_sd_frac = solids->sd;
    else
      faults.list.push_back(
          {"its solids by volume are not known", {"", 0, 0, "tin"}, "solids_pct", "see its data sheet"});
    tin.makeup.density_kg_m3 = density ? density->value : 0;
    tin.makeup.thinner_density_kg_m3 = usual_thinner_kg_m3;
    if (!density) faults.list.push_back({"its density is not known", {"", 0, 0, "tin.material"}, "", "weigh a litre"});
    if (makers_thinner_only(tin.material->binder))
      faults.list.push_back({fmt::format("how far to thin {} is not worked out here", tin.material->name),
                             {"", 0, 0, "tin.material"},
                             "a lacquer or varnish that is a solution and dries by its solvent alone",
                             tin.material->binder == Binder::water_borne
                                 ? "a dispersion takes its maker's water and additives only: follow its data sheet"
                                 : "its thinner, their share and the hardener belong together: follow its data sheet"});
    if (tin.material->metallic || tin.material->role == Role::colorant || tin.material->role == Role::primer)
      notes.push_back(
          {Severity::caution,
           "Pigment and flake thicken a lacquer in ways the law here does not know, and settle the faster the "
           "thinner it is: read the mix in the cup before spraying.",
           "tin.material"});
  }
  for (std::size_t i = 0; i < request.tin.readings.size(); ++i) {
    const CupReadingGiven& r = request.tin.readings[i];
    if (const std::optional<double> v = faults.good(cup_at(r.cup, r.run_out_s, fmt::format("tin.readings[{}]", i + 1))))
      tin.readings.push_back({*v, r.temperature_K, r.thinner_parts_ratio});
    if (r.cup.starts_with("zahn"))
      notes.push_back(
          {Severity::information,
           "Zahn cups differ by maker and batch, by a tenth and more: read and spray with one and the same cup.",
           "tin.readings"});
  }
  if (request.wanted)
    tin.wanted = *request.wanted;
  else
    notes.push_back({Severity::information,
                     fmt::format("Nothing was said of how it should run: {:g} s in the {} are taken, usual for a small "
                                 "gun (common practice, no source).",
                                 tin.wanted.run_out_s, find_cup(tin.wanted.cup)->name),
                     "wanted"});
  if (const std::optional<double> v = faults.good(cup_at(tin.wanted.cup, tin.wanted.run_out_s, "wanted")))
    tin.wanted_m2_s = *v;
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
      const ShelfGiven& given = request.shelf[i];
      const std::string key = fmt::format("shelf[{}].material", i + 1);
      const auto one = faults.good(solvent_at(given.material, key, library));
      if (!one || excluded(one->id)) continue;
      if (std::any_of(shelf.begin(), shelf.end(), [&](const auto& other) { return other.of.id == one->id; })) {
        faults.list.push_back({fmt::format("'{}' stands there twice", one->id), {"", 0, 0, key}, "", "add them up"});
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
      if (material.role != Role::solvent || material.id == "water" || excluded(material.id)) continue;
      const Result<Volatile> one = volatile_of(material);
      if (one && one->stood_in.empty())
        shelf.push_back({*one, 0, 1});
      else
        left_out += (left_out.empty() ? "" : ", ") + material.name.substr(0, material.name.find_first_of(":("));
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

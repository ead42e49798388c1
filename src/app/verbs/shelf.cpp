#include "app/verbs/shelf.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "app/verbs/own_colorants.h"
#include "bench/tin_facts.h"
#include "safety/handled.h"

namespace witnessline::app {

namespace {

constexpr double usual_index = 1.5;  // ESTIMATE: lacquers, varnishes and oils lie between 1.46 and 1.57

Geometry geometry_of(const MixGiven& given) {
  Geometry geometry;
  geometry.specular_included = given.specular_included;
  return geometry;
}

bool makes_no_film(Role role) {
  return role == Role::wood || role == Role::solvent || role == Role::cleaner || role == Role::compound;
}

/// A tin of the library's materials: what they hold, and K and S of their dry films together.
Result<Paint> paint_in(const TinGiven& given, const std::string& key, const Asking& asking) {
  std::vector<Part> parts = given.parts;
  if (parts.empty()) parts = {{given.material, 1}};
  std::vector<Error> faults;
  for (const Part& part : parts) {
    const Material* m = asking.library.find(part.material);
    if (!m) continue;  // paint_of() names it
    const std::string at = key + (given.parts.empty() ? ".material" : ".parts");
    if (makes_no_film(m->role))
      faults.push_back(
          {fmt::format("'{}' is no paint", m->id), {"", 0, 0, at}, "a colour, toner, clear or primer", ""});
    else if (m->role == Role::colorant && !m->drawdown && !m->absorption_per_m && given.absorption_per_m.empty())
      faults.push_back({fmt::format("nothing was read of '{}'", m->id),
                        {"", 0, 0, at},
                        "a colour with a drawdown over black and white",
                        "draw it down and add the readings to its material"});
  }
  if (!faults.empty()) return faults;
  return paint_of(given, asking.library, key);
}

// Four lists of 36 as last known, in place of what the library or the readings say.
std::vector<Error> take_constants(const TinGiven& given, const std::string& key, Tin& tin) {
  std::vector<Error> faults;
  for (const auto& [word, list] : {std::pair{"absorption_per_mm", &given.absorption_per_m},
                                   {"scattering_per_mm", &given.scattering_per_m},
                                   {"absorption_log_sd", &given.absorption_log_sd},
                                   {"scattering_log_sd", &given.scattering_log_sd}})
    if (!list->empty() && list->size() != bands)
      faults.push_back({fmt::format("{} numbers", list->size()),
                        {"", 0, 0, fmt::format("{}.{}", key, word)},
                        "36, from 380 to 730 nm by 10",
                        ""});
  if (given.absorption_per_m.empty() != given.scattering_per_m.empty())
    faults.push_back({"one of absorption and scattering alone", {"", 0, 0, key}, "both, or neither", ""});
  if (!faults.empty() || given.absorption_per_m.empty()) return faults;
  std::copy(given.absorption_per_m.begin(), given.absorption_per_m.end(), tin.absorption_per_m.at.begin());
  std::copy(given.scattering_per_m.begin(), given.scattering_per_m.end(), tin.scattering_per_m.at.begin());
  return {};
}

/// True for a colorant of the readings that its tin says nothing more of.
bool is_read(const TinGiven& t, const OwnColorants* own) {
  return own && t.absorption_per_m.empty() && own->place(t.material) < own->set.colorants.size();
}

struct TinFound {
  Tin tin;
  double density_kg_m3 = 0;
};

Result<TinFound> tin_of(const TinGiven& given, std::size_t i, const Asking& asking, const Palette& palette,
                        const OwnColorants* own) {
  const std::string key = fmt::format("shelf[{}]", i + 1);
  TinFound found;
  found.tin.name = given.material, found.density_kg_m3 = given.density_kg_m3;
  double solids = given.solids_frac.value_or(0);
  const bool of_library = !given.parts.empty() || asking.library.find(given.material);
  if (is_read(given, own)) {
    found.tin = own->tin(own->place(given.material));
  } else if (of_library) {
    const Result<Paint> paint = paint_in(given, key, asking);
    if (!paint) return paint.errors();
    if (given.parts.empty()) found.tin.name = asking.library.find(given.material)->name;
    const CoatOptics optics = palette.of(*paint->mixture);
    found.tin.absorption_per_m = optics.absorption_per_m, found.tin.scattering_per_m = optics.scattering_per_m;
    found.tin.poison = !paint->metals.empty();
    if (!(found.density_kg_m3 > 0)) found.density_kg_m3 = paint->density_kg_m3();
    solids = paint->volume_solids;
  } else if (given.absorption_per_m.empty()) {
    if (own) return own->unknown(given.material, key + ".material");
    const std::string near = nearest_word(given.material, asking.library.ids());
    return Error{fmt::format("'{}' is no material of the library", given.material),
                 {"", 0, 0, key + ".material"},
                 "a material id; or a colorant of the table named by `readings`",
                 near.empty() ? "" : fmt::format("did you mean '{}'?", near)};
  }
  if (!(found.density_kg_m3 > 0 && solids > 0))
    return Error{fmt::format("how much film a kilogram of '{}' leaves is not known", found.tin.name),
                 {"", 0, 0, key},
                 "density_g_L and solids_pct above 0",
                 "weigh a known volume wet and again dry"};
  if (!(given.volume_m3 > 0 || given.in_cup_kg > 0))
    return Error{fmt::format("nothing says how much there is of '{}'", found.tin.name),
                 {"", 0, 0, key + ".volume_mL"},
                 "more than 0 mL",
                 "measure what is left, or take an empty tin off the shelf"};
  const auto faults = take_constants(given, key, found.tin);
  if (!faults.empty()) return faults;
  found.tin.dry_volume_m3_per_kg = solids / found.density_kg_m3;
  found.tin.left_kg = given.volume_m3 * found.density_kg_m3, found.tin.irreplaceable = given.irreplaceable;
  found.tin.price_per_kg = 1000 * given.price_per_litre / found.density_kg_m3;
  return found;
}

// Two tins of one kind go by their batch, or where none is given by their place on the shelf.
void distinguish(std::vector<Tin>& shelf, const std::vector<TinGiven>& given, std::vector<Note>& notes) {
  std::vector<std::string> names;
  for (const Tin& t : shelf) names.push_back(t.name);
  std::set<std::string> shown_text;
  for (std::size_t i = 0; i < shelf.size(); ++i) {
    if (std::count(names.begin(), names.end(), names[i]) < 2) continue;
    const bool same_batch = std::count_if(given.begin(), given.end(), [&](const TinGiven& t) {
                              return t.material == given[i].material && t.batch == given[i].batch;
                            }) > 1;
    // A batch is said with every pour anyway.
    if (same_batch) shelf[i].name += fmt::format(" (line {} of the shelf)", i + 1);
    if (shown_text.insert(names[i]).second)
      notes.push_back({Severity::information,
                       fmt::format("{} stands on the shelf more than once; of recipes that differ only in the tin, one "
                                   "is told.{}",
                                   names[i], same_batch ? " Give each its batch, or make them one line." : ""),
                       "shelf"});
  }
}

// The palette's notes on the tins that rest on the library: those alike but for the name as one that lists the names.
std::vector<Note> drawdown_notes(const MixGiven& given, const Library& library, const Palette& palette) {
  std::vector<Note> notes;
  std::vector<std::pair<std::string, std::string>> around;  // what stands before and after the name
  std::vector<std::string> names;
  for (const Note& n : palette.notes()) {
    const Material* m = library.find(n.about);
    if (!m || std::none_of(given.shelf.begin(), given.shelf.end(), [&](const TinGiven& t) {
          const bool part =
              std::any_of(t.parts.begin(), t.parts.end(), [&](const Part& p) { return p.material == n.about; });
          return (part || (t.parts.empty() && t.material == n.about)) && t.absorption_per_m.empty();
        }))
      continue;
    const std::size_t at = n.text.find(m->name);
    if (at == std::string::npos) {
      add_notes(notes, {n});
      continue;
    }
    const std::pair parts{n.text.substr(0, at), n.text.substr(at + m->name.size())};
    const auto found = std::find(around.begin(), around.end(), parts);
    const std::size_t place = static_cast<std::size_t>(found - around.begin());
    if (found == around.end())
      around.push_back(parts), names.push_back(m->name);
    else
      names[place] += "; " + m->name;
  }
  for (std::size_t i = 0; i < around.size(); ++i)
    notes.push_back({Severity::information, around[i].first + names[i] + around[i].second, "shelf"});
  return notes;
}

// What each tin says of how well it is known; the readings' own covariance where they are where it comes from.
ShelfKnowledge knowledge_of(const MixGiven& given, const OwnColorants* own) {
  const std::size_t n = given.shelf.size();
  ShelfKnowledge known = plain_knowledge(n, given.tin_sd_fraction);
  for (int b = 0; b < bands; ++b) {
    Matrix& covariance = known.log_covariance[static_cast<std::size_t>(b)];
    const auto at = [n](std::size_t tin, std::size_t of) { return static_cast<int>(tin + of * n); };
    for (std::size_t i = 0; i < n; ++i) {
      const TinGiven& t = given.shelf[i];
      if (!t.absorption_log_sd.empty()) {
        const double sd = t.absorption_log_sd[static_cast<std::size_t>(b)];
        covariance(at(i, 0), at(i, 0)) = sd * sd;
      }
      if (!t.scattering_log_sd.empty()) {
        const double sd = t.scattering_log_sd[static_cast<std::size_t>(b)];
        covariance(at(i, 1), at(i, 1)) = sd * sd;
      }
      if (!is_read(t, own)) continue;
      for (std::size_t j = 0; j < n; ++j) {
        if (!is_read(given.shelf[j], own)) continue;
        for (const std::size_t k : {0u, 1u})
          for (const std::size_t l : {0u, 1u})
            covariance(at(i, k), at(j, l)) =
                own->log_covariance(b, own->place(t.material), k, own->place(given.shelf[j].material), l);
      }
    }
  }
  if (own) known.misfit = std::max(known.misfit, own->set.misfit);
  return known;
}

// The coats above as one clear. Errors: a coat that scatters.
Result<ClearAbove> clear_of(const std::vector<CoatGiven>& given, double ahead_lx_s, const Asking& asking,
                            const Palette& palette) {
  const auto day = coats_found(given, "over", asking.library, palette);
  const auto aged = coats_found(given, "over", asking.library, palette, ahead_lx_s);
  if (!day) return day.errors();
  if (!aged) return aged.errors();
  ClearAbove clear;
  clear.thickness_m = 1, clear.yellowing_as_aged = 1;  // K below is already times its own coat's thickness
  for (std::size_t i = 0; i < day->size(); ++i)
    for (int b = 0; b < bands; ++b) {
      const ColumnCoat& c = (*day)[i];
      if (c.optics.scattering_per_m[b] > 0)
        return Error{"a coat above scatters light, so it is no clear",
                     {"", 0, 0, fmt::format("over[{}]", i + 1)},
                     "clears and toners",
                     "match the coat that is seen"};
      clear.absorption_per_m[b] +=
          c.thickness_m * (c.optics.absorption_per_m[b] + c.yellowing * c.optics.yellowing_per_m[b]);
      clear.yellowing_per_m[b] += c.thickness_m * ((*aged)[i].yellowing - c.yellowing) * c.optics.yellowing_per_m[b];
    }
  return clear;
}

}  // namespace

Result<Reflectance> read_surface(const SurfaceGiven& given, const std::string& key, const MixGiven& mix,
                                 const Asking& asking, std::vector<Note>& notes) {
  const Palette palette(asking.library);
  const auto found = surface_found(given, key, asking, palette, geometry_of(mix));
  if (!found) return found.errors();
  add_notes(notes, found->notes);
  return found->seen;
}

Result<Mix> mix_of(const MixGiven& given, const Asking& asking) {
  const Palette palette(asking.library);
  Mix mix;
  std::vector<Error> faults;
  const auto add = [&](const std::vector<Error>& more) { faults.insert(faults.end(), more.begin(), more.end()); };
  mix.laying.face = air_face(usual_index, Geometry{}.illumination_deg);
  std::optional<OwnColorants> own;
  if (needs_readings(given)) {
    auto read = own_colorants(given, mix.laying.face, asking);
    if (!read) return read.errors();
    own = std::move(*read);
    add_notes(mix.notes, own->notes);
  }
  for (std::size_t i = 0; i < given.shelf.size(); ++i) {
    const auto tin = tin_of(given.shelf[i], i, asking, palette, own ? &*own : nullptr);
    if (tin)
      mix.shelf.push_back(tin->tin), mix.density_kg_m3.push_back(tin->density_kg_m3);
    else
      add(tin.errors());
  }
  if (faults.empty()) distinguish(mix.shelf, given.shelf, mix.notes);
  add_notes(mix.notes, drawdown_notes(given, asking.library, palette));
  const auto target = read_surface(given.target, "target", given, asking, mix.notes);
  const auto ground = read_surface(given.ground, "ground", given, asking, mix.notes);
  if (!target) add(target.errors());
  if (!ground) add(ground.errors());
  if (!given.lamp_weights.empty() && given.lamp_weights.size() != given.lamps.size())
    faults.push_back({fmt::format("{} weights for {} lamps", given.lamp_weights.size(), given.lamps.size()),
                      {"", 0, 0, "lamp_weights"},
                      "one a lamp",
                      ""});
  mix.laying.film_m = given.film_m, mix.laying.film_log_sd = given.film_sd_fraction, mix.laying.coat_m = given.coat_m;
  mix.laying.ground_is_wood = given.ground.coats.empty() && (!given.ground.wood.empty() || !given.ground.coated);
  if (!given.over.empty()) {
    const auto clear = clear_of(given.over, given.light_ahead_lx_s, asking, palette);
    if (clear)
      mix.laying.clear = *clear;
    else
      add(clear.errors());
  }
  if (!faults.empty()) return faults;
  mix.known = knowledge_of(given, own ? &*own : nullptr);
  mix.aim.reflectance = *target, mix.laying.ground = *ground;
  mix.aim.specular_share = given.specular_included ? 1 : 0;
  for (std::size_t l = 0; l < given.lamps.size(); ++l)
    mix.aim.lamps.push_back({given.lamps[l], given.lamp_weights.empty() ? 1 : given.lamp_weights[l]});
  mix.aim.observer = given.observer, mix.aim.closeness = given.closeness, mix.aim.when = given.when;
  return mix;
}

std::vector<PourResult> result_of(const std::vector<Pour>& pours, const MixGiven& given, const Mix& mix) {
  std::vector<PourResult> list;
  for (const Pour& p : pours)
    list.push_back({given.shelf[p.tin].material, mix.shelf[p.tin].name, given.shelf[p.tin].batch, p.mass_kg, p.exact_kg,
                    p.running_kg});
  return list;
}

std::string format_text(const std::vector<PourResult>& pours, BenchUnits units) {
  // A scale shows grams wherever it stands; the other units only say the whole.
  std::string text;
  for (std::size_t i = 0; i < pours.size(); ++i)
    text += fmt::format("  {}. {:9.2f} g  {}{}   (the scale shows {:.2f} g{})\n", i + 1, 1e3 * pours[i].mass_kg,
                        pours[i].name, pours[i].batch.empty() ? "" : ", " + pours[i].batch, 1e3 * pours[i].running_kg,
                        units == BenchUnits::us ? ", " + show(pours[i].running_kg, Quantity::mass, units) : "");
  return text;
}

std::vector<ViewResult> result_of(const std::vector<ViewDifference>& views) {
  std::vector<ViewResult> list;
  for (const ViewDifference& d : views) list.push_back({d.view.lamp, d.view.aged, d.aim, d.lab, d.delta_e});
  return list;
}

std::string format_text(const std::vector<ViewResult>& views) {
  std::string text;
  for (const ViewResult& d : views)
    text += fmt::format("  {}{} {:.2f}", words(static_cast<const Lamp*>(nullptr))[static_cast<std::size_t>(d.lamp)],
                        d.aged ? " aged" : "", d.delta_e);
  return text + "\n";
}

void add_cautions(const std::vector<PourResult>& pours, const Asking& asking, std::vector<Note>& notes) {
  struct Caution {
    std::string text;
    std::vector<std::string> names, ids;
  };
  std::vector<Caution> cautions;  // what several tins have in common is said once
  for (const PourResult& pour : pours) {
    const Material* material = asking.library.find(pour.material);
    if (!material) continue;
    for (const std::string& text : material->cautions) {
      auto same = std::find_if(cautions.begin(), cautions.end(), [&](const Caution& c) { return c.text == text; });
      if (same == cautions.end()) same = cautions.insert(cautions.end(), {text, {}, {}});
      if (std::find(same->ids.begin(), same->ids.end(), material->id) != same->ids.end()) continue;
      same->names.push_back(material->name), same->ids.push_back(material->id);
    }
  }
  // What holds of one tin alone comes before what holds of all.
  std::stable_sort(cautions.begin(), cautions.end(),
                   [](const Caution& a, const Caution& b) { return a.ids.size() < b.ids.size(); });
  for (const Caution& c : cautions)
    add_notes(notes, {{Severity::caution, fmt::format("{}: {}", fmt::join(c.names, "; "), c.text),
                       fmt::format("{}", fmt::join(c.ids, ", "))}});
}

std::string dangers_of(const std::vector<Note>& notes) {
  std::string text;
  for (const Note& note : notes)
    if (note.severity == Severity::danger) text += "DANGER  " + note.text + "\n";
  return text;
}

}  // namespace witnessline::app

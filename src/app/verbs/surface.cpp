#include "app/verbs/surface.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "match/reading.h"
#include "match/setting.h"
#include "optics/face.h"

namespace witnessline::app {

namespace {

Error unknown_material(const std::string& id, const std::string& key, const Library& library) {
  std::vector<std::string> known;
  for (const Material& m : library.all()) known.push_back(m.id);
  return {
      fmt::format("'{}' is no material of the library", id), {"", 0, 0, key}, "a material id", did_you_mean(id, known)};
}

double fraction_of(const Material& material, Property property) {
  const Datum* datum = material.find(property);
  return datum ? datum->value : 0;
}

constexpr double usual_index = 1.5;  // ESTIMATE: lacquers, varnishes and oils lie between 1.46 and 1.57

// Specular as the request's other readings have it.
Reflectance with_specular(const Reading& read, bool coated, const Geometry& geometry, std::vector<Note>& notes) {
  const char* asked = geometry.specular_included ? "included" : "excluded";
  if (!coated) return read.reflectance;  // bare wood scatters its own face's reflection: every instrument sees it
  if (read.specular == Specular::not_stated) {
    notes.push_back({Severity::caution,
                     fmt::format("'{}' does not say whether specular is in it; it is taken for {}.", read.name, asked),
                     read.name});
    return read.reflectance;
  }
  const bool included = read.specular == Specular::included;
  if (included == geometry.specular_included) return read.reflectance;
  constexpr double sphere_illumination_deg = 8;  // d:8, the geometry that can include it
  const AirFace there = air_face(usual_index, included ? sphere_illumination_deg : geometry.illumination_deg);
  const AirFace here = air_face(usual_index, geometry.illumination_deg);
  Reflectance r;
  bool black = false;
  for (int b = 0; b < bands; ++b) {
    const double body = inside_of(read.reflectance[b], there, included ? 1 : 0);
    black = black || body < 0;
    r[b] = seen_outside(std::clamp(body, 0.0, 1.0), here, geometry.specular_included ? 1 : 0);
  }
  notes.push_back({Severity::information,
                   fmt::format("'{}' was read with specular {}; a smooth face of index 1.5 was {}, so that it is one "
                               "with specular {}.{}",
                               read.name, included ? "included" : "excluded", included ? "taken off" : "added", asked,
                               black ? " Where it reads below what such a face reflects it is taken as black: a matt "
                                       "surface?"
                                     : ""),
                   read.name});
  return r;
}

Result<Reflectance> reading_of_file(const SurfaceGiven& given, const std::string& key, const Asking& asking,
                                    const Geometry& geometry, std::vector<Note>& notes) {
  const auto at_key = [&](std::vector<Error> faults) {
    for (Error& e : faults)
      if (e.where.file.empty() && e.where.key.empty()) e.where.key = key + ".readings";
    return faults;
  };
  const auto text = asking.file(given.readings);
  if (!text) return at_key(text.errors());
  const auto all = read_readings(*text, given.readings);
  if (!all) return at_key(all.errors());
  std::vector<Reading> of_it;
  std::vector<std::string> names;
  for (const Reading& r : *all) {
    if (given.reading.empty() || r.name == given.reading) of_it.push_back(r);
    if (std::find(names.begin(), names.end(), r.name) == names.end()) names.push_back(r.name);
  }
  const std::string near = nearest_word(given.reading, names);
  if (of_it.empty() || (given.reading.empty() && names.size() > 1))
    return Error{of_it.empty() ? fmt::format("nothing called '{}' was read in {}", given.reading, given.readings)
                               : fmt::format("{} things were read in {}", names.size(), given.readings),
                 {"", 0, 0, key + ".reading"},
                 fmt::format("{}", fmt::join(names, ", ")),
                 near.empty() ? "name one" : fmt::format("did you mean '{}'?", near)};
  const auto mean = averaged(of_it);
  if (!mean) return at_key(mean.errors());
  add_notes(notes, mean->notes);
  return with_specular(*mean, given.coated, geometry, notes);
}

Result<Reflectance> spectrum_given(const SurfaceGiven& given, const std::string& key, const Asking& asking,
                                   const Geometry& geometry, std::vector<Note>& notes) {
  if (!given.readings.empty()) return reading_of_file(given, key, asking, geometry, notes);
  const std::size_t n = given.reflectance.size();
  if (n == bands) {
    Reflectance r;
    std::copy(given.reflectance.begin(), given.reflectance.end(), r.at.begin());
    return r;
  }
  if (n == 31) return widened(std::span<const double, 31>(given.reflectance.data(), 31));
  if (n != 0)
    return Error{fmt::format("{} factors", n),
                 {"", 0, 0, key + ".reflectance"},
                 "36 from 380 to 730 nm, or 31 from 400 to 700 nm, by 10",
                 "export the reading by 10 nm"};
  if (given.lab.size() != 3)
    return Error{fmt::format("{} numbers", given.lab.size()), {"", 0, 0, key + ".lab"}, "L*, a* and b*", ""};
  const auto read = recovered_from_lab(key, {{given.lab[0], given.lab[1], given.lab[2]}, given.lamp, given.observer},
                                       {"", 0, 0, key + ".lab"});
  if (!read) return read.errors();
  add_notes(notes, read->notes);
  return read->reflectance;
}

}  // namespace

void add_notes(std::vector<Note>& notes, const std::vector<Note>& more) {
  for (const Note& n : more) {
    const auto same = std::find_if(notes.begin(), notes.end(),
                                   [&](const Note& o) { return o.text == n.text && o.severity == n.severity; });
    if (same == notes.end())
      notes.push_back(n);
    else if (fmt::format(", {},", same->about).find(fmt::format(", {},", n.about)) == std::string::npos)
      same->about += ", " + n.about;
  }
}

Result<std::vector<ColumnCoat>> coats_found(const std::vector<CoatGiven>& given, const std::string& key,
                                            const Library& library, const Palette& palette, double more_light_lx_s) {
  std::vector<Error> faults;
  std::vector<ColumnCoat> coats;
  for (std::size_t i = 0; i < given.size(); ++i) {
    const CoatGiven& c = given[i];
    const std::string at = fmt::format("{}[{}]", key, i + 1);
    Mixture mixture{"", "", c.parts};
    if (c.material.empty() == c.parts.empty()) {
      faults.push_back({"a coat needs a material or parts, one of the two", {"", 0, 0, at}, "", ""});
      continue;
    }
    if (!c.material.empty()) mixture.parts = {{c.material, 1.0}};
    double sum = 0;
    const std::size_t before = faults.size();
    for (const Part& p : mixture.parts) {
      if (!library.find(p.material)) faults.push_back(unknown_material(p.material, at, library));
      sum += p.mass_fraction;
    }
    if (std::abs(sum - 1) > 1e-6)
      faults.push_back({fmt::format("the parts sum to {:g}", sum), {"", 0, 0, at + ".parts"}, "1", ""});
    if (faults.size() == before)
      coats.push_back({c.material.empty() ? palette.of(mixture) : palette.of(c.material), c.thickness_m, 0,
                       yellowing(c.light_lx_s + more_light_lx_s)});
  }
  if (!faults.empty()) return faults;
  return coats;
}

Result<SurfaceFound> surface_found(const SurfaceGiven& given, const std::string& key, const Asking& asking,
                                   const Palette& palette, const Geometry& geometry, double more_light_lx_s) {
  SurfaceFound found;
  const Library& library = asking.library;
  found.read = !given.readings.empty() || !given.reflectance.empty() || !given.lab.empty();
  if (!given.readings.empty() && !(given.reflectance.empty() && given.lab.empty()))
    return Error{"a file of readings is named beside a reading", {"", 0, 0, key}, "one of the two", ""};
  if (found.read == !given.wood.empty())
    return Error{found.read ? "both a reading and a wood are given" : "neither a reading nor a wood is given",
                 {"", 0, 0, key},
                 "readings, or reflectance, or lab, or wood (with its coats)",
                 "keep the reading where there is one"};
  const auto coats = coats_found(given.coats, key + ".coats", library, palette, more_light_lx_s);
  if (!coats) return coats.errors();
  if (found.read) {
    const auto spectrum = spectrum_given(given, key, asking, geometry, found.notes);
    if (!spectrum) return spectrum.errors();
    if (const std::string why = why_no_reflectance(*spectrum); !why.empty())
      return Error{why,
                   {"", 0, 0, key},
                   "a reflectance from 0 to 1",
                   "per cent? divide by 100; else set the instrument on its clean white tile and read again"};
    note_above_white(found.notes, *spectrum, key);
    found.ground = ground_of_reading(*spectrum, given.coated, usual_index, geometry);
  } else {
    const Material* wood = library.find(given.wood);
    if (!wood) return unknown_material(given.wood, key + ".wood", library);
    if (wood->role != Role::wood)
      return Error{fmt::format("'{}' is not a wood", given.wood), {"", 0, 0, key + ".wood"}, "a wood's id", ""};
    found.ground.bare = palette.bare(given.wood);
    if (wood->kind == Kind::estimate)
      found.notes.push_back(
          {Severity::information,
           fmt::format("The colour of bare {} is an ESTIMATE; one board differs from the next by 3 to 6 "
                       "Delta E. A reading of this piece replaces it.",
                       wood->name),
           key});
  }
  found.ground.coats.insert(found.ground.coats.end(), coats->begin(), coats->end());
  found.seen = reflectance(found.ground.coats, found.ground.bare, {}, geometry);
  return found;
}

Result<std::vector<Toner>> toners_found(const std::vector<TonerGiven>& given, const Library& library,
                                        const Palette& palette) {
  std::vector<Error> faults;
  std::vector<Toner> toners;
  for (std::size_t i = 0; i < given.size(); ++i) {
    const std::string key = fmt::format("toners[{}].material", i + 1);
    const Material* m = library.find(given[i].material);
    if (!m) {
      faults.push_back(unknown_material(given[i].material, key, library));
      continue;
    }
    if (!m->absorption_per_m && !m->drawdown) {
      faults.push_back({fmt::format("nothing is known of what '{}' absorbs", m->id),
                        {"", 0, 0, key},
                        "a toner, dye or colour",
                        "draw it down and characterise it"});
      continue;
    }
    const bool measured = m->kind == Kind::measured;
    const double sd = given[i].strength_sd > 0 ? given[i].strength_sd : measured ? 0.1 : 0.25;
    toners.push_back(
        {m->id, palette.of(m->id), fraction_of(*m, Property::density), fraction_of(*m, Property::volume_solids), sd});
  }
  if (!faults.empty()) return faults;
  return toners;
}

Result<Carrier> carrier_found(const std::string& material, const std::string& key, const Library& library,
                              const Palette& palette) {
  const Material* m = library.find(material);
  if (!m) return unknown_material(material, key, library);
  if (!m->find(Property::density) || !m->find(Property::volume_solids))
    return Error{
        fmt::format("density or volume solids of '{}' is not known", material), {"", 0, 0, key}, "a clear", ""};
  return Carrier{m->id, palette.of(m->id), fraction_of(*m, Property::density),
                 fraction_of(*m, Property::volume_solids)};
}

Figure delta_e_figure(std::string name, double value, double low, double high, std::vector<Input> inputs) {
  Figure f;
  f.name = std::move(name), f.value = value, f.band = {low, high};
  f.quantity = Quantity::colour_difference;
  f.law = "films over films behind an air face (kubelka1954, saunderson1942); CIEDE2000, mean over the lamps";
  f.source = "sharma2005";
  f.inputs = std::move(inputs);
  f.kind = Kind::estimate;
  for (const Input& i : f.inputs)
    if (i.kind != Kind::estimate) f.kind = Kind::computed;
  for (const Input& i : f.inputs)
    if (i.kind == Kind::estimate) f.kind = Kind::estimate;
  return f;
}

}  // namespace witnessline::app

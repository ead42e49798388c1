#include <algorithm>
#include <cmath>

#include "base/result.h"
#include "optics/face.h"
#include "optics/kubelka_munk.h"
#include "optics/reflectance.h"

namespace witnessline::optics {
namespace {

constexpr double usual_index = 1.5;                  // ESTIMATE: lacquers, varnishes and oils lie between 1.46 and 1.57
constexpr double usual_dry_volume_per_kg = 0.25e-3;  // ESTIMATE: a quarter litre of dry film from a kilogram of liquid
constexpr double unknown_wood = 0.4;                 // ESTIMATE: pale to middling wood
constexpr double drawdown_illumination_deg = 8;      // integrating sphere, as the usual instrument for drawdowns

std::optional<double> number(const Material& material, Property property) {
  const Datum* datum = material.find(property);
  if (!datum || !std::isfinite(datum->value) || datum->value <= 0) return std::nullopt;
  return datum->value;
}

double dry_volume_per_kg(const Material& material, std::vector<Note>& notes) {
  if (material.role == Role::solvent || material.role == Role::cleaner || material.role == Role::compound) return 0;
  const auto density = number(material, Property::density), solids = number(material, Property::volume_solids);
  if (density && solids) return *solids / *density;
  if (const auto dry = number(material, Property::dry_density)) return 1 / *dry;
  notes.push_back({Severity::information,
                   "Neither density and volume solids nor dry density of " + material.name +
                       " is known. Mixtures assume that a kilogram dries to a quarter litre of film (ESTIMATE).",
                   material.id});
  return usual_dry_volume_per_kg;
}

void add_drawdown(const Material& material, const Drawdown& drawdown, CoatOptics& coat, std::vector<Note>& notes) {
  const AirFace face = air_face(coat.refractive_index, drawdown_illumination_deg);
  const double share = drawdown.specular_included ? 1 : 0;
  const auto inside = [&](double seen) { return std::clamp(inside_of(seen, face, share), 1e-4, 0.9999); };
  int clamped = 0;
  for (int band = 0; band < bands; ++band) {
    const double dark = inside(drawdown.card_black[band]), light = inside(drawdown.card_white[band]);
    const InverseFilm film = film_from_two_grounds(inside(drawdown.over_black[band]), inside(drawdown.over_white[band]),
                                                   std::min(dark, light - 1e-3), light);
    coat.absorption_per_m[band] = film.depth.absorption / drawdown.thickness_m;
    coat.scattering_per_m[band] = film.depth.scattering / drawdown.thickness_m;
    clamped += film.clamped;
  }
  if (drawdown.thickness_assumed)
    notes.push_back({Severity::information,
                     "The thickness of the drawdown of " + material.name + " was not recorded; " +
                         std::to_string(std::lround(drawdown.thickness_m * 1e6)) +
                         " um is assumed. Its hiding depends on that.",
                     material.id});
  if (clamped > 0)
    notes.push_back({Severity::information,
                     std::string(clamped == bands ? "At all wavelengths" : "At some wavelengths") +
                         " the drawdown of " + material.name +
                         " hides its ground fully or reads like a clear film; the nearest possible film is "
                         "used there.",
                     material.id});
}

}  // namespace

Palette::Palette(const Library& library) {
  for (const Material& material : library.all()) {
    Entry made;
    made.bare = flat_reflectance(unknown_wood);
    made.coat.refractive_index = number(material, Property::refractive_index).value_or(usual_index);
    if (material.role == Role::wood) {
      if (material.reflectance)
        made.bare = *material.reflectance;
      else
        notes_.push_back({Severity::information, "No reflectance of " + material.name + " is known; drawn as mid grey.",
                          material.id});
    } else {
      if (material.reflectance) made.bare = *material.reflectance;
      made.dry_volume_per_kg = dry_volume_per_kg(material, notes_);
      if (material.drawdown && material.drawdown->thickness_m > 0)
        add_drawdown(material, *material.drawdown, made.coat, notes_);
      else if (material.role == Role::colorant && !material.absorption_per_m)
        notes_.push_back({Severity::caution,
                          "No drawdown and no absorption of " + material.name + " is known; it is drawn as a clear.",
                          material.id});
      if (material.absorption_per_m)
        for (int band = 0; band < bands; ++band)
          made.coat.absorption_per_m[band] += std::max(0.0, (*material.absorption_per_m)[band]);
      if (material.yellowing_per_m) made.coat.yellowing_per_m = *material.yellowing_per_m;
    }
    entries_.emplace(material.id, std::move(made));
  }
}

const Palette::Entry& Palette::entry(const std::string& material_id) const {
  const auto found = entries_.find(material_id);
  expects(found != entries_.end(), "a material of the library the palette was made from");
  return found->second;
}

const CoatOptics& Palette::of(const std::string& material_id) const { return entry(material_id).coat; }
const Reflectance& Palette::bare(const std::string& material_id) const { return entry(material_id).bare; }

CoatOptics Palette::of(const Mixture& mixture) const {
  double volume = 0;
  for (const Part& part : mixture.parts) volume += part.mass_fraction * entry(part.material).dry_volume_per_kg;
  CoatOptics mixed;
  if (volume <= 0) return mixed;
  mixed.refractive_index = 0;
  for (const Part& part : mixture.parts) {
    const Entry& one = entry(part.material);
    const double share = part.mass_fraction * one.dry_volume_per_kg / volume;
    for (int band = 0; band < bands; ++band) {
      mixed.absorption_per_m[band] += share * one.coat.absorption_per_m[band];
      mixed.scattering_per_m[band] += share * one.coat.scattering_per_m[band];
      mixed.yellowing_per_m[band] += share * one.coat.yellowing_per_m[band];
    }
    mixed.refractive_index += share * one.coat.refractive_index;
  }
  return mixed;
}

}  // namespace witnessline::optics

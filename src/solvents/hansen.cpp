#include "solvents/hansen.h"

#include <cmath>

namespace witnessline::solvents {

std::optional<Hansen> hansen_of(const Material& material) {
  const Datum *d = material.find(Property::hansen_d), *p = material.find(Property::hansen_p),
              *h = material.find(Property::hansen_h);
  if (!d || !p || !h) return std::nullopt;
  return Hansen{d->value, p->value, h->value};
}

double hansen_distance(const Hansen& one, const Hansen& other) {
  return std::sqrt(4 * (one.d - other.d) * (one.d - other.d) + (one.p - other.p) * (one.p - other.p) +
                   (one.h - other.h) * (one.h - other.h));
}

std::optional<double> relative_energy_difference(const Material& film_former, const Hansen& solvent) {
  const std::optional<Hansen> centre = hansen_of(film_former);
  const Datum* radius = film_former.find(Property::hansen_radius);
  if (!centre || !radius) return std::nullopt;
  return hansen_distance(*centre, solvent) / radius->value;
}

Hansen hansen_of_blend(std::span<const HansenPart> parts) {
  Hansen blend;
  for (const HansenPart& part : parts) {
    blend.d += part.volume_fraction * part.parameters.d;
    blend.p += part.volume_fraction * part.parameters.p;
    blend.h += part.volume_fraction * part.parameters.h;
  }
  return blend;
}

}  // namespace witnessline::solvents

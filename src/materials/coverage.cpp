#include "materials/coverage.h"

namespace witnessline::materials {

double dry_film_m(double wet_film_m, double volume_solids_fraction, double thinner_per_part_ratio) {
  return wet_film_m * volume_solids_fraction / (1 + thinner_per_part_ratio);
}

double wet_film_m(double dry_film_m, double volume_solids_fraction, double thinner_per_part_ratio) {
  return dry_film_m * (1 + thinner_per_part_ratio) / volume_solids_fraction;
}

double coverage_m2_m3(double dry_film_m, double volume_solids_fraction, double landing_fraction) {
  return volume_solids_fraction * landing_fraction / dry_film_m;
}

double volume_solids_fraction(double mass_solids_fraction, double solids_density_kg_m3, double volatile_density_kg_m3) {
  const double solids = mass_solids_fraction / solids_density_kg_m3;
  return solids / (solids + (1 - mass_solids_fraction) / volatile_density_kg_m3);
}

}  // namespace witnessline::materials

// The table of properties: how each is written in a material file, what it means and what it may be.
#pragma once

#include <limits>
#include <span>
#include <string_view>

#include "base/units.h"
#include "materials/material.h"

namespace witnessline::materials {

/// Which of several published values of one property is used.
enum class Ruling { first, lowest };

struct PropertyRow {
  Property property;
  std::string_view key;  ///< as in files, unit as suffix: "density_kg_m3"; plain numbers have none
  Unit unit;             ///< of the key
  std::string_view si;   ///< symbol of the unit the datum is held in
  double low, high;      ///< what a sound value lies between [unit of the key]
  std::string_view doc;
  Ruling ruling = Ruling::first;  ///< safety figures: the lowest rules
};

std::span<const PropertyRow> property_table();
const PropertyRow& row_of(Property);

/// Key without its unit: "density" of "density_kg_m3".
std::string_view stem(const PropertyRow&);

/// Properties a material of this role must have, so that nothing downstream has to guess.
std::span<const Property> required_of(Role);

}  // namespace witnessline::materials

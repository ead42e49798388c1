// What answers of verbs are made of beside Figure and Note, so that one page shows every verb's answer.
#pragma once

#include <string>
#include <vector>

#include "colour/colour.h"

namespace witnessline::app {

inline constexpr Unit mL_min{"mL/min", 1e-6 / 60.0};  ///< what leaves a gun

/// A colour under one lamp, to be seen.
struct Swatch {
  std::string name;
  Lamp lamp = Lamp::D65;
  Lab lab;
  Rgb srgb;
};
template <class V>
void describe(V& v, Swatch& s) {
  v(member("name", "what it shows"), s.name);
  v(member("lamp", "lamp it is seen under"), s.lamp);
  v(member("lab", "L*a*b*"), s.lab);
  v(member("srgb", "for a screen, adapted to D65"), s.srgb);
}
Swatch swatch_of(std::string name, const Reflectance&, Lamp, Observer = Observer::deg10);
/// Under every lamp readings are given for.
std::vector<Swatch> swatches_of(const std::string& name, const Reflectance&, Observer = Observer::deg10);

/// One line of a chart. `x` and `y` are in the bench units their axes name; as many of one as of the other.
struct Curve {
  std::string name;
  std::string x_is, y_is;  ///< what an axis shows, with its unit: "time [h]"; curves that share both share a chart
  std::vector<double> x, y;
};
template <class V>
void describe(V& v, Curve& c) {
  v(member("name", "what the line shows"), c.name);
  v(member("x_is", "what runs along, with its unit"), c.x_is);
  v(member("y_is", "what runs up, with its unit"), c.y_is);
  v(member("x", "along"), c.x);
  v(member("y", "up"), c.y);
}
/// Reflectance over wavelength.
Curve spectrum_curve(std::string name, const Reflectance&);

}  // namespace witnessline::app

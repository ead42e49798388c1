// Surfaces and clears as requests name them: a reading, a Lab, or a wood and the coats on it.
#pragma once

#include <string>
#include <vector>

#include "app/verb.h"
#include "job/job.h"
#include "match/shade.h"

namespace witnessline::app {

/// Grams to a litre; the same number as kg/m3.
inline constexpr Unit grams_per_litre{"g/L", 1.0};

/// A coat that lies there or will.
struct CoatGiven {
  std::string material;
  std::vector<Part> parts;
  double thickness_m = 0;
  double light_lx_s = 0;
};
template <class V>
void describe(V& v, CoatGiven& c) {
  v(member("material", "material id; or parts"), c.material);
  v(member("parts", "materials and their share of the mass, where it is a mixture"), c.parts);
  v(member("thickness_um", "dry film", unit::um).within(0.1, 2000).must(), c.thickness_m);
  v(member("light_Mlx_h", "light it has had since it was laid", unit::Mlx_h).within(0, 5000), c.light_lx_s);
}

/// A surface: by a reading, by its colour, or by what it is made of.
struct SurfaceGiven {
  std::string readings, reading;
  std::vector<double> reflectance, lab;
  Lamp lamp = Lamp::D65;
  Observer observer = Observer::deg10;
  bool coated = true;
  std::string wood;
  std::vector<CoatGiven> coats;
};
template <class V>
void describe(V& v, SurfaceGiven& s) {
  v(member("readings", "an instrument's file it was read into: CSV, CGATS.17 or CxF3"), s.readings);
  v(member("reading", "which of them, by its name; readings of one name are averaged"), s.reading);
  v(member("reflectance", "as read: 36 factors from 380 nm or 31 from 400 nm, by 10").within(0, 1.5), s.reflectance);
  v(member("lab", "L*, a*, b* where no spectrum was read; a smooth one is recovered"), s.lab);
  v(member("lamp", "of the Lab"), s.lamp);
  v(member("observer", "of the Lab"), s.observer);
  v(member("coated", "the reading is of a glossy surface; false: bare wood"), s.coated);
  v(member("wood", "material id of the wood, where the surface is worked out instead of read"), s.wood);
  v(member("coats", "on the wood, wood side first"), s.coats);
}

/// Adds the notes that are not there yet; of one text about two things there is one note about both.
void add_notes(std::vector<Note>& notes, const std::vector<Note>& more);

/// What a request's surface comes to.
struct SurfaceFound {
  Reflectance seen;   ///< as it would be read
  Ground ground;      ///< as new films find it
  bool read = false;  ///< known by a reading: it cannot be aged
  std::vector<Note> notes;
};

/// Errors: keys below `key`.
Result<SurfaceFound> surface_found(const SurfaceGiven&, const std::string& key, const Asking&, const Palette&,
                                   const Geometry&, double more_light_lx_s = 0);
Result<std::vector<ColumnCoat>> coats_found(const std::vector<CoatGiven>&, const std::string& key, const Library&,
                                            const Palette&, double more_light_lx_s = 0);

/// A toner of the request.
struct TonerGiven {
  std::string material;
  double strength_sd = 0;
};
template <class V>
void describe(V& v, TonerGiven& t) {
  v(member("material", "material id").must(), t.material);
  v(member("strength_sd_pct", "how well its strength is known; 0: 10 where measured, else 25", unit::pct)
        .within(0, 200),
    t.strength_sd);
}
Result<std::vector<Toner>> toners_found(const std::vector<TonerGiven>&, const Library&, const Palette&);
Result<Carrier> carrier_found(const std::string& material, const std::string& key, const Library&, const Palette&);

/// Delta E 2000 with its band and where it comes from.
Figure delta_e_figure(std::string name, double value, double low, double high, std::vector<Input>);

/// Under each lamp.
struct LampDifference {
  Lamp lamp = Lamp::D65;
  double delta_e = 0;
};
template <class V>
void describe(V& v, LampDifference& d) {
  v(member("lamp", "lamp"), d.lamp);
  v(member("delta_e", "Delta E 2000"), d.delta_e);
}

}  // namespace witnessline::app

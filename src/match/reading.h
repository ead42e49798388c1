// Readings of instruments: reflectance on the project's grid, with how it was measured.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "colour/colour.h"

namespace witnessline::match {

/// Measurement modes of ISO 13655: the light that excites the sample, or a polariser (M3).
enum class MeasurementMode { not_stated, M0, M1, M2, M3 };
constexpr auto words(const MeasurementMode*) { return std::array{"not_said", "M0", "M1", "M2", "M3"}; }

/// Whether the surface's mirror reflection is in the reading. A 45:0 instrument leaves it out by its geometry.
enum class Specular { not_stated, included, excluded };
constexpr auto words(const Specular*) { return std::array{"not_said", "included", "excluded"}; }

/// A Lab as an instrument or a photograph gave it.
struct LabReading {
  Lab lab;
  Lamp lamp = Lamp::D50;
  Observer observer = Observer::deg2;
};
template <class V>
void describe(V& v, LabReading& r) {
  v(member("lab", "L*, a*, b* as read"), r.lab);
  v(member("lamp", "lamp it was given under"), r.lamp);
  v(member("observer", "observer it was given for"), r.observer);
}

struct Reading {
  std::string name;
  Reflectance reflectance;
  Spectrum scatter;            ///< standard deviation over the repeats; zero for a single reading
  double scatter_delta_e = 0;  ///< mean Delta E 2000 of the repeats from their mean, D65, 10 degree
  int repeats = 1;
  MeasurementMode mode = MeasurementMode::not_stated;
  Specular specular = Specular::not_stated;
  std::string geometry;           ///< "45:0", "d:8", or the file's own words
  bool recovered = false;         ///< the reflectance is the smoothest with the Lab read, not measured
  std::optional<LabReading> lab;  ///< as the file gives it
  std::vector<Note> notes;
  Place where;
};

/// Readings of a file's text. CGATS.17 (ISO 28178), CxF3 (ISO 17972-1) or CSV by what it begins with. Reflectance comes
/// to the project's grid from 400 to 700 nm or more at 1 to 20 nm: finer bands by a triangle of 10 nm, coarser by cubic
/// interpolation, ends held (astm_e308). Lab alone becomes the smoothest reflectance that has it (burns2020).
/// Errors: all faults with file, line and key. What is mended is said in the reading's notes.
Result<std::vector<Reading>> read_readings(const std::string& text, const std::string& file);
Result<std::vector<Reading>> read_csv_readings(const std::string& text, const std::string& file);
Result<std::vector<Reading>> read_cgats(const std::string& text, const std::string& file);
Result<std::vector<Reading>> read_cxf(const std::string& text, const std::string& file);

/// The mean of readings of one thing, with their scatter. Errors: none given; specular included beside excluded; two
/// measurement modes. A reading far from the others is told, not dropped.
Result<Reading> averaged(const std::vector<Reading>&);

/// Readings of the same name averaged, in the order of their first.
Result<std::vector<Reading>> averaged_by_name(const std::vector<Reading>&);

/// The smoothest reflectance with this Lab, marked recovered. Errors: a Lab no surface can have.
Result<Reading> recovered_from_lab(const std::string& name, const LabReading&, const Place& = {});

}  // namespace witnessline::match

// A reading as a file holds it, before it comes to the project's grid; shared by the readers of each kind of file.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "match/reading.h"

namespace witnessline::match {

struct RawReading {
  std::string name;
  Place where;
  std::vector<double> wavelengths_nm, values;  ///< of one length; empty: no spectrum
  std::optional<Lab> lab;
  std::optional<Lamp> lamp;
  std::optional<Observer> observer;
  MeasurementMode mode = MeasurementMode::not_stated;
  Specular specular = Specular::not_stated;
  std::string geometry;
};

/// What the file says its reflectances are.
enum class ReflectanceScale { not_stated, fraction, per_cent };

struct RawFile {
  std::string file;
  std::vector<RawReading> readings;
  ReflectanceScale scale = ReflectanceScale::not_stated;
  std::vector<Note> notes;  ///< of the whole file; each reading carries them
};

/// Errors: those of every reading.
Result<std::vector<Reading>> on_the_grid(const RawFile&);

/// The wavelength [nm] a column is named for, as R400, nm400, SPECTRAL_400, SPECTRAL_NM_400; nothing: another column.
std::optional<double> wavelength_in_nm(const std::string& column);

// Words of files, whatever their case; nothing: not known.
std::optional<Lamp> lamp_in(const std::string&);
std::optional<Observer> observer_in(const std::string&);
std::optional<MeasurementMode> mode_in(const std::string&);
std::optional<Specular> specular_in(const std::string&);
/// Puts a geometry's words into `reading`, and what they say of the specular part: 45:0 leaves it out, di:8 holds it.
void set_geometry(RawReading& reading, const std::string& words);

/// A number as instruments write it, with a decimal point; a plus sign and spaces around are let be.
std::optional<double> reading_number(const std::string&);
std::string lower_case(std::string);

}  // namespace witnessline::match

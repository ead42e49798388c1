// Datum (a value that goes in) and Figure (a value that comes out), both with their band and how they are known.
#pragma once

#include <limits>
#include <string>
#include <vector>

#include "base/units.h"

namespace witnessline {

/// How a number is known.
enum class Kind { measured, computed, published, memory, estimate };

/// "measured", "computed", ...; files and screens use the same words.
const char* name_of(Kind);

/// Limits of the variable over which a datum or law holds; variable empty: not stated.
struct Validity {
  std::string variable;
  double low = -std::numeric_limits<double>::infinity();
  double high = std::numeric_limits<double>::infinity();
};

/// A published, measured or estimated value [SI] with its standard uncertainty and where it comes from.
struct Datum {
  double value = std::numeric_limits<double>::quiet_NaN();
  double sd = 0.0;   ///< standard uncertainty [same unit]
  std::string unit;  ///< SI unit symbol
  Kind kind = Kind::estimate;
  std::string source;   ///< key in data/sources.bib
  std::string locator;  ///< table, page or equation
  Validity valid;
};

/// A published work, shop reading or estimate that figures are taken from; one entry of data/sources.bib.
struct Source {
  std::string key;
  std::string title;
  std::string author;
  std::string year;
  std::string where;    ///< publisher, journal, standard number
  std::string licence;  ///< of the data file, where there is one
  std::string note;
};

/// Low and high end of a 95% band [same unit as the value].
struct Band {
  double low = std::numeric_limits<double>::quiet_NaN();
  double high = std::numeric_limits<double>::quiet_NaN();
};

/// One thing a figure was worked out from.
struct Input {
  std::string name;
  double value = std::numeric_limits<double>::quiet_NaN();  ///< [SI]
  Quantity quantity = Quantity::ratio;
  Kind kind = Kind::computed;
  std::string source;
};

/// A result that can be opened: value, band, law, inputs and how it is known.
struct Figure {
  std::string name;
  double value = std::numeric_limits<double>::quiet_NaN();  ///< [SI]
  Band band;
  Quantity quantity = Quantity::ratio;
  std::string law;     ///< formula in words or symbols
  std::string source;  ///< key in data/sources.bib for the law
  std::vector<Input> inputs;
  Kind kind = Kind::computed;  ///< the weakest kind among law and inputs
};

}  // namespace witnessline

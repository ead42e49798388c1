// Datum (a value that goes in) and Figure (a value that comes out), both with their band and how they are known.
#pragma once

#include <array>
#include <limits>
#include <string>
#include <vector>

#include "base/describe.h"
#include "base/units.h"

namespace witnessline::base {

/// How a number is known.
enum class Kind { measured, computed, published, memory, estimate };

constexpr auto words(const Kind*) { return std::array{"measured", "computed", "published", "memory", "estimate"}; }

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
template <class V>
void describe(V& v, Band& b) {
  v(member("low", "lower end, SI"), b.low);
  v(member("high", "upper end, SI"), b.high);
}

/// A number as a person reads it in one set of bench units.
struct Shown {
  double value = std::numeric_limits<double>::quiet_NaN();
  std::string unit;
  std::string text;  ///< "38 um"; "not known" where there is no value
  std::string band;  ///< "35 um to 41 um"; empty: no band
};
template <class V>
void describe(V& v, Shown& s) {
  v(member("value", "in the unit shown"), s.value);
  v(member("unit", "unit shown"), s.unit);
  v(member("text", "value and unit"), s.text);
  v(member("band", "band in words; empty: none"), s.band);
}
Shown shown(double si, const Band&, Quantity, BenchUnits);

/// One thing a figure was worked out from.
struct Input {
  std::string name;
  double value = std::numeric_limits<double>::quiet_NaN();  ///< [SI]
  Quantity quantity = Quantity::ratio;
  Kind kind = Kind::computed;
  std::string source;
};
template <class V>
void describe(V& v, Input& i) {
  Shown metric = shown(i.value, {}, i.quantity, BenchUnits::metric),
        us = shown(i.value, {}, i.quantity, BenchUnits::us);
  v(member("name", "what went in"), i.name);
  v(member("value", "SI"), i.value);
  v(member("quantity", "what kind of thing it measures"), i.quantity);
  v(member("kind", "how it is known"), i.kind);
  v(member("source", "key of its source"), i.source);
  v(member("metric", "as shown in metric bench units"), metric);
  v(member("us", "as shown in US bench units"), us);
}

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
template <class V>
void describe(V& v, Figure& f) {
  Shown metric = shown(f.value, f.band, f.quantity, BenchUnits::metric),
        us = shown(f.value, f.band, f.quantity, BenchUnits::us);
  v(member("name", "what it is"), f.name);
  v(member("value", "SI; null: not known"), f.value);
  v(member("band", "95% band, SI"), f.band);
  v(member("quantity", "what kind of thing it measures"), f.quantity);
  v(member("law", "formula in words or symbols"), f.law);
  v(member("source", "key of the law's source"), f.source);
  v(member("inputs", "what it was worked out from"), f.inputs);
  v(member("kind", "how it is known: the weakest among law and inputs"), f.kind);
  v(member("metric", "as shown in metric bench units"), metric);
  v(member("us", "as shown in US bench units"), us);
}

}  // namespace witnessline::base

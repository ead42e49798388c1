// Published values beside ours: rows in data/published/*.csv, and what this program makes of each.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <vector>

#include "app/app.h"
#include "base/result.h"
#include "materials/material.h"

namespace witnessline::app {

/// One number somebody else published. Header of the files:
/// quantity,subject,inputs,value,unit,tol,source,locator,how_known,tests,note
struct PublishedRow {
  std::string quantity;                       ///< which evaluator works it out
  std::string subject;                        ///< of what: a material id, a pair number, a chart patch
  std::map<std::string, std::string> inputs;  ///< "T_degC=25;RH_pct=50", unit in the key
  double value = 0;                           ///< as published [unit]
  std::string unit;
  double tolerance = 0;     ///< largest |ours - published| that agrees [unit]
  std::string source;       ///< key in data/sources.bib
  std::string locator;      ///< table, page, equation
  std::string how_known;    ///< read, computed or memory: how the published number reached this file
  bool tests_truth = true;  ///< false: the row only tests arithmetic
  std::string note;
  std::string file;
  int line = 0;
};

/// The inputs of a row as numbers, all of them present and finite.
class Numbers {
 public:
  explicit Numbers(std::map<std::string, double> of) : of_(std::move(of)) {}
  double operator[](const std::string& key) const { return of_.at(key); }

 private:
  std::map<std::string, double> of_;
};

/// Evaluators by quantity. Each returns our value in the row's own unit.
class Registry {
 public:
  using Evaluate = std::function<Result<double>(const PublishedRow&)>;

  explicit Registry(const Library& library) : library(library) {}
  /// For rows whose subject or inputs are words.
  void add(const std::string& quantity, Evaluate);
  /// For rows that need only numbers: `keys` are checked before the evaluator runs.
  void add(const std::string& quantity, std::vector<std::string> keys, std::function<double(const Numbers&)>);
  Result<double> evaluate(const PublishedRow&) const;

  const Library& library;

 private:
  std::map<std::string, Evaluate> evaluators_;
};

/// The numeric inputs `keys` of a row; an Error at the row for one that is missing or no number.
Result<Numbers> numbers(const PublishedRow&, const std::vector<std::string>& keys);

/// A property [SI] of the material a row's subject names.
Result<double> datum_of_subject(const Registry&, const PublishedRow&, Property);

/// Every row of every file in data_folder/published. Errors: all malformed rows, unknown sources, by file and line.
Result<std::vector<PublishedRow>> read_published(const std::string& data_folder, const Library&);

/// Reads the library and rows in `data_folder` and works every row out. A row that cannot be worked out (no evaluator,
/// a missing input) is a Check with its `fault` said; it is never within tolerance.
Result<std::vector<Check>> verify(const std::string& data_folder);

// Where the evaluators live; add yours here and to all_evaluators in published.cpp.
void add_wood_checks(Registry&);
void add_coating_checks(Registry&);
void add_solvent_checks(Registry&);
void add_drying_checks(Registry&);
void add_colour_checks(Registry&);
void add_photograph_checks(Registry&);
void add_film_checks(Registry&);
void add_safety_checks(Registry&);
void add_laying_checks(Registry&);
void add_date_checks(Registry&);
void add_cracking_checks(Registry&);
void add_contact_checks(Registry&);
void add_counted_checks(Registry&);

}  // namespace witnessline::app

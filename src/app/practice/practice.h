// What practice says beside what this program says: rows in data/practice/<topic>.csv, a predictor for each quantity.
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "materials/material.h"

namespace witnessline::app {

/// One claim of practice. Header of the files:
/// row,quantity,subject,inputs,claim,low,typical,high,unit,sources,how_known,conditions,why
struct PracticeRow {
  int row = 0;           ///< line of the practice collection it comes from; 0: common practice, no source
  std::string quantity;  ///< which predictor works it out; empty: nothing does, `why` gives the reason
  std::string subject;   ///< a material id, mostly
  std::map<std::string, std::string> inputs;  ///< "use=level;coats=10", unit in the key
  std::string claim;                          ///< in our words
  std::optional<double> low, typical, high;   ///< [unit]
  std::string unit;
  std::string sources;      ///< codes of the collection
  std::string how_known;    ///< read, practice or memory
  bool conditions = false;  ///< true: the unknowns were conditioned on it; false: kept apart to score them
  std::string why;          ///< why ours differs, or why nothing is computed
  std::string file;
  int line = 0;

  /// A word of `inputs`, or what is usual.
  std::string word(const std::string& key, const std::string& otherwise) const;
  /// A number of `inputs`, or what is usual. A text that is no number counts as missing.
  double number(const std::string& key, double otherwise) const;
  /// The most likely value and one standard deviation of its logarithm. Law: low to high hold 90 in 100; a lone figure
  /// has a factor of two either way (ESTIMATE); what is remembered counts twice as wide.
  double middle() const;
  double log_sd() const;
  /// Whether a value lies between low and high, each a tenth wider (a lone figure: within a factor of two).
  bool holds(double value) const;
};

/// A table's text. Errors: wrong header, cells that are no numbers, by line.
Result<std::vector<PracticeRow>> practice_rows(const std::string& text, const std::string& file);
/// Every table of data_folder/practice that holds claims.
Result<std::vector<PracticeRow>> read_practice(const std::string& data_folder);

/// Our value of a row, in the row's unit.
using Predictor = std::function<Result<double>(const PracticeRow&, const Library&)>;
/// Predictors by quantity. Add a module's own here: add_laying_predictors(), ... beside this one, in practice.cpp.
using Predictors = std::map<std::string, Predictor>;
Predictors all_predictors();
void add_drying_predictors(Predictors&);
void add_shop_predictors(Predictors&);  ///< shop.cpp: hours of the demo plans
void add_film_predictors(Predictors&);  ///< films.cpp: laying, papers, sheen, yellowing, checks, tins

/// "14 (5 to 42) days"
std::string window_text(const PracticeRow&);

/// Part of the page: each unknown with its width before and after practice, and which answers it moves.
std::string unknowns_section();

/// docs/models/practice.md: every row, what practice says and what the program says.
Result<std::string> practice_page(const std::string& data_folder);

}  // namespace witnessline::app

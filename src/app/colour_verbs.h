// The verbs on colour: characterise a set from a table of readings, predict what mixtures would read.
#pragma once

#include <string>
#include <vector>

#include "match/characterise.h"

namespace witnessline::app {

/// A colorant set worked out from a table. Errors: as read_prediction_table and characterise.
Result<ColorantSet> characterise_file(const std::string& readings_csv);

/// What one film would read over one ground.
struct PredictedFilm {
  std::string sample, surface;  ///< over_black or over_white
  double thickness_ratio = 1;
  Prediction prediction;
};

struct PredictedTable {
  std::vector<PredictedFilm> films;
  std::vector<Note> notes;
};

/// Where a film's thickness is taken from.
enum class ThicknessFrom { composition_alone, reading_over_black };

/// Characterises the colorants of `readings_csv` and predicts the films of `compositions_csv`, over every bare card it
/// names. Its over_black and over_white rows are not looked at, except over_black for `reading_over_black`; then only
/// what lies over white is answered. Errors: of either table; a colorant that no reading holds.
Result<PredictedTable> predict_files(const std::string& readings_csv, const std::string& compositions_csv,
                                     ThicknessFrom = ThicknessFrom::composition_alone);

std::string predicted_csv(const PredictedTable&);
std::string predicted_json(const PredictedTable&);
std::string colorant_set_csv(const ColorantSet&);
std::string colorant_set_json(const ColorantSet&);

}  // namespace witnessline::app

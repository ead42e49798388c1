// Tables of films read and films to predict (docs/formats.md, Colour prediction tables).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "match/characterise.h"
#include "match/paint_density.h"

namespace witnessline::match {

/// A film of a table: its composition, and what was read of it over the dark and the light ground.
struct TableFilm {
  FilmReading film;  ///< `over` holds the grounds that have both card and film
  std::optional<Reflectance> dark_card, light_card, over_dark, over_light;
};

struct PredictionTable {
  std::string file;
  std::vector<std::string> colorants;
  std::vector<TableFilm> films;
};

/// Columns: sample, surface, [thickness], one a colorant, R400..R700 or R380..R730 by 10. Rows of one sample name the
/// same composition by mass, which becomes shares by volume where the pigments' densities are known; `surface` is
/// card_black, over_black, card_white or over_white. Errors: every fault with its line; per cent for fraction, bands
/// out of order, a card without its film's composition.
Result<PredictionTable> read_prediction_table(const std::string& path, const PigmentDensities& = {});
/// The same of a text that came from somewhere; `file` is what faults call it.
Result<PredictionTable> prediction_table(const std::string& text, const std::string& file,
                                         const PigmentDensities& = {});

}  // namespace witnessline::match

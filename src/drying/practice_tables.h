// The kept tables of data/practice that drying reads, as texts inside the program (cmake/embed_text.cmake).
#pragma once

namespace witnessline::drying {

extern const char* const drying_unknowns_csv;
extern const char* const drying_binders_csv;
extern const char* const drying_draws_csv;
extern const char* const drying_csv;  ///< what practice says, a row a claim

}  // namespace witnessline::drying

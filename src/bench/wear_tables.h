// The kept tables of data/practice that wear reads, as texts inside the program (cmake/embed_text.cmake).
#pragma once

namespace witnessline::bench {

extern const char* const wear_unknowns_csv;
extern const char* const wear_paces_csv;  ///< how fast each touch wears, as condition_wear works it out

}  // namespace witnessline::bench

// The shop's own colorants: K and S of them from the table of readings a request names.
#pragma once

#include "app/verbs/shelf.h"

namespace witnessline::app {

struct OwnColorants {
  std::string file;
  ColorantSet set;
  double unit_film_m = 0;
  double common_log_sd = 0;  ///< of all of them together: assumed, or as given
  std::vector<Note> notes;

  /// Which colorant of the set; their number: none of that name.
  std::size_t place(const std::string& colorant) const;
  Error unknown(const std::string& colorant, const std::string& key) const;
  /// K and S per metre; nothing of its stock or its solids.
  Tin tin(std::size_t colorant) const;
  /// Of log K (0) or log S (1) of one colorant with that of another.
  double log_covariance(int band, std::size_t a, std::size_t of_a, std::size_t b, std::size_t of_b) const;
};

/// A table of readings is named, and a tin of the shelf does not give K and S itself.
bool needs_readings(const MixGiven&);

/// Law: characterise() behind the face of the finished surface; parts by mass become shares of the dry film by the
/// tins' density and volume solids. Errors: no table named, of the table, of characterise().
Result<OwnColorants> own_colorants(const MixGiven&, AirFace, const Asking&);

}  // namespace witnessline::app

// The project's one wavelength grid and what lives on it.
#pragma once

#include <array>

#include "base/modules.h"

namespace witnessline::colour {

inline constexpr int bands = 36;  ///< 380 to 730 nm by 10
inline constexpr double first_band_nm = 380.0;
inline constexpr double band_step_nm = 10.0;
constexpr double band_nm(int band) { return first_band_nm + band_step_nm * band; }

/// One value a band.
struct Spectrum {
  std::array<double, bands> at{};
  constexpr double& operator[](int band) { return at[static_cast<std::size_t>(band)]; }
  constexpr double operator[](int band) const { return at[static_cast<std::size_t>(band)]; }
};

/// Reflectance factor, 0..1 (fluorescence excluded).
struct Reflectance : Spectrum {};

/// Relative spectral power.
struct Illuminant : Spectrum {};

constexpr Reflectance flat_reflectance(double value) {
  Reflectance r;
  r.at.fill(value);
  return r;
}

}  // namespace witnessline::colour

// From a camera's RGB to XYZ, fitted to patches whose XYZ is known.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "colour/colour.h"

namespace witnessline::match {

/// Greys along which a camera's tone curve is found, and the map after it.
enum class ToneCurve { none, from_greys };
enum class ColourMap { matrix, root_polynomial };

/// A patch seen and what it is.
struct SeenPatch {
  std::array<double, 3> linear{};  ///< sRGB decoded, 0..1
  Xyz xyz;                         ///< published
  bool grey = false;
  double column = 0, row = 0;  ///< place on the chart, -0.5 to 0.5 across it
};

/// Law: ln Y = c0 + c1 ln v + c2 (ln v)^2 of each channel v from the greys; then XYZ linear in r, g, b (and in root
/// products sqrt(rg), ..), weighted by the slope of Lab. Source: finlayson2015, eq. 9 (degree 2). Valid: between the
/// darkest and the lightest patch. Departs: sensors are no linear sums of the eye's.
class CameraModel {
 public:
  /// Nothing: the patches do not determine it (too few greys, a curve that falls).
  static std::optional<CameraModel> fit(const std::vector<SeenPatch>&, const Xyz& white, ToneCurve, ColourMap);
  Xyz xyz(const std::array<double, 3>& linear) const;

 private:
  double toned(std::size_t channel, double v) const;
  std::vector<double> terms(const std::array<double, 3>& linear) const;
  ToneCurve tone_ = ToneCurve::none;
  ColourMap map_ = ColourMap::matrix;
  std::array<std::array<double, 3>, 3> curve_{};  // c0, c1, c2 of each channel
  std::array<std::array<double, 2>, 3> range_{};  // ln v of the darkest and the lightest grey
  std::array<std::vector<double>, 3> to_xyz_;
};

}  // namespace witnessline::match

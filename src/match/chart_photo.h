// Colours read from a photograph in which a 24-patch chart lies beside the work.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "base/describe.h"
#include "image/image.h"
#include "match/reading.h"

namespace witnessline::match {

/// Reflectance of the chart's patches, row by row: dark brown first, greys from white to black last.
using ChartAim = std::array<Reflectance, 24>;

/// A place in a picture, from the middle of its top left pixel.
struct PixelPoint {
  double x_px = 0, y_px = 0;
};
template <class V>
void describe(V& v, PixelPoint& p) {
  v(member("x_px", "to the right").within(0, 1e6).must(), p.x_px);
  v(member("y_px", "down").within(0, 1e6).must(), p.y_px);
}

/// What to do where the light changes by more than a quarter across the chart.
enum class UnevenLight { refuse, correct };
constexpr auto words(const UnevenLight*) { return std::array{"refuse", "correct"}; }

/// A spot of the picture whose colour is wanted.
struct PhotoSpot {
  std::string name;
  PixelPoint at;
  double radius_px = 0;  ///< half the side of the square; 0: a fifth of the patches' pitch
};
template <class V>
void describe(V& v, PhotoSpot& s) {
  v(member("name", "what is there").must(), s.name);
  v(member("at", "middle of the spot, in pixels of the picture as it is shown").must(), s.at);
  v(member("radius_px", "half the side of the square read; 0: a fifth of the patches' pitch").within(0, 5000),
    s.radius_px);
}

/// A patch of the chart as the photograph has it.
struct PhotoPatch {
  int number = 0;               ///< 1 to 24
  bool used = true;             ///< false: clipped or uneven, left out of the fit
  Lab published, left_out;      ///< D50, 2 degree; left_out: worked out from the other patches alone
  double left_out_delta_e = 0;  ///< Delta E 2000 between them
};
template <class V>
void describe(V& v, PhotoPatch& p) {
  v(member("number", "1 to 24, row by row from dark brown"), p.number);
  v(member("used", "false: clipped or uneven"), p.used);
  v(member("published", "Lab, D50, 2 degree"), p.published);
  v(member("left_out", "Lab predicted from the other patches"), p.left_out);
  v(member("delta_e", "Delta E 2000 between them"), p.left_out_delta_e);
}

struct PhotoSpotReading {
  Reading reading;            ///< recovered from `lab`
  Lab lab, lab_sd;            ///< D50, 2 degree; sd from what patches of like colour miss when left out
  double likely_delta_e = 0;  ///< root mean square Delta E 2000 of those patches
};

struct PhotoReading {
  std::array<PixelPoint, 4> corners;  ///< centres of patches 1, 6, 24, 19 as found
  std::vector<PhotoPatch> patches;
  double left_out_mean = 0, left_out_worst = 0;  ///< Delta E 2000 of patches left out
  double unevenness_frac = 0,
         unevenness_sd_frac = 0;  ///< how much the light changes from corner to corner of the chart
  bool light_corrected = false;   ///< that change was taken out of patches and spots
  std::string camera;             ///< model chosen, in words
  std::vector<PhotoSpotReading> spots;
  std::vector<Note> notes;
};

/// Lab of spots of a photograph, by a camera model fitted to the chart's patches.
/// Law: sRGB decoded, optionally a tone curve (ln Y quadratic in ln of the channel, from the greys), then a 3 x 3 or
/// root-polynomial map to XYZ, weighted to Lab; of these the one with the least left-one-out error. Light that changes
/// by a tenth or more across the chart is taken out as exp(b column + c row). Source: iec61966_2_1; finlayson2015
/// (root-polynomial). Valid: chart and spot in the same light, neither glossy nor shaded. Departs: the camera sees
/// other sums of the spectrum than the eye does. Errors: chart not found, mirrored, partly outside; clipped; unevenly
/// lit; a spot outside or clipped.
Result<PhotoReading> read_chart_photo(const Image&, const ChartAim&, const std::vector<PhotoSpot>&,
                                      const std::optional<std::array<PixelPoint, 4>>& corners, UnevenLight,
                                      const std::string& file);

}  // namespace witnessline::match

// PNG and JPEG in and out.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "base/result.h"

namespace witnessline::image {

/// 8-bit sRGB, rows from the top.
struct Image {
  int width = 0, height = 0;
  std::vector<std::uint8_t> rgb;  ///< 3 * width * height
};

/// PNG with an sRGB chunk.
std::vector<std::uint8_t> to_png(const Image&);
/// Baseline JPEG; quality 1..100.
std::vector<std::uint8_t> to_jpeg(const Image&, int quality = 90);

/// Errors: no picture of this kind, a file cut short, a damaged part (with its byte), too large. 16 bits, grey and
/// palettes become 8-bit sRGB; what is transparent is laid on white. A JPEG that says how its camera was held is turned
/// upright, as every viewer shows it.
Result<Image> from_png(const std::string& bytes, const std::string& name);
Result<Image> from_jpeg(const std::string& bytes, const std::string& name);
/// Whichever of the two it is.
Result<Image> from_photo(const std::string& bytes, const std::string& name);

}  // namespace witnessline::image

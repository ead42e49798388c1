// PNG and JPEG in and out.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "base/result.h"

namespace witnessline {

/// 8-bit sRGB, rows from the top.
struct Image {
  int width = 0, height = 0;
  std::vector<std::uint8_t> rgb;  ///< 3 * width * height
};

std::vector<std::uint8_t> to_png(const Image&);
Result<Image> from_png(const std::string& bytes, const std::string& name);
Result<Image> from_jpeg(const std::string& bytes, const std::string& name);

}  // namespace witnessline

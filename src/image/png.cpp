#include <fmt/format.h>
#include <png.h>

#include <cstring>

#include "image/image.h"

namespace witnessline::image {
namespace {

constexpr std::size_t most_pixels = 120'000'000;

Error refused(const std::string& name, std::string what) {
  return {std::move(what), {name, 0, 0, ""}, "a whole PNG picture", "export or copy the picture again"};
}

std::uint32_t big_endian(const char* at) {
  const auto* b = reinterpret_cast<const unsigned char*>(at);
  return std::uint32_t{b[0]} << 24 | std::uint32_t{b[1]} << 16 | std::uint32_t{b[2]} << 8 | b[3];
}

// The decoder stops at the last row and would not miss what is lost after it, nor say where a file breaks off.
std::string broken_chunk(const std::string& bytes) {
  std::size_t at = 8;
  while (at + 12 <= bytes.size()) {
    const std::size_t length = big_endian(bytes.data() + at);
    const std::string type = bytes.substr(at + 4, 4);
    if (length > bytes.size() - at - 12)
      return fmt::format("the picture breaks off inside its part '{}' that starts at byte {}", type, at);
    if (type == "IEND") return {};
    at += 12 + length;
  }
  return fmt::format("the picture breaks off at byte {}, before its end mark", bytes.size());
}

}  // namespace

std::vector<std::uint8_t> to_png(const Image& image) {
  expects(image.width > 0 && image.height > 0, "a picture has at least one pixel");
  expects(image.rgb.size() == std::size_t{3} * image.width * image.height, "a picture has three bytes a pixel");
  png_image png{};
  png.version = PNG_IMAGE_VERSION;
  png.width = static_cast<png_uint_32>(image.width);
  png.height = static_cast<png_uint_32>(image.height);
  png.format = PNG_FORMAT_RGB;
  png_alloc_size_t size = PNG_IMAGE_PNG_SIZE_MAX(png);
  std::vector<std::uint8_t> bytes(size);
  const int written = png_image_write_to_memory(&png, bytes.data(), &size, 0, image.rgb.data(), 0, nullptr);
  expects(written != 0, "a picture in memory can be written as PNG");
  bytes.resize(size);
  return bytes;
}

Result<Image> from_png(const std::string& bytes, const std::string& name) {
  if (bytes.size() < 8 || png_sig_cmp(reinterpret_cast<png_const_bytep>(bytes.data()), 0, 8) != 0)
    return refused(name, "this is not a PNG picture: its first bytes are not those of one");
  if (std::string broken = broken_chunk(bytes); !broken.empty()) return refused(name, std::move(broken));

  png_image png{};
  png.version = PNG_IMAGE_VERSION;
  if (!png_image_begin_read_from_memory(&png, bytes.data(), bytes.size()))
    return refused(name, fmt::format("the PNG picture cannot be read: {}", png.message));
  if (std::size_t{png.width} * png.height > most_pixels) {
    const std::string what =
        fmt::format("the picture has {} x {} pixels, more than can be used", png.width, png.height);
    png_image_free(&png);
    return refused(name, what);
  }
  png.format = PNG_FORMAT_RGB;
  Image image{static_cast<int>(png.width), static_cast<int>(png.height), {}};
  image.rgb.resize(PNG_IMAGE_SIZE(png));
  const png_color white{255, 255, 255};
  if (!png_image_finish_read(&png, &white, image.rgb.data(), 0, nullptr))
    return refused(name, fmt::format("the PNG picture is damaged: {}", png.message));
  return image;
}

}  // namespace witnessline::image

#include <fmt/format.h>

#include <algorithm>
#include <csetjmp>
#include <cstdio>
#include <cstdlib>
#include <string_view>

#include <jpeglib.h>

#include "image/image.h"

namespace witnessline::image {
namespace {

constexpr std::size_t most_pixels = 120'000'000;

// libjpeg reports by jumping. Everything between a setjmp and a jump to it is plain C data, so no destructor is
// skipped; buffers belong to the callers of these functions.
struct Trouble {
  jpeg_error_mgr base;
  jpeg_progress_mgr progress;
  std::jmp_buf out;
  char text[JMSG_LENGTH_MAX];
  bool warned;
};

[[noreturn]] void leave(j_common_ptr decoder) {
  auto* trouble = reinterpret_cast<Trouble*>(decoder->err);
  decoder->err->format_message(decoder, trouble->text);
  std::longjmp(trouble->out, 1);
}

// A warning means pixels were made up (a file cut short is filled with grey): not to be taken for a picture.
void keep_warning(j_common_ptr decoder, int level) {
  auto* trouble = reinterpret_cast<Trouble*>(decoder->err);
  if (level >= 0 || trouble->warned) return;
  decoder->err->format_message(decoder, trouble->text);
  trouble->warned = true;
}

// A progressive picture is sent in scans, each going over all of it; a few hundred bytes can ask for thousands.
void hold_scans(j_common_ptr decoder) {
  constexpr int most_scans = 100;
  if (reinterpret_cast<j_decompress_ptr>(decoder)->input_scan_number <= most_scans) return;
  auto* trouble = reinterpret_cast<Trouble*>(decoder->err);
  std::snprintf(trouble->text, sizeof trouble->text, "it has more than %d scans", most_scans);
  std::longjmp(trouble->out, 1);
}

void start(Trouble& trouble) {
  jpeg_std_error(&trouble.base);
  trouble.base.error_exit = leave;
  trouble.base.emit_message = keep_warning;
  trouble.text[0] = 0;
  trouble.warned = false;
}

bool read_header(jpeg_decompress_struct& decoder, Trouble& trouble, const std::string& bytes) {
  if (setjmp(trouble.out)) return false;
  jpeg_create_decompress(&decoder);
  jpeg_save_markers(&decoder, JPEG_APP0 + 1, 0xffff);
  jpeg_mem_src(&decoder, reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
  jpeg_read_header(&decoder, TRUE);
  decoder.out_color_space = JCS_RGB;
  jpeg_calc_output_dimensions(&decoder);
  return true;
}

// How a camera was held, 1 to 8; 1: upright, or not said.
// Source: cipa_dc008 4.6.4, tag 0x0112 (memory).
int orientation_in(const jpeg_decompress_struct& decoder) {
  for (const jpeg_marker_struct* m = decoder.marker_list; m; m = m->next) {
    const std::string_view stated(reinterpret_cast<const char*>(m->data), m->data_length);
    if (m->marker != JPEG_APP0 + 1 || !stated.starts_with(std::string_view("Exif\0\0", 6))) continue;
    const std::string_view tiff = stated.substr(6);
    const bool big_end_first = tiff.starts_with("MM");
    if (!big_end_first && !tiff.starts_with("II")) continue;
    const auto number = [&](std::size_t at, std::size_t size) -> std::size_t {
      if (at + size > tiff.size()) return 0;
      std::size_t value = 0;
      for (std::size_t i = 0; i < size; ++i)
        value = value << 8 | static_cast<unsigned char>(tiff[at + (big_end_first ? i : size - 1 - i)]);
      return value;
    };
    const std::size_t directory = number(4, 4), entries = number(directory, 2);
    for (std::size_t e = 0; e < entries && directory + 2 + 12 * (e + 1) <= tiff.size(); ++e) {
      const std::size_t at = directory + 2 + 12 * e;
      constexpr std::size_t orientation_tag = 0x0112;
      if (number(at, 2) != orientation_tag) continue;
      const std::size_t value = number(at + 8, 2);
      return value >= 1 && value <= 8 ? static_cast<int>(value) : 1;
    }
  }
  return 1;
}

// The picture as it was meant to be seen. Source: cipa_dc008: row 0 and column 0 of the file lie at the top left (1),
// top right (2), bottom right (3), bottom left (4), left top (5), right top (6), right bottom (7), left bottom (8).
Image upright(const Image& as_stored, int orientation) {
  if (orientation == 1) return as_stored;
  const bool across = orientation >= 5;
  Image image;
  image.width = across ? as_stored.height : as_stored.width;
  image.height = across ? as_stored.width : as_stored.height;
  image.rgb.resize(as_stored.rgb.size());
  for (int y = 0; y < image.height; ++y)
    for (int x = 0; x < image.width; ++x) {
      int column = across ? y : x, row = across ? x : y;
      const int last_column = as_stored.width - 1, last_row = as_stored.height - 1;
      if (orientation == 2 || orientation == 3 || orientation == 7 || orientation == 8) column = last_column - column;
      if (orientation == 3 || orientation == 4 || orientation == 6 || orientation == 7) row = last_row - row;
      const auto from = std::size_t{3} * (static_cast<std::size_t>(row) * as_stored.width + column);
      const auto to = std::size_t{3} * (static_cast<std::size_t>(y) * image.width + x);
      std::copy_n(as_stored.rgb.begin() + static_cast<std::ptrdiff_t>(from), 3,
                  image.rgb.begin() + static_cast<std::ptrdiff_t>(to));
    }
  return image;
}

bool read_rows(jpeg_decompress_struct& decoder, Trouble& trouble, std::uint8_t* rgb) {
  if (setjmp(trouble.out)) return false;
  jpeg_start_decompress(&decoder);
  while (decoder.output_scanline < decoder.output_height) {
    JSAMPROW row = rgb + std::size_t{3} * decoder.output_width * decoder.output_scanline;
    jpeg_read_scanlines(&decoder, &row, 1);
  }
  jpeg_finish_decompress(&decoder);
  return !trouble.warned;
}

bool write_rows(jpeg_compress_struct& encoder, Trouble& trouble, const Image& image, int quality, unsigned char** bytes,
                unsigned long* size) {
  if (setjmp(trouble.out)) return false;
  jpeg_create_compress(&encoder);
  jpeg_mem_dest(&encoder, bytes, size);
  encoder.image_width = static_cast<JDIMENSION>(image.width);
  encoder.image_height = static_cast<JDIMENSION>(image.height);
  encoder.input_components = 3;
  encoder.in_color_space = JCS_RGB;
  jpeg_set_defaults(&encoder);
  jpeg_set_quality(&encoder, quality, TRUE);
  encoder.optimize_coding = TRUE;
  jpeg_start_compress(&encoder, TRUE);
  while (encoder.next_scanline < encoder.image_height) {
    JSAMPROW row =
        const_cast<JSAMPROW>(image.rgb.data()) + std::size_t{3} * encoder.image_width * encoder.next_scanline;
    jpeg_write_scanlines(&encoder, &row, 1);
  }
  jpeg_finish_compress(&encoder);
  return true;
}

Error refused(const std::string& name, std::string what) {
  return {std::move(what), {name, 0, 0, ""}, "a whole JPEG picture", "export or copy the picture again"};
}

}  // namespace

std::vector<std::uint8_t> to_jpeg(const Image& image, int quality) {
  expects(image.width > 0 && image.height > 0, "a picture has at least one pixel");
  expects(image.rgb.size() == std::size_t{3} * image.width * image.height, "a picture has three bytes a pixel");
  expects(quality >= 1 && quality <= 100, "JPEG quality is 1 to 100");
  jpeg_compress_struct encoder{};
  Trouble trouble{};
  start(trouble);
  encoder.err = &trouble.base;
  unsigned char* buffer = nullptr;
  unsigned long size = 0;
  const bool written = write_rows(encoder, trouble, image, quality, &buffer, &size);
  jpeg_destroy_compress(&encoder);
  std::vector<std::uint8_t> bytes(buffer, buffer + (written ? size : 0));
  std::free(buffer);
  expects(written, "a picture in memory can be written as JPEG");
  return bytes;
}

Result<Image> from_jpeg(const std::string& bytes, const std::string& name) {
  if (bytes.size() < 4 || static_cast<unsigned char>(bytes[0]) != 0xff || static_cast<unsigned char>(bytes[1]) != 0xd8)
    return refused(name, "this is not a JPEG picture: its first bytes are not those of one");
  jpeg_decompress_struct decoder{};
  Trouble trouble{};
  start(trouble);
  decoder.err = &trouble.base;
  Image image;
  bool whole = read_header(decoder, trouble, bytes);
  trouble.progress = {};
  trouble.progress.progress_monitor = hold_scans;
  decoder.progress = &trouble.progress;
  const int orientation = whole ? orientation_in(decoder) : 1;  // finishing the picture frees its markers
  if (whole && std::size_t{decoder.output_width} * decoder.output_height > most_pixels) {
    jpeg_destroy_decompress(&decoder);
    return refused(name, "the picture has more pixels than can be used");
  }
  if (whole) {
    image.width = static_cast<int>(decoder.output_width);
    image.height = static_cast<int>(decoder.output_height);
    image.rgb.resize(std::size_t{3} * image.width * image.height);
    whole = read_rows(decoder, trouble, image.rgb.data());
  }
  const unsigned row = decoder.output_scanline;
  jpeg_destroy_decompress(&decoder);
  if (!whole)
    return refused(name, fmt::format("the JPEG picture is damaged or cut short: {} (by row {})", trouble.text, row));
  return upright(image, orientation);
}

Result<Image> from_photo(const std::string& bytes, const std::string& name) {
  return bytes.starts_with("\xFF\xD8") ? from_jpeg(bytes, name) : from_png(bytes, name);
}

}  // namespace witnessline::image

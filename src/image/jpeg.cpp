#include <fmt/format.h>

#include <csetjmp>
#include <cstdio>
#include <cstdlib>

#include <jpeglib.h>

#include "image/image.h"

namespace witnessline {
namespace {

constexpr std::size_t most_pixels = 120'000'000;

// libjpeg reports by jumping. Everything between a setjmp and a jump to it is plain C data, so no destructor is
// skipped; buffers belong to the callers of these functions.
struct Trouble {
  jpeg_error_mgr base;
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
  jpeg_mem_src(&decoder, reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
  jpeg_read_header(&decoder, TRUE);
  decoder.out_color_space = JCS_RGB;
  jpeg_calc_output_dimensions(&decoder);
  return true;
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
  return image;
}

}  // namespace witnessline

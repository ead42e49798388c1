// Known answers: the PNG specification (ISO/IEC 15948, clauses 5 and 11) for signature, chunk order and the sRGB chunk;
// lossless coding gives back the same bytes.
#include "image/image.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <fstream>
#include <iterator>

namespace witnessline::image {
namespace {

Image ramp(int width, int height) {
  Image image{width, height, {}};
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x) {
      image.rgb.push_back(static_cast<std::uint8_t>(x * 255 / (width - 1)));
      image.rgb.push_back(static_cast<std::uint8_t>(y * 255 / (height - 1)));
      image.rgb.push_back(static_cast<std::uint8_t>((x + y) / 2));
    }
  return image;
}
std::string text(const std::vector<std::uint8_t>& bytes) { return {bytes.begin(), bytes.end()}; }

TEST(Png, GivesBackTheSameBytes) {
  const Image image = ramp(67, 41);
  const auto read = from_png(text(to_png(image)), "ramp.png");
  ASSERT_TRUE(read);
  EXPECT_EQ(read->width, 67);
  EXPECT_EQ(read->height, 41);
  EXPECT_EQ(read->rgb, image.rgb);
}

TEST(Png, SaysThatItIsSrgbBeforeThePixels) {
  const std::string bytes = text(to_png(ramp(8, 8)));
  EXPECT_EQ(bytes.substr(0, 8), "\x89PNG\r\n\x1a\n");
  const auto srgb = bytes.find("sRGB");
  ASSERT_NE(srgb, std::string::npos);
  EXPECT_LT(srgb, bytes.find("IDAT"));
}

TEST(Png, RefusesEveryTruncation) {
  const std::string bytes = text(to_png(ramp(31, 17)));
  for (std::size_t size = 0; size < bytes.size(); ++size) {
    const auto read = from_png(bytes.substr(0, size), "short.png");
    ASSERT_FALSE(read) << size << " of " << bytes.size() << " bytes were taken for a picture";
    EXPECT_EQ(read.errors().front().where.file, "short.png");
    EXPECT_FALSE(read.errors().front().fix.empty());
  }
}

TEST(Png, RefusesADamagedPart) {
  std::string bytes = text(to_png(ramp(31, 17)));
  bytes[bytes.find("IDAT") + 12] ^= 0x55;
  EXPECT_FALSE(from_png(bytes, "damaged.png"));
  EXPECT_FALSE(from_png("GIF89a and so on", "other.png"));
}

TEST(Jpeg, ComesBackNearEnough) {
  const Image image = ramp(64, 48);
  const auto read = from_jpeg(text(to_jpeg(image, 95)), "ramp.jpg");
  ASSERT_TRUE(read);
  ASSERT_EQ(read->rgb.size(), image.rgb.size());
  double sum = 0;
  for (std::size_t i = 0; i < image.rgb.size(); ++i) sum += std::abs(int{image.rgb[i]} - int{read->rgb[i]});
  EXPECT_LT(sum / image.rgb.size(), 3.0);
}

// Source: cipa_dc008, tag Orientation: which visual side row 0 of the file and column 0 of it are.
TEST(Jpeg, IsTurnedUpright) {
  Image stored{64, 32, std::vector<std::uint8_t>(64 * 32 * 3, 128)};
  const auto paint = [&](int x0, int y0, std::array<std::uint8_t, 3> colour) {
    for (int y = y0; y < y0 + 16; ++y)
      for (int x = x0; x < x0 + 16; ++x) std::copy(colour.begin(), colour.end(), &stored.rgb[3 * (64 * y + x)]);
  };
  paint(0, 0, {230, 20, 20}), paint(48, 0, {20, 230, 20}), paint(0, 16, {20, 20, 230});
  const std::string bytes = text(to_jpeg(stored, 95));
  struct Held {
    char row_0, column_0;  // t, b, l, r
  };
  const Held held[] = {{'t', 'l'}, {'t', 'r'}, {'b', 'r'}, {'b', 'l'}, {'l', 't'}, {'r', 't'}, {'r', 'b'}, {'l', 'b'}};
  const auto opposite = [](char side) { return side == 't' ? 'b' : side == 'b' ? 't' : side == 'l' ? 'r' : 'l'; };
  for (const bool big_end_first : {true, false})
    for (int o = 1; o <= 8; ++o) {
      std::string tiff = big_end_first ? std::string("MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0", 19)
                                       : std::string("II\x2a\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0", 18);
      tiff += static_cast<char>(o);
      tiff += std::string(big_end_first ? 6 : 7, '\0');
      const std::string exif = std::string("Exif\0\0", 6) + tiff;
      const std::string marker = std::string("\xff\xe1\0", 3) + static_cast<char>(exif.size() + 2) + exif;
      const auto image = from_jpeg(bytes.substr(0, 2) + marker + bytes.substr(2), "held.jpg");
      ASSERT_TRUE(image);
      EXPECT_EQ(image->width, o < 5 ? 64 : 32);
      // The corner between two sides, one of each pair.
      const auto at = [&](char a, char b) {
        const bool bottom = a == 'b' || b == 'b', right = a == 'r' || b == 'r';
        const int x = right ? image->width - 8 : 8, y = bottom ? image->height - 8 : 8;
        return &image->rgb[static_cast<std::size_t>(3 * (image->width * y + x))];
      };
      const Held& h = held[o - 1];
      EXPECT_GT(at(h.row_0, h.column_0)[0], 180) << o;
      EXPECT_GT(at(h.row_0, opposite(h.column_0))[1], 180) << o;
      EXPECT_GT(at(opposite(h.row_0), h.column_0)[2], 180) << o;
    }
}

TEST(Jpeg, RefusesTruncationAndNonsense) {
  const std::string bytes = text(to_jpeg(ramp(64, 48), 90));
  for (std::size_t size = 0; size + 2 < bytes.size(); size += 7)
    EXPECT_FALSE(from_jpeg(bytes.substr(0, size), "short.jpg")) << size << " of " << bytes.size();
  EXPECT_FALSE(from_jpeg("\xff\xd8 not a picture at all", "odd.jpg"));
  EXPECT_FALSE(from_jpeg("", "empty.jpg"));
}

// A progressive picture may ask for any number of scans over all of it.
TEST(Jpeg, RefusesScansWithoutEnd) {
  std::ifstream in(PROJECT_FOLDER "/tests/fuzz/corpus/jpeg/grey_progressive.jpg", std::ios::binary);
  const std::string bytes{std::istreambuf_iterator<char>(in), {}};
  ASSERT_TRUE(from_jpeg(bytes, "few.jpg"));
  const std::size_t last = bytes.rfind("\xff\xda"), end = bytes.rfind("\xff\xd9");
  std::string many = bytes.substr(0, end);
  for (int k = 0; k < 300; ++k) many += bytes.substr(last, end - last);
  const auto read = from_jpeg(many + bytes.substr(end), "many.jpg");
  ASSERT_FALSE(read);
  EXPECT_NE(read.errors().front().what.find("more than 100 scans"), std::string::npos) << read.errors().front().what;
}

}  // namespace
}  // namespace witnessline::image

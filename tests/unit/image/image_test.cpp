// Known answers: the PNG specification (ISO/IEC 15948, clauses 5 and 11) for signature, chunk order and the sRGB chunk;
// lossless coding gives back the same bytes.
#include "image/image.h"

#include <gtest/gtest.h>

#include <cstdlib>

namespace witnessline {
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
    EXPECT_FALSE(read.errors().front().mend.empty());
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

TEST(Jpeg, RefusesTruncationAndNonsense) {
  const std::string bytes = text(to_jpeg(ramp(64, 48), 90));
  for (std::size_t size = 0; size + 2 < bytes.size(); size += 7)
    EXPECT_FALSE(from_jpeg(bytes.substr(0, size), "short.jpg")) << size << " of " << bytes.size();
  EXPECT_FALSE(from_jpeg("\xff\xd8 not a picture at all", "odd.jpg"));
  EXPECT_FALSE(from_jpeg("", "empty.jpg"));
}

}  // namespace
}  // namespace witnessline

// Photographs with a chart: drawn ones whose geometry and colours are known, and real ones of other people's charts.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <map>

#include "shapes/chart.h"

using namespace witnessline::match;

namespace {

std::string reference(const std::string& file) {
  const char* folder = std::getenv("WITNESSLINE_REFERENCE");
  return std::string(folder ? folder : PROJECT_FOLDER "/../shared/reference") + "/colour/" + file;
}

class RealPhoto : public testing::TestWithParam<std::pair<const char*, const char*>> {};

TEST_P(RealPhoto, ChartIsFoundAndPatchesLeftOutAreMissedByLittle) {
  const auto& [file, rows] = GetParam();
  const std::string bytes = bytes_of(reference(std::string("chart_photo_") + file + ".png"));
  const auto table = read_csv(reference("chart_photo_patches.csv"));
  if (bytes.empty() || !table) GTEST_SKIP() << "the reference collection is not here";
  const auto image = from_png(bytes, file);
  ASSERT_TRUE(image);
  const auto read = read_chart_photo(*image, published_chart(), {}, {}, UnevenLight::correct, file);
  ASSERT_TRUE(read) << read.errors()[0].text();
  std::map<int, PixelPoint> theirs;
  for (const CsvRow& row : table->rows)
    if (row.cells[0] == rows) theirs[std::stoi(row.cells[1])] = {std::stod(row.cells[3]), std::stod(row.cells[4])};
  const std::array<int, 4> numbers{1, 6, 24, 19};
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_NEAR(read->corners[i].x_px, theirs[numbers[i]].x_px, 2.0) << numbers[i];
    EXPECT_NEAR(read->corners[i].y_px, theirs[numbers[i]].y_px, 2.0) << numbers[i];
  }
  // The collection's read-me: a plain matrix leaves 4 to 5 (indoor) and 9 to 10 (cabinet) on patches left out.
  EXPECT_LT(read->left_out_mean, std::string(file) == "indoor" ? 4.0 : 3.0);
  RecordProperty("left_out_mean", fmt::format("{:.2f}", read->left_out_mean));
}

INSTANTIATE_TEST_SUITE_P(Photos, RealPhoto,
                         testing::Values(std::pair{"indoor", "card_small_indoor"}, std::pair{"cabinet_a", "cabinet_a"},
                                         std::pair{"cabinet_b", "cabinet_b"}));

Shot plain() {
  Shot shot;
  shot.lattice_of_pixel = placed(300, 230, 62, 0, 0, 0);
  return shot;
}

Result<PhotoReading> read(const Image& image, const std::vector<PhotoSpot>& spots = {},
                          const std::optional<std::array<PixelPoint, 4>>& corners = {}) {
  return read_chart_photo(image, published_chart(), spots, corners, UnevenLight::refuse, "drawn.png");
}

void expect_refusal(const Result<PhotoReading>& read, const std::string& saying) {
  ASSERT_FALSE(read);
  EXPECT_NE(read.errors()[0].what.find(saying), std::string::npos) << read.errors()[0].text();
  EXPECT_FALSE(read.errors()[0].fix.empty());
  EXPECT_EQ(read.errors()[0].where.file, "drawn.png");
}

TEST(ChartPhoto, IsFoundTurnedTiltedAndUpsideDown) {
  for (const double turn_deg : {0.0, 107.0, 180.0})
    for (const auto& [tilt_x, tilt_y] : {std::pair{0.0, 0.0}, {-3e-4, 8e-4}}) {
      Shot shot;
      shot.width = shot.height = 620;
      shot.lattice_of_pixel = placed(310, 300, 62, turn_deg, tilt_x, tilt_y);
      shot.gain = {1.1, 1, 0.7};
      const auto photo = read(picture(published_chart(), shot));
      ASSERT_TRUE(photo) << turn_deg << " " << tilt_x << ": " << photo.errors()[0].text();
      const std::array<std::pair<int, int>, 4> corners{{{0, 0}, {5, 0}, {5, 3}, {0, 3}}};
      for (std::size_t i = 0; i < 4; ++i) {
        const PixelPoint truth = pixel_of(shot, corners[i].first, corners[i].second);
        EXPECT_NEAR(photo->corners[i].x_px, truth.x_px, 1.0) << turn_deg << " " << tilt_x;
        EXPECT_NEAR(photo->corners[i].y_px, truth.y_px, 1.0) << turn_deg << " " << tilt_x;
      }
    }
}

// The camera drawn is sRGB's own with one gain a channel, so the model can undo it: what is left is noise and rounding.
TEST(ChartPhoto, GivesTheColourOfASpotBesideTheChart) {
  Shot shot = plain();
  shot.gain = {1.05, 0.95, 0.8};
  const auto photo = read(picture(published_chart(), shot),
                          {{"patch 9", pixel_of(shot, 2, 1), 8}, {"patch 13", pixel_of(shot, 0, 2), 8}});
  ASSERT_TRUE(photo) << photo.errors()[0].text();
  EXPECT_LT(photo->left_out_mean, 0.8);
  for (std::size_t i = 0; i < 2; ++i) {
    const Lab truth = to_lab(published_chart()[i ? 12 : 8], Lamp::D50, Observer::deg2);
    EXPECT_LT(delta_e_2000(photo->spots[i].lab, truth), 1.0);
    EXPECT_TRUE(photo->spots[i].reading.recovered);
    EXPECT_LT(delta_e_2000(to_lab(photo->spots[i].reading.reflectance, Lamp::D50, Observer::deg2), photo->spots[i].lab),
              0.01);
    EXPECT_GT(photo->spots[i].lab_sd.l, 0);
  }
}

TEST(ChartPhoto, SaysWhatIsWrong) {
  const ChartAim chart = published_chart();
  Shot shot = plain();
  shot.lattice_of_pixel = placed(300, 230, 62, 20, 3e-4, 0, true);
  expect_refusal(read(picture(chart, shot)), "mirrored");
  shot = plain();
  shot.lattice_of_pixel = placed(540, 230, 62, 0, 0, 0);
  expect_refusal(read(picture(chart, shot)), "partly outside");
  shot.lattice_of_pixel = placed(615, 230, 62, 0, 0, 0);  // half of its patches
  expect_refusal(read(picture(chart, shot)), "partly outside");
  shot.lattice_of_pixel = placed(300, 10, 62, 195, 0, 0);
  expect_refusal(read(picture(chart, shot)), "partly outside");
  shot = plain();
  shot.exposure = 2.2;
  expect_refusal(read(picture(chart, shot)), "clipped");
  shot = plain();
  shot.falls_off_per_px = 0.0015;  // 1.6 to 1 across the chart
  expect_refusal(read(picture(chart, shot)), "light changes");
  const auto uneven = read(picture(chart, shot));  // what to ask for is said word for word
  EXPECT_NE(uneven.errors()[0].fix.find("uneven_light = \"correct\""), std::string::npos) << uneven.errors()[0].fix;
  shot = plain();
  shot.lattice_of_pixel = placed(-4000, -4000, 62, 0, 0, 0);
  expect_refusal(read(picture(chart, shot)), "no 24-patch chart");
  expect_refusal(read(Image{8, 8, std::vector<std::uint8_t>(192, 128)}), "no 24-patch chart");
  shot = plain();
  expect_refusal(read(picture(chart, shot), {{"off", {630, 470}, 30}}), "partly outside the picture");
  shot.around = 2;
  expect_refusal(read(picture(chart, shot), {{"gloss", {30, 30}, 10}}), "clipped");
}

TEST(ChartPhoto, IsFoundSmallInALargeNoisyPicture) {
  Shot shot;
  shot.width = 1900, shot.height = 1300, shot.noise = 4;
  shot.lattice_of_pixel = placed(1500, 300, 44, 160, 1e-4, 2e-4);
  const auto photo = read(picture(published_chart(), shot));
  ASSERT_TRUE(photo) << photo.errors()[0].text();
  EXPECT_NEAR(photo->corners[0].x_px, pixel_of(shot, 0, 0).x_px, 2.0);
  EXPECT_NEAR(photo->corners[0].y_px, pixel_of(shot, 0, 0).y_px, 2.0);
}

TEST(ChartPhoto, TakesASlopeOfTheLightOutWhenAsked) {
  Shot shot = plain();
  shot.falls_off_per_px = 0.0015;
  const auto photo = read_chart_photo(picture(published_chart(), shot), published_chart(),
                                      {{"patch 2", pixel_of(shot, 1, 0), 8}}, {}, UnevenLight::correct, "drawn.png");
  ASSERT_TRUE(photo) << photo.errors()[0].text();
  EXPECT_TRUE(photo->light_corrected);
  EXPECT_NEAR(photo->unevenness_frac, std::exp(0.0015 * 5 * 62) - 1, 0.06);
  EXPECT_LT(delta_e_2000(photo->spots[0].lab, to_lab(published_chart()[1], Lamp::D50, Observer::deg2)), 1.2);
}

TEST(ChartPhoto, TakesCornersGivenInAnyOrderRoundTheChart) {
  Shot shot = plain();
  shot.lattice_of_pixel = placed(300, 230, 62, 30, 3e-4, 2e-4);
  const Image image = picture(published_chart(), shot);
  const std::array<PixelPoint, 4> corners{pixel_of(shot, 5, 3), pixel_of(shot, 5, 0), pixel_of(shot, 0, 0),
                                          pixel_of(shot, 0, 3)};
  const auto photo = read(image, {}, corners);
  ASSERT_TRUE(photo) << photo.errors()[0].text();
  EXPECT_NEAR(photo->corners[0].x_px, corners[2].x_px, 1e-6);
  expect_refusal(read(image, {}, std::array{corners[0], corners[2], corners[1], corners[3]}), "do not go round");
  expect_refusal(
      read(image, {}, std::array{PixelPoint{0, 0}, PixelPoint{0, 200}, PixelPoint{200, 200}, PixelPoint{200, 0}}),
      "not the chart");
}

}  // namespace

#include "app/verbs/count_checks.h"

#include <gtest/gtest.h>

#include <cmath>

#include "app/app.h"
#include "app/files.h"
#include "example_photograph.h"

namespace witnessline::app {
namespace {

const std::string photo_path = PROJECT_FOLDER "/examples/verbs/invented_checked_face.jpg";

TEST(CountChecksVerb, ThePhotographIsDrawnByOurselves) {
  const auto bytes = read_file(photo_path);
  ASSERT_TRUE(bytes);
  const auto there = from_jpeg(*bytes, "photo");
  ASSERT_TRUE(there);
  const Image drawn = example_photograph();
  ASSERT_EQ(there->rgb.size(), drawn.rgb.size());
  double off = 0;
  for (std::size_t i = 0; i < drawn.rgb.size(); ++i) off += std::abs(int{drawn.rgb[i]} - int{there->rgb[i]});
  EXPECT_LT(off / static_cast<double>(drawn.rgb.size()), 3) << "write_example_photograph draws it again";
}

TEST(CountChecksVerb, ExampleGivesRowsThatLifeTakes) {
  const auto answered = ask_file(count_checks_verb(), example_folder() + "/count_checks.toml", BenchUnits::metric);
  ASSERT_TRUE(answered) << answered.errors()[0].text();
  const std::string rows = answered->answer.find("evidence")->text;
  EXPECT_NE(rows.find("run = \"across\""), std::string::npos) << rows;
  std::vector<Error> faults;
  const Tree request = read_toml(rows, "rows", faults);
  ASSERT_TRUE(faults.empty());
  const auto life = ask_json(*find_verb("life"), print_json(request), example_folder(), BenchUnits::metric);
  ASSERT_TRUE(life) << life.errors()[0].text();
  EXPECT_NE(life->text.find("cold shocks"), std::string::npos);
}

TEST(CountChecksVerb, LifeCountsOnAPhotographItself) {
  const std::string photo =
      R"({"check_photos": [{"photo": "invented_checked_face.jpg", "grain_deg": 0, "um_per_px": 60)";
  const std::string part = R"(, "area_from": {"x_px": 0, "y_px": 0}, "area_to": {"x_px": 1440, "y_px": 900}}]})";
  const auto life = [](const std::string& request) {
    return ask_json(*find_verb("life"), request, example_folder(), BenchUnits::metric);
  };
  const auto counted = life(photo + part);
  ASSERT_TRUE(counted) << counted.errors()[0].text();
  EXPECT_EQ(counted->text.find("Nothing was looked at"), std::string::npos);
  const auto refused = life(R"({"check_photos": [{"photo": "invented_checked_face.jpg", "grain_deg": 0}]})");
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.errors()[0].where.key, "check_photos[1].scale_mm");
}

std::string fault(const std::string& more) {
  const auto answered =
      ask_json(count_checks_verb(), R"({"photo": "invented_checked_face.jpg", "grain_deg": 0)" + more + "}",
               example_folder(), BenchUnits::metric);
  return answered ? "" : answered.errors()[0].where.key + ": " + answered.errors()[0].text();
}

TEST(CountChecksVerb, APhotographWithoutScaleIsRefused) {
  EXPECT_EQ(fault("").rfind("scale_mm: ", 0), 0u) << fault("");
  EXPECT_NE(fault("").find("no scale"), std::string::npos);
  const std::string from = R"(, "scale_from": {"x_px": 30, "y_px": 930})";
  EXPECT_EQ(fault(from).rfind("scale_to: ", 0), 0u) << fault(from);
  EXPECT_NE(fault(from + R"(, "scale_to": {"x_px": 60, "y_px": 930}, "scale_mm": 1)").find("too near"),
            std::string::npos);
  EXPECT_NE(fault(from + R"(, "scale_to": {"x_px": 6000, "y_px": 930}, "scale_mm": 80)").find("outside"),
            std::string::npos);
  EXPECT_NE(fault(R"(, "um_per_px": 300)").find("narrower than that"), std::string::npos);
  EXPECT_NE(fault(R"(, "um_per_px": 60, "area_from": {"x_px": 0, "y_px": 0})").find("area_to"), std::string::npos);
}

}  // namespace
}  // namespace witnessline::app

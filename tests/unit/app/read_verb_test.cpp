#include <fmt/format.h>
#include <gtest/gtest.h>

#include "app/app.h"
#include "app/verbs/read.h"
#include "shapes/chart.h"

namespace witnessline::app {
namespace {

// Files handed over by the test instead of a folder.
Result<ReadAnswer> read(const ReadRequest& request, const std::string& bytes) {
  const auto library = read_library(data_folder());
  const Asking asking{*library, BenchUnits::metric, [&](const std::string&) -> Result<std::string> { return bytes; }};
  return read_answer(request, asking);
}
std::string all_of(const ReadAnswer& answer) { return format_answer(answer, BenchUnits::metric); }

TEST(ReadVerb, ExampleIsReadAndItsRepeatsAveraged) {
  const auto answered = ask_file(read_verb(), example_folder() + "/read.toml", BenchUnits::metric);
  ASSERT_TRUE(answered) << answered.errors()[0].text();
  EXPECT_NE(answered->text.find("under the bridge plate"), std::string::npos) << answered->text;
  EXPECT_NE(answered->text.find("mean of 3"), std::string::npos);
  EXPECT_NE(answered->text.find("specular included, d:8"), std::string::npos);
  EXPECT_NE(answered->text.find("original colour"), std::string::npos);
  EXPECT_NE(print_json(answered->answer).find("\"scatter\""), std::string::npos);
}

TEST(ReadVerb, AsksItsTwoQuestionsFirst) {
  const auto refused = ask_json(read_verb(), R"({"files": ["read.toml"]})", example_folder(), BenchUnits::metric);
  ASSERT_FALSE(refused);
  ASSERT_EQ(refused.errors().size(), 2u);
  EXPECT_EQ(refused.errors()[0].where.key, "cleaned");
  EXPECT_EQ(refused.errors()[1].where.key, "target_is");
}

TEST(ReadVerb, TheAnswersToThemChangeWhatIsReported) {
  const std::string file = "name,L,a,b,lamp,observer\nred,41.2,38.5,22.1,D50,2 deg\n";
  ReadRequest request;
  request.files = {"lab.csv"}, request.cleaned = true, request.target_is = TargetIs::original_colour;
  const auto original = read(request, file);
  request.cleaned = false, request.target_is = TargetIs::todays_colour;
  const auto dirty = read(request, file);
  ASSERT_TRUE(original && dirty);
  EXPECT_EQ(all_of(*original).find("nicotine"), std::string::npos);
  EXPECT_NE(all_of(*dirty).find("Not cleaned"), std::string::npos);
  EXPECT_NE(all_of(*original).find("reckoned fresh"), std::string::npos);
  EXPECT_NE(all_of(*dirty).find("through the clear that will lie on it"), std::string::npos);
  EXPECT_NE(all_of(*dirty).find("recovered from Lab"), std::string::npos);
}

TEST(ReadVerb, TakesTheModeAskedForAndNeverMixesTwo) {
  std::string file = "name,mode";
  for (int nm = 400; nm <= 700; nm += 10) file += fmt::format(",R{}", nm);
  for (const auto& [mode, value] : {std::pair{"M0", 0.3}, {"M1", 0.4}}) {
    file += fmt::format("\ncard,{}", mode);
    for (int nm = 400; nm <= 700; nm += 10) file += fmt::format(",{}", value);
  }
  ReadRequest request;
  request.files = {"card.csv"}, request.cleaned = true;
  const auto mixed = read(request, file + "\n");
  ASSERT_FALSE(mixed);
  EXPECT_NE(mixed.errors()[0].what.find("M1 beside mode M0"), std::string::npos) << mixed.errors()[0].text();
  request.mode = MeasurementMode::M1;
  const auto one = read(request, file + "\n");
  ASSERT_TRUE(one);
  EXPECT_NEAR(one->readings.at(0).reflectance.at(10), 0.4, 1e-12);
  EXPECT_NE(all_of(*one).find("do not state whether specular"), std::string::npos);
  request.mode = MeasurementMode::M3;
  EXPECT_FALSE(read(request, file + "\n"));
}

TEST(ReadVerb, ReadsSpotsOfAPhotograph) {
  Shot shot;
  shot.lattice_of_pixel = placed(300, 230, 62, 8, 2e-4, 0);
  const std::vector<std::uint8_t> png = to_png(picture(match::published_chart(), shot));
  const std::string bytes(png.begin(), png.end());
  ReadRequest request;
  request.photo = "photo.png", request.cleaned = true;
  request.spots = {{"patch 15", pixel_of(shot, 2, 2), 6}};
  const auto answer = read(request, bytes);
  ASSERT_TRUE(answer) << answer.errors()[0].text();
  ASSERT_TRUE(answer->photo);
  EXPECT_LT(answer->photo->left_out_mean.value, 1.0);
  EXPECT_LT(delta_e_2000(answer->readings.at(0).as_read->lab,
                         to_lab(match::published_chart()[14], Lamp::D50, Observer::deg2)),
            1.0);
  EXPECT_NE(all_of(*answer).find("Chart found"), std::string::npos);
  request.corners = {{1, 1}};
  EXPECT_FALSE(read(request, bytes));
  EXPECT_FALSE(read(request, bytes.substr(0, bytes.size() / 2)));
  request.photo.clear();
  EXPECT_FALSE(read(request, bytes));
}

}  // namespace
}  // namespace witnessline::app

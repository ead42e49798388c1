#include "base/result.h"

#include <gtest/gtest.h>

#include "base/figure.h"

namespace witnessline::base {
namespace {

TEST(Error, SaysWhereWhatAndHowToMend) {
  const Error e{"unknown key", {"job.toml", 12, 3, "shop.paice"}, "pace", "did you mean 'pace'?"};
  EXPECT_EQ(e.text(), "job.toml:12:3: shop.paice: unknown key; expected pace; did you mean 'pace'?");
  EXPECT_EQ((Error{"the file is empty", {}, "", ""}).text(), "the file is empty");
}

TEST(NearestWord, OnlyWhenNear) {
  EXPECT_EQ(nearest_word("spry", {"sand", "spray", "buff"}), "spray");
  EXPECT_EQ(nearest_word("kaleidoscope", {"sand", "spray", "buff"}), "");
  EXPECT_EQ(nearest_word("sand", {}), "");
}

TEST(DidYouMean, NamesTheNearWordOrNothing) {
  EXPECT_EQ(did_you_mean("spry", {"sand", "spray", "buff"}), "did you mean 'spray'?");
  EXPECT_EQ(did_you_mean("kaleidoscope", {"sand", "spray", "buff"}), "");
  EXPECT_EQ(did_you_mean("", {"is"}), "") << "nothing was written, so nothing is near";
}

TEST(Show, BenchUnits) {
  // 1 mil = 25.4 um, 1 in = 25.4 mm: the international inch. 1 US fl oz = 29.5735295625 mL: NIST Handbook 44, appendix
  // C.
  EXPECT_EQ(show(38.1e-6, Quantity::film_thickness), "38 um");
  EXPECT_EQ(show(38.1e-6, Quantity::film_thickness, BenchUnits::us), "1.5 mil");
  EXPECT_EQ(show(293.15, Quantity::temperature), "20.0 degC");
  EXPECT_EQ(show(293.15, Quantity::temperature, BenchUnits::us), "68 degF");
  EXPECT_EQ(show(29.5735295625e-6, Quantity::film_volume, BenchUnits::us), "1.0 fl oz");
  EXPECT_EQ(show(0.0 / 0.0, Quantity::film_thickness), "not known");
}

TEST(Figure, ShownWithItsBand) {
  const Shown s = shown(38.1e-6, {34e-6, 42e-6}, Quantity::film_thickness, BenchUnits::metric);
  EXPECT_EQ(s.text, "38 um");
  EXPECT_EQ(s.band, "34 um to 42 um");
  EXPECT_NEAR(s.value, 38.1, 1e-12);
  EXPECT_EQ(shown(38.1e-6, {}, Quantity::film_thickness, BenchUnits::us).band, "");
  constexpr double h = 3600;
  EXPECT_EQ(shown(46 * h, {29.4 * h, 65 * h}, Quantity::duration, BenchUnits::metric).band, "29 h to 65 h")
      << "one unit for a value and its band";
  EXPECT_EQ(show(3292 / h, Quantity::air_flow, BenchUnits::metric), "3300 m3/h") << "two figures";
  EXPECT_EQ(show(1234.5e-6, Quantity::film_volume), "1230 mL") << "no gun is filled to a millilitre in a litre";
  EXPECT_EQ(show(946.4e-6, Quantity::film_volume), "946 mL");
  EXPECT_EQ(show(2599e-4, Quantity::area), "2600 cm2");
  EXPECT_EQ(show(1234.56, Quantity::money), "1230");
  EXPECT_EQ(show(5.78, Quantity::money), "5.8");
  EXPECT_EQ(show(26.1 * 60, Quantity::duration, BenchUnits::metric), "26 min");
}

}  // namespace
}  // namespace witnessline::base

// Published numbers are checked row by row (data/published/colour_*.csv); here: what must hold for every colour, and
// tables that are not shipped.
#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>
#include <fstream>
#include <map>
#include <numeric>
#include <sstream>

#include "colour/recover.h"

using namespace witnessline::colour;

namespace {

using Rows = std::vector<std::map<std::string, std::string>>;

// A table of the reference collection; empty where that is not there.
Rows reference(const std::string& file) {
  const char* folder = std::getenv("WITNESSLINE_REFERENCE");
  std::ifstream in(std::string(folder ? folder : PROJECT_FOLDER "/../shared/reference") + "/colour/" + file);
  Rows rows;
  std::vector<std::string> header;
  for (std::string line; std::getline(in, line);) {
    if (line.starts_with("#")) continue;
    std::vector<std::string> cells;
    std::istringstream cut(line);
    for (std::string cell; std::getline(cut, cell, ',');) cells.push_back(cell);
    if (header.empty()) {
      header = cells;
      continue;
    }
    std::map<std::string, std::string> row;
    for (std::size_t i = 0; i < cells.size(); ++i) row[header[i]] = cells[i];
    rows.push_back(row);
  }
  return rows;
}

Reflectance spectrum(std::map<std::string, std::string>& row) {
  Reflectance r;
  for (int band = 0; band < bands; ++band) r[band] = std::stod(row["R" + std::to_string(380 + 10 * band)]);
  return r;
}

TEST(Weights, AgreeWithAnotherCodesTable) {
  const Rows rows = reference("tristimulus_weights_10nm.csv");
  if (rows.empty()) GTEST_SKIP() << "the reference collection is not here";
  const std::vector<std::tuple<std::string, Lamp, Observer>> columns{{"D65_10", Lamp::D65, Observer::deg10},
                                                                     {"D65_2", Lamp::D65, Observer::deg2},
                                                                     {"D50_2", Lamp::D50, Observer::deg2},
                                                                     {"A_10", Lamp::A, Observer::deg10},
                                                                     {"A_2", Lamp::A, Observer::deg2}};
  for (const auto& [name, lamp, observer] : columns) {
    std::array<std::array<double, bands>, 3> theirs{};
    for (auto row : rows) {
      const int band = std::clamp((std::stoi(row["wavelength_nm"]) - 380) / 10, 0, bands - 1);
      theirs[0][static_cast<std::size_t>(band)] += std::stod(row["WX_" + name]);
      theirs[1][static_cast<std::size_t>(band)] += std::stod(row["WY_" + name]);
      theirs[2][static_cast<std::size_t>(band)] += std::stod(row["WZ_" + name]);
    }
    const Weights& ours = weights(lamp, observer);
    for (std::size_t band = 0; band < bands; ++band) {
      EXPECT_NEAR(ours.x[band], theirs[0][band], 0.01) << name << " band " << band;
      EXPECT_NEAR(ours.y[band], theirs[1][band], 0.01) << name << " band " << band;
      EXPECT_NEAR(ours.z[band], theirs[2][band], 0.01) << name << " band " << band;
    }
  }
}

// Measured glossy chips against the renotation that defines their names: real chips are made to about 2 Delta E and the
// instrument's readings below 430 nm are extrapolated.
TEST(Munsell, MeasuredChipsLieByTheirRenotation) {
  const Rows chips = reference("munsell_glossy_spectra_subset.csv"), names = reference("munsell_renotation_subset.csv");
  if (chips.empty() || names.empty()) GTEST_SKIP() << "the reference collection is not here";
  std::map<std::string, Xyz> renotation;
  for (auto row : names) {
    const double x = std::stod(row["x_C2"]), y = std::stod(row["y_C2"]), big_y = 0.975 * std::stod(row["Y_C2"]);
    renotation[row["hue"] + row["value"] + "/" + row["chroma"]] = {big_y * x / y, big_y, big_y * (1 - x - y) / y};
  }
  const Xyz white = white_point(Lamp::C, Observer::deg2);
  std::vector<double> differences;
  for (auto chip : chips) {
    const auto name = renotation.find(chip["munsell"]);
    if (name == renotation.end()) continue;
    differences.push_back(delta_e_2000(to_lab(spectrum(chip), Lamp::C, Observer::deg2), to_lab(name->second, white)));
  }
  ASSERT_GT(differences.size(), 10u);
  std::sort(differences.begin(), differences.end());
  RecordProperty("chips", static_cast<int>(differences.size()));
  RecordProperty("median_delta_e_2000", std::to_string(differences[differences.size() / 2]));
  EXPECT_LT(differences[differences.size() / 2], 2.0);
  EXPECT_LT(differences[differences.size() * 95 / 100], 5.0);
}

TEST(Lab, WhiteIsWhiteAndBackAgain) {
  for (Lamp lamp : all_lamps)
    for (Observer observer : {Observer::deg2, Observer::deg10}) {
      const Lab white = to_lab(flat_reflectance(1), lamp, observer);
      EXPECT_NEAR(white.l, 100, 1e-9);
      EXPECT_NEAR(std::hypot(white.a, white.b), 0, 1e-9);
      const Xyz colour{12.3, 7.8, 0.4},
          again = to_xyz(to_lab(colour, white_point(lamp, observer)), white_point(lamp, observer));
      EXPECT_NEAR(again.x, colour.x, 1e-12);
      EXPECT_NEAR(again.y, colour.y, 1e-12);
      EXPECT_NEAR(again.z, colour.z, 1e-12);
    }
}

TEST(Srgb, WhiteOfEveryLampIsScreenWhite) {
  for (Lamp lamp : all_lamps) {
    const Xyz white = white_point(lamp, Observer::deg10);
    const Rgb shown = to_srgb(white, white), grey = to_srgb(to_xyz(Lab{50, 0, 0}, white), white);
    EXPECT_NEAR(shown.r, 1, 1e-6);
    EXPECT_NEAR(shown.g, 1, 1e-6);
    EXPECT_NEAR(shown.b, 1, 1e-6);
    EXPECT_NEAR(grey.r * 255, 119, 0.5);  // L* 50 is sRGB 119, 119, 119
    EXPECT_NEAR(grey.b * 255, 119, 0.5);
  }
}

TEST(Srgb, MatrixIsTheStandards) {
  // IEC 61966-2-1, XYZ (D65, Y of white 1) to linear sRGB, four decimals.
  const auto m = linear_srgb_from_xyz({0.3127 / 0.3290, 1, (1 - 0.3127 - 0.3290) / 0.3290});
  const double standard[3][3] = {{3.2406, -1.5372, -0.4986}, {-0.9689, 1.8758, 0.0415}, {0.0557, -0.2040, 1.0570}};
  for (std::size_t i = 0; i < 3; ++i)
    for (std::size_t j = 0; j < 3; ++j) EXPECT_NEAR(m[i][j], standard[i][j], 5e-4);
}

TEST(Difference, IsSymmetricAndZeroForEqual) {
  const Lab one{40, 20, -30}, two{45, -22, 31};
  EXPECT_EQ(delta_e_2000(one, one), 0);
  EXPECT_NEAR(delta_e_2000(one, two), delta_e_2000(two, one), 1e-12);
}

TEST(Widened, GivesTheXyzOfWeightsFoldedAt400And700) {
  std::array<double, 31> read{};
  for (std::size_t i = 0; i < read.size(); ++i) read[i] = 0.1 + 0.02 * static_cast<double>(i);
  const Weights& w = weights(Lamp::A, Observer::deg2);
  double folded = 0;
  for (std::size_t band = 0; band < bands; ++band) folded += w.x[band] * read[std::clamp<std::size_t>(band, 2, 32) - 2];
  EXPECT_NEAR(to_xyz(widened(read), Lamp::A, Observer::deg2).x, folded, 1e-12);
}

TEST(Recovery, ReproducesTheColourAndStaysARealSurface) {
  const Xyz white = white_point(Lamp::D65, Observer::deg10);
  for (const Lab& lab : {Lab{80, 5, 18}, Lab{33, 8, 12}, Lab{50, 60, 40}, Lab{90, -5, 70}, Lab{30, 10, -40}}) {
    const auto found = recover_reflectance(to_xyz(lab, white), weights(Lamp::D65, Observer::deg10));
    ASSERT_TRUE(found);
    EXPECT_LT(delta_e_76(to_lab(*found, Lamp::D65, Observer::deg10), lab), 1e-6);
    for (double r : found->at) EXPECT_TRUE(r > 0 && r < 1);
  }
}

TEST(Recovery, RefusesColoursNoSurfaceHas) {
  const Weights& w = weights(Lamp::D65, Observer::deg10);
  EXPECT_FALSE(recover_reflectance({0, 0, 0}, w));
  EXPECT_FALSE(recover_reflectance({150, 150, 150}, w));
  EXPECT_FALSE(recover_reflectance({90, 1, 1}, w));
  EXPECT_FALSE(recover_reflectance({NAN, 20, 20}, w));
}

// The estimated woods of data/spectra have the colours their remarks state.
TEST(Woods, HaveTheStatedColour) {
  std::ifstream in(PROJECT_FOLDER "/data/spectra/woods.csv");
  std::map<std::string, Lab> stated;
  int compared = 0;
  for (std::string line; std::getline(in, line);) {
    std::string hash, id, word;
    std::istringstream remark(line);
    Lab lab;
    if (remark >> hash >> id >> word >> lab.l >> word >> lab.a >> word >> lab.b && hash == "#") stated[id] = lab;
    std::istringstream cells(line);
    std::getline(cells, id, ',');
    std::getline(cells, word, ',');
    if (word != "reflectance") continue;
    Reflectance r;
    for (double& v : r.at) {
      std::getline(cells, word, ',');
      v = std::stod(word);
    }
    ASSERT_TRUE(stated.contains(id)) << id;
    EXPECT_LT(delta_e_76(to_lab(r, Lamp::D65, Observer::deg10), stated[id]), 0.1) << id;
    ++compared;
  }
  EXPECT_GT(compared, 10);
}

}  // namespace

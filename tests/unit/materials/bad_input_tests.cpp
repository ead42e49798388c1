// A faulty library: every fault in one run, each with file, line, key and what to do.
#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>

#include "materials/material.h"

namespace witnessline::materials {
namespace {

namespace fs = std::filesystem;

const char* const sound_bib =
    "@misc{somebody2000,\n  title = {A table},\n  author = {Somebody},\n  year = {2000},\n  note = {invented},\n}\n";

const std::string carriers_header = "binder,solvent,volume_fraction,leaves_last,kind,source\n";

class FaultyLibrary : public testing::Test {
 protected:
  void SetUp() override {
    const auto* test = testing::UnitTest::GetInstance()->current_test_info();
    root_ = fs::temp_directory_path() / ("witnessline_" + std::to_string(::getpid()) + "_" + test->name());
    fs::remove_all(root_);
    fs::create_directories(root_ / "materials");
    fs::create_directories(root_ / "spectra");
    write("sources.bib", sound_bib);
    write("shelf_life.csv", "binder,part,state,doubtful_months,bad_months,kind,source,locator\n");
    write("usual_carriers.csv", carriers_header);
  }
  void TearDown() override { fs::remove_all(root_); }

  void write(const std::string& name, const std::string& text) { std::ofstream(root_ / name) << text; }

  std::vector<Error> faults_of(const std::string& toml) {
    write("materials/shelf.toml", toml);
    return faults();
  }
  std::vector<Error> faults() {
    const Result<Library> read = read_library(root_.string());
    return read ? std::vector<Error>{} : read.errors();
  }

  static bool says(const std::vector<Error>& faults, int line, const std::string& words) {
    return std::any_of(faults.begin(), faults.end(), [&](const Error& error) {
      return error.where.line == line && error.text().find(words) != std::string::npos;
    });
  }
  static std::string all(const std::vector<Error>& faults) {
    std::string text;
    for (const Error& error : faults) text += error.text() + "\n";
    return text;
  }

  fs::path root_;
};

const std::string sound_solvent =
    "[spirit]\nname = \"spirit\"\nrole = \"solvent\"\n"
    "density_kg_m3 = { value = 789, kind = \"published\", source = \"somebody2000\" }\n";

TEST_F(FaultyLibrary, ASoundOneIsRead) { EXPECT_EQ(all(faults_of(sound_solvent)), ""); }

TEST_F(FaultyLibrary, CarriersAddUpAndNameSolvents) {
  write("usual_carriers.csv", carriers_header +
                                  "shellac,spirit,0.9,yes,estimate,estimate\n"    // 2
                                  "shellack,spirit,1,yes,estimate,estimate\n"     // 3
                                  "alkyd,spirits,1,yes,estimate,estimate\n"       // 4
                                  "alkyd,spirit,1.5,often,estimate,estimate\n");  // 5
  const std::vector<Error> many = faults_of(sound_solvent);
  EXPECT_TRUE(says(many, 3, "'shellack' is no binder")) << all(many);
  EXPECT_TRUE(says(many, 4, "'spirits' is no solvent")) << all(many);
  EXPECT_TRUE(says(many, 5, "share by volume")) << all(many);
  EXPECT_TRUE(says(many, 5, "'often'")) << all(many);
  write("usual_carriers.csv", carriers_header + "shellac,spirit,0.9,,estimate,estimate\n");
  const std::vector<Error> sums = faults();
  EXPECT_TRUE(says(sums, 1, "the carrier of shellac adds up to 0.9")) << all(sums);
  EXPECT_TRUE(says(sums, 1, "0 solvents of shellac leave last")) << all(sums);
}

TEST_F(FaultyLibrary, ABlendAddsUpAndNamesWhatIsThere) {
  const std::vector<Error> half = faults_of(sound_solvent + "blend = { spirit = 0.5 }\n");
  EXPECT_TRUE(says(half, 5, "adds up to 1")) << all(half);
  const std::vector<Error> other = faults_of(sound_solvent + "blend = { water = 1 }\n");
  EXPECT_TRUE(says(other, 0, "'water' is not in the library")) << all(other);
}

TEST_F(FaultyLibrary, AllFaultsComeInOneRunWithTheirLines) {
  const std::vector<Error> faults = faults_of(
      "[spirit]\n"                                                                              // 1
      "name = \"spirit\"\n"                                                                     // 2
      "role = \"solvnt\"\n"                                                                     // 3
      "densty_kg_m3 = { value = 789, kind = \"published\", source = \"somebody2000\" }\n"       // 4
      "viscosity = { value = 1, kind = \"published\", source = \"somebody2000\" }\n"            // 5
      "refractive_index = 1.36\n"                                                               // 6
      "boiling_point_degC = { value = 78, source = \"somebody2000\" }\n"                        // 7
      "molar_mass_g_mol = { value = 46, kind = \"published\" }\n"                               // 8
      "flash_point_degC = { value = 12, kind = \"published\", source = \"somebody2001\" }\n"    // 9
      "surface_tension_mN_m = { value = -22, kind = \"memory\", source = \"somebody2000\" }\n"  // 10
      "evaporation_rate = { value = nan, kind = \"memory\", source = \"somebody2000\" }\n"      // 11
      "hansen_d_MPa05 = { value = 15, kind = \"estimate\", source = \"somebody2000\" }\n");     // 12
  EXPECT_TRUE(says(faults, 3, "did you mean 'solvent'")) << all(faults);
  EXPECT_TRUE(says(faults, 4, "did you mean 'density_kg_m3'")) << all(faults);
  EXPECT_TRUE(says(faults, 5, "the unit of 'viscosity' is missing; expected viscosity_mPa_s")) << all(faults);
  EXPECT_TRUE(says(faults, 6, "a bare value")) << all(faults);
  EXPECT_TRUE(says(faults, 7, "kind is missing")) << all(faults);
  EXPECT_TRUE(says(faults, 8, "source is missing")) << all(faults);
  EXPECT_TRUE(says(faults, 9, "did you mean 'somebody2000'")) << all(faults);
  EXPECT_TRUE(says(faults, 10, "outside what this can be")) << all(faults);
  EXPECT_TRUE(says(faults, 11, "not a number")) << all(faults);
  EXPECT_TRUE(says(faults, 12, "an estimate must state its uncertainty")) << all(faults);
  for (const Error& fault : faults) {
    EXPECT_NE(fault.where.file.find("shelf.toml"), std::string::npos) << fault.text();
    EXPECT_GT(fault.where.column, 0) << fault.text();
  }
}

TEST_F(FaultyLibrary, AMaterialNeedsWhatItsRoleNeeds) {
  const std::vector<Error> faults = faults_of("[varnish]\nname = \"varnish\"\nrole = \"clear\"\n");
  for (const char* key : {"density_kg_m3", "dry_density_kg_m3", "volume_solids_pct", "refractive_index"})
    EXPECT_TRUE(says(faults, 1, std::string(key) + " is missing")) << all(faults);
}

TEST_F(FaultyLibrary, TheSameIdTwiceIsRefused) {
  write("materials/again.toml", sound_solvent);
  EXPECT_TRUE(says(faults_of(sound_solvent), 1, "this material is defined already"));
}

TEST_F(FaultyLibrary, BrokenTomlIsLocated) {
  EXPECT_TRUE(says(faults_of("[spirit]\nname = \"spirit\n"), 2, "shelf.toml:2"));
}

TEST_F(FaultyLibrary, SpectraThatAreNotThereAreRefused) {
  const std::vector<Error> faults =
      faults_of(sound_solvent +
                "spectra = { file = \"woods.csv\", id = \"pine\", kind = \"estimate\", source = \"somebody2000\" }\n");
  EXPECT_TRUE(says(faults, 5, "no spectra file 'woods.csv'")) << all(faults);
}

TEST_F(FaultyLibrary, ASpectrumAboveOneOrOfAnUnknownQuantityIsRefused) {
  std::string header = "id,quantity", row = "pine,reflectence", high = "oak,reflectance";
  for (int nm = 380; nm <= 730; nm += 10) header += ",w" + std::to_string(nm), row += ",0.5", high += ",1.5";
  write("spectra/woods.csv", "# woods\n" + header + "\n" + row + "\n" + high + "\n");
  const std::vector<Error> faults = faults_of(sound_solvent);
  EXPECT_TRUE(says(faults, 3, "did you mean 'reflectance'")) << all(faults);
  EXPECT_TRUE(says(faults, 4, "a factor from 0 to 1")) << all(faults);
}

TEST_F(FaultyLibrary, SourcesAreReadStrictly) {
  write("sources.bib",
        "@mysc{one,\n  title = {A},\n  author = {B},\n  year = {2000},\n  note = {c},\n}\n"       // 1
        "@misc{two,\n  titel = {A},\n  author = {B},\n  year = {2000},\n  note = {c},\n}\n"       // 7
        "@dataset{three,\n  title = {A},\n  author = {B},\n  year = {2000},\n  note = {c},\n}\n"  // 13
        "stray words\n");                                                                         // 19
  const std::vector<Error> faults = faults_of(sound_solvent);
  EXPECT_TRUE(says(faults, 1, "did you mean 'misc'")) << all(faults);
  EXPECT_TRUE(says(faults, 8, "did you mean 'title'")) << all(faults);
  EXPECT_TRUE(says(faults, 12, "field 'title' is missing")) << all(faults);
  EXPECT_TRUE(says(faults, 18, "field 'licence' is missing")) << all(faults);
  EXPECT_TRUE(says(faults, 19, "belongs to no entry")) << all(faults);
}

TEST_F(FaultyLibrary, AMissingFolderIsReported) {
  const Result<Library> read = read_library((root_ / "nowhere").string());
  ASSERT_FALSE(read);
  EXPECT_FALSE(read.errors().empty());
}

}  // namespace
}  // namespace witnessline::materials

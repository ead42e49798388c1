// What a tired person writes: each example request with one thing wrong. It is refused at its key, or mended and said;
// no answer holds a number that is none.
#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "app/colour_verbs.h"
#include "app/verb.h"

namespace witnessline::app {
namespace {

namespace fs = std::filesystem;

std::string read(const fs::path& path) {
  std::ostringstream text;
  text << std::ifstream(path).rdbuf();
  return text.str();
}

/// Every `from` in `text` becomes `to`.
std::string changed(std::string text, const std::string& from, const std::string& to) {
  EXPECT_NE(text.find(from), std::string::npos) << from;
  for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size()))
    text.replace(at, from.size(), to);
  return text;
}

class Folder {
 public:
  Folder() : path_(fs::temp_directory_path() / ("witnessline_silly_" + std::to_string(::getpid()))) {
    fs::create_directories(path_);
    for (const char* table : {"tints.csv", "red_part.csv"})
      fs::copy_file(fs::path(example_folder()) / table, path_ / table, fs::copy_options::overwrite_existing);
  }
  ~Folder() { fs::remove_all(path_); }
  std::string write(const std::string& name, const std::string& text) const {
    std::ofstream(path_ / name) << text;
    return (path_ / name).string();
  }

 private:
  fs::path path_;
};

struct Mistake {
  const char *verb, *from, *to;
  const char* stated;  ///< part of the fault's text with its key, or of the answer
};

class Silly : public testing::TestWithParam<Mistake> {};

TEST_P(Silly, IsNamedOrMended) {
  const Mistake& m = GetParam();
  const Folder folder;
  const std::string text = changed(read(fs::path(example_folder()) / (std::string(m.verb) + ".toml")), m.from, m.to);
  const auto answered = ask_file(*find_verb(m.verb), folder.write("request.toml", text), BenchUnits::metric);
  std::string stated;
  if (answered)
    stated = answered->text;
  else
    for (const Error& e : answered.errors()) stated += e.text() + "\n";
  EXPECT_NE(stated.find(m.stated), std::string::npos) << stated;
  EXPECT_EQ(stated.find(" nan"), std::string::npos) << stated;
  if (!answered) {
    for (const Error& e : answered.errors()) {
      EXPECT_FALSE(e.where.file.empty()) << e.text();
      EXPECT_GT(e.where.line, 0) << e.text();
    }
  }
}

INSTANTIATE_TEST_SUITE_P(
    WetSide, Silly,
    testing::Values(
        Mistake{"thin", "[wanted]", "[[thinner]]\nmaterial = \"acetone\"\nshare_pct = 103\n[wanted]", "share_pct"},
        Mistake{"thin", "[wanted]",
                "[[thinner]]\nmaterial = \"acetone\"\nshare_pct = 60\n[[thinner]]\nmaterial = \"toluene\"\n"
                "share_pct = 43\n[wanted]",
                "thinner: the shares sum to 103 %"},
        Mistake{"thin", "run_out_s = 58", "run_out_s = 580", "tin.readings[1].run_out_s"},
        Mistake{"thin", "temperature_degC = 21", "temperature = 70", "temperature: "},
        Mistake{"thin", "temperature_degC = 21", "temperature_degC = 70", "air.temperature_degC: is too large"},
        Mistake{"thin", "solids_pct = 21", "solids_pct = 0.21", "tin.solids_pct"},
        Mistake{"thin", "speed_m_s = 0.3", "speed_m_s = 0", "do not spray without moving air"},
        Mistake{"thin", "humidity_pct = 65", "humidity_pct = -5", "air.humidity_pct: is negative"},
        Mistake{"thin", "\"mek\"", "\"methanol\"", "shelf[2].material: methanol has no Hansen"},
        Mistake{"thin", "run_out_s = 20", "run_out_s = \"twenty\"", "wanted.run_out_s: cannot be the text"},
        Mistake{"dry", "mass_g = 43.31", "mass_g = 43.91", "heavier than the one before: left out"},
        Mistake{"dry", "mass_g = 43.77", "mass_g = 40", "card.weighings[1].mass_g"},
        Mistake{"dry", "at_h = 702", "at_h = 7", "card.weighings[7].at_h"},
        Mistake{"dry", "temperature_degC = 21", "temperature_degC = [21, 19]", "temperature_degC: cannot be a list"},
        Mistake{"dry", "\"toluene\"", "\"tolune\"", "did you mean 'toluene'?"},
        Mistake{"compatible", "\"lacquer_thinner\"", "\"methanol\"", "thinner: methanol has no Hansen"},
        Mistake{"compatible", "\"lacquer_thinner\"", "\"water\"", "Do not pour it in"},
        Mistake{"compatible", "age_years = 60", "age_years = 1963", "old[1].age_years: is too large"},
        Mistake{"enough", "transfer_pct = 50", "transfer_pct = 0.5", "transfer_pct: is too small"},
        Mistake{"enough", "volume_mL = 240", "volume_mL = 0", "tin.volume_mL"},
        Mistake{"lay", "relative_humidity_pct = 50", "relative_humidity_pct = 0.5",
                "relative_humidity_pct: is too small"},
        Mistake{"lay", "film_um = 60", "film_um = 60\nair_speed_m_s = 0", "air_speed_m_s: is too small"},
        Mistake{"lay", "\"nitrocellulose_lacquer\"", "\"acetone\"", "nothing in 'acetone' makes a film"},
        Mistake{"tin", "density_kg_m3 = 4000", "density_kg_m3 = 800", "lighter than the liquid"},
        Mistake{"tin", "gel = \"good\"", "gel = \"fine\"", "tin.gel: cannot be the text"},
        Mistake{"tin", "filled_years_ago = 38", "filled_years_ago = 1986", "tin.filled_years_ago: is too large"},
        Mistake{"ventilate", "\nfan_m3_h = 4200", "\nfan_m3_h = 0", "room.fan_m3_h: is too small"},
        Mistake{"ventilate", "\nfan_m3_h = 4200", "\n", "room.fan_m3_h: is missing"},
        Mistake{"ventilate", "\"butyl_acetate\", volume_pct = 45", "\"butyl_acetate\", volume_pct = 48",
                "contents[1].solvents: the shares sum to 103"},
        Mistake{"ventilate", "of = \"nitrocellulose_lacquer\"", "of = \"shellac\"", "an't be assessed, data missing"}));

INSTANTIATE_TEST_SUITE_P(
    Colour, Silly,
    testing::Values(Mistake{"read", "lamps = [\"D65\", \"A\", \"LED-B3\"]", "lamps = []", "lamps: no lamp"},
                    Mistake{"match", "lamps = [\"D65\", \"A\", \"LED-B3\"]", "lamps = []", "lamps: no lamp"},
                    Mistake{"correct", "lamps = [\"D65\", \"A\", \"LED-B3\"]", "lamps = []", "lamps: no lamp"},
                    Mistake{"shade", "lamps = [\"D65\", \"A\", \"LED-B3\"]", "lamps = []", "lamps: no lamp"},
                    Mistake{"yellowed_clear", "lamps = [\"D65\", \"A\", \"LED-B3\"]", "lamps = []", "lamps: no lamp"},
                    Mistake{"shade", "\"LED-B3\"", "\"LED\"", "lamps[3]: cannot be the text"},
                    Mistake{"match", "lab = [66,", "lab = [660,", "target.lab"},
                    Mistake{"match", "\"leaf_green\"", "\"leaf_gren\"", "did you mean 'leaf_green'?"},
                    Mistake{"correct", "in_cup_g = ", "in_cup_g = 0 # ", "shelf: there is nothing in the cup"},
                    Mistake{"shade", "mass_fraction = 0.3", "mass_fraction = 0.6", "target.coats[2].parts"},
                    Mistake{"yellowed_clear", "0.8", "80.8", "ground"},
                    Mistake{"yellowed_clear", "0.827, 0.828,", "", "ground.reflectance: 29 factors"}));

TEST(SillyYellowedClear, GroundAndClearChangedOver) {
  const Folder folder;
  std::string text = read(fs::path(example_folder()) / "yellowed_clear.toml");
  text = changed(changed(changed(text, "[ground]", "[x]"), "[with_clear]", "[ground]"), "[x]", "[with_clear]");
  const auto answered = ask_file(*find_verb("yellowed_clear"), folder.write("request.toml", text), BenchUnits::metric);
  ASSERT_FALSE(answered);
  EXPECT_NE(answered.errors()[0].text().find("swapped?"), std::string::npos) << answered.errors()[0].text();
}

/// What characterise says of the example's table with something wrong: faults, or notes.
std::string characterised(const Folder& folder, const std::string& table) {
  const auto set = characterise_file(folder.write("films.csv", table));
  std::string stated;
  if (!set)
    for (const Error& e : set.errors()) stated += e.text() + "\n";
  else
    for (const Note& n : set->notes) stated += n.text + "\n";
  return stated;
}

TEST(SillyCharacterise, IsNamedOrSaid) {
  const Folder folder;
  const std::string table = read(fs::path(example_folder()) / "tints.csv");
  const auto says = [&](const std::string& text, const char* word) {
    const std::string stated = characterised(folder, text);
    EXPECT_NE(stated.find(word), std::string::npos) << stated;
  };
  EXPECT_EQ(characterised(folder, table), "") << "a sound table is not talked about";
  says(changed(changed(changed(table, "R450", "R9"), "R460", "R450"), "R9", "R460"), "out of order");
  says(changed(changed(changed(table, "over_black", "x"), "over_white", "over_black"), "x", "over_white"), "swapped?");
  says(changed(table, "over_black,", "over_grey,"), "'over_grey' is not known");

  // Every other band of every film eight hundredths up, the others down.
  std::istringstream lines(table);
  std::string noisy, one_ground, line;
  std::ptrdiff_t first_band = 0;  // its column
  while (std::getline(lines, line)) {
    if (line.find(",card_black,") == std::string::npos && line.find(",over_black,") == std::string::npos)
      one_ground += line + "\n";
    if (const auto at = line.find("R400"); at != std::string::npos && line.rfind("sample", 0) == 0)
      first_band = std::count(line.begin(), line.begin() + static_cast<std::ptrdiff_t>(at), ',');
    if (line.find(",over_") == std::string::npos) {
      noisy += line + "\n";
      continue;
    }
    std::istringstream cells(line);
    std::string cell;
    for (int i = 0; std::getline(cells, cell, ','); ++i) {
      if (i >= first_band) cell = std::to_string(std::max(0.0005, std::stod(cell) + (i % 2 ? 0.08 : -0.08)));
      noisy += (i ? "," : "") + cell;
    }
    noisy += "\n";
  }
  says(noisy, "absorbs almost nothing at");
  says(one_ground, "No film was read over two grounds");
}

}  // namespace
}  // namespace witnessline::app

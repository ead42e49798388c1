#include <gtest/gtest.h>

#include <algorithm>

#include "app/app.h"
#include "app/files.h"
#include "app/verb.h"
#include "app/verbs/correct.h"
#include "app/verbs/match.h"
#include "match/reading.h"
#include "optics/face.h"

namespace witnessline::app {
namespace {

const char* rest = R"("ground": {"lab": [90, 0, 4]}, "film_um": 45, "batch_g": 50,
  "shelf": [{"material": "zinc_white", "volume_mL": 90}, {"material": "bone_black", "volume_mL": 50}])";

Result<Answered> asked(const std::string& first, const std::string& others = rest) {
  return ask_json(match_verb(), "{" + first + ", " + others + "}", PROJECT_FOLDER, BenchUnits::metric);
}

TEST(MatchVerb, AnswersItsExampleInGrams) {
  const auto answered = ask_file(match_verb(), example_folder() + "/match.toml", BenchUnits::metric);
  ASSERT_TRUE(answered);
  EXPECT_NE(answered->text.find("zinc white"), std::string::npos);
  EXPECT_NE(answered->text.find("the scale shows"), std::string::npos);
  EXPECT_NE(answered->text.find("leaf_green"), std::string::npos);
  EXPECT_NE(answered->text.find("Recipe 4"), std::string::npos);  // several to choose from
}

TEST(MatchVerb, FaultsNameTheirKeys) {
  const auto no_lamp = asked(R"("target": {"lab": [50, 0, 0]}, "lamps": [])");
  ASSERT_FALSE(no_lamp);
  EXPECT_EQ(no_lamp.errors()[0].where.key, "lamps");
  const auto unknown = asked(R"("target": {"lab": [50, 0, 0]})", R"("ground": {"lab": [90, 0, 4]}, "film_um": 45,
    "shelf": [{"material": "zink_white", "volume_mL": 90}])");
  ASSERT_FALSE(unknown);
  EXPECT_EQ(unknown.errors()[0].where.key, "shelf[1].material");
  EXPECT_NE(unknown.errors()[0].fix.find("zinc_white"), std::string::npos);
  const auto negative = asked(R"("target": {"lab": [50, 0, 0]})", R"("ground": {"lab": [90, 0, 4]}, "film_um": 45,
    "shelf": [{"material": "zinc_white", "volume_mL": -1}])");
  ASSERT_FALSE(negative);
  EXPECT_NE(negative.errors()[0].where.key.find("volume_mL"), std::string::npos);
  const auto no_film = asked(R"("target": {"lab": [97, 0, 1]})", R"("ground": {"lab": [20, 0, 0]}, "film_um": 0,
    "batch_g": 50, "shelf": [{"material": "zinc_white", "volume_mL": 90}])");
  ASSERT_FALSE(no_film);
  EXPECT_EQ(no_film.errors()[0].where.key, "film_um");
}

TEST(CorrectVerb, AddsToTheCup) {
  const auto answered = ask_file(correct_verb(), example_folder() + "/correct.toml", BenchUnits::metric);
  ASSERT_TRUE(answered);
  EXPECT_NE(answered->text.find("Add\n"), std::string::npos) << answered->text;
  EXPECT_NE(answered->text.find("mix it again"), std::string::npos);
  // The shelf holds chrome yellow, which would come nearer; the batch holds no lead, and is left without.
  // The tin of it among those asked about is still warned of.
  const std::size_t add = answered->text.find("Add\n"), before = answered->text.find("\n\nBefore");
  EXPECT_EQ(answered->text.substr(add, before - add).find("chrome yellow"), std::string::npos);
  EXPECT_NE(answered->text.find("chrome yellow"), std::string::npos);
}

// A request for white and the colorants of the example's table, which holds films of known K and S.
MixGiven own_shelf(const std::vector<std::string>& colorants) {
  MixGiven given;
  for (const std::string& c : colorants) {
    TinGiven t;
    t.material = c, t.volume_m3 = 200e-6, t.density_kg_m3 = 1040, t.solids_frac = 0.24;
    if (c == "base_white") t.density_kg_m3 = 1230, t.solids_frac = 0.26;
    if (c == "warm_black") t.density_kg_m3 = 1000, t.solids_frac = 0.23;
    given.shelf.push_back(t);
  }
  given.readings = "tints.csv", given.unit_film_m = 50e-6, given.film_m = 45e-6;
  given.target.lab = {60, -8, 12}, given.ground.lab = {90, 0, 4};
  return given;
}

std::string table_of_example() { return *read_file(example_folder() + "/tints.csv"); }

Result<Mix> mixed(const MixGiven& given, const std::string& table) {
  static const Library library = *read_library(data_folder());
  return mix_of(given, {library, BenchUnits::metric, [&](const std::string&) -> Result<std::string> { return table; }});
}

TEST(OwnColorants, AreFoundFromTheirDrawdowns) {
  const auto mix = mixed(own_shelf({"base_white", "leaf_green", "warm_black"}), table_of_example());
  ASSERT_TRUE(mix);
  const auto at = [](double nm) { return static_cast<int>((nm - 380) / 10); };
  // What the table was made from, per 50 um: S 3.2 (l/550)^-0.8 of the white, 0.55 (l/550)^-0.5 of the green; its K
  // 0.12 + 3.2 exp(-((l - 430)/38)^2 / 2) + 3 / (1 + exp((612 - l)/22)); the black's 7.5 (l/550)^-0.35.
  const auto& [white, green, black] = std::tie(mix->shelf[0], mix->shelf[1], mix->shelf[2]);
  EXPECT_NEAR(white.scattering_per_m[at(550)] * 50e-6, 3.2, 0.16);
  EXPECT_NEAR(green.scattering_per_m[at(550)] * 50e-6, 0.55, 0.055);
  EXPECT_NEAR(green.absorption_per_m[at(550)] * 50e-6, 0.12 + 0.0218 + 0.169, 0.03);
  EXPECT_NEAR(green.absorption_per_m[at(650)] * 50e-6, 0.12 + 2.547, 0.27);
  EXPECT_NEAR(black.absorption_per_m[at(550)] * 50e-6, 7.5, 0.75);
  EXPECT_DOUBLE_EQ(green.dry_volume_m3_per_kg, 0.24 / 1040);
  // The readings say K and S better than a tin nobody has read, and say so.
  EXPECT_LT(mix->known.log_covariance[17](1, 1), 0.15 * 0.15);
  EXPECT_GT(mix->known.log_covariance[17](1, 1), 0);
}

TEST(OwnColorants, HalfTheUnitFilmIsTwiceTheStrength) {
  MixGiven given = own_shelf({"base_white", "leaf_green"});
  const auto whole = mixed(given, table_of_example());
  given.unit_film_m = 25e-6;
  const auto half = mixed(given, table_of_example());
  given.unit_film_m = 0;
  const auto assumed = mixed(given, table_of_example());
  ASSERT_TRUE(whole && half && assumed);
  EXPECT_NEAR(half->shelf[1].absorption_per_m[10] / whole->shelf[1].absorption_per_m[10], 2, 1e-9);
  const auto says = [](const Mix& mix) {
    return std::any_of(mix.notes.begin(), mix.notes.end(),
                       [](const Note& n) { return n.text.find("assumed: hiding") != std::string::npos; });
  };
  EXPECT_TRUE(says(*assumed));
  EXPECT_FALSE(says(*whole));
  // An assumed film puts all of them off together.
  EXPECT_NEAR(assumed->known.log_covariance[17](0, 1) - whole->known.log_covariance[17](0, 1), 0.35 * 0.35, 1e-9);
}

TEST(OwnColorants, FaultsNameTheirKeys) {
  MixGiven given = own_shelf({"base_white", "leef_green"});
  auto mix = mixed(given, table_of_example());
  ASSERT_FALSE(mix);
  EXPECT_EQ(mix.errors()[0].where.key, "shelf[2].material");
  EXPECT_NE(mix.errors()[0].fix.find("leaf_green"), std::string::npos);
  given = own_shelf({"base_white"}), given.readings.clear();
  mix = mixed(given, table_of_example());
  ASSERT_FALSE(mix);
  EXPECT_EQ(mix.errors()[0].where.key, "shelf[1].material");
  EXPECT_NE(mix.errors()[0].expected.find("`readings`"), std::string::npos);
  given = own_shelf({"base_white"}), given.shelf[0].solids_frac = 0;
  mix = mixed(given, table_of_example());
  ASSERT_FALSE(mix);
  EXPECT_EQ(mix.errors()[0].where.key, "shelf[1]");
  given = own_shelf({"base_white"}), given.shelf[0].volume_m3 = 0;
  mix = mixed(given, table_of_example());
  ASSERT_FALSE(mix);
  EXPECT_EQ(mix.errors()[0].where.key, "shelf[1].volume_mL");
}

// A tin that was mixed from two others is poured as they would be: half and half of each gives the same film.
TEST(MatchVerb, ATinOfAMixtureIsPouredAsItsParts) {
  MixGiven given = own_shelf({});
  given.readings.clear();
  for (const char* id : {"zinc_white", "viridian"}) {
    TinGiven t;
    t.material = id, t.volume_m3 = 200e-6, t.price_per_litre = 50;
    given.shelf.push_back(t);
  }
  TinGiven mixed_tin = given.shelf[0];
  mixed_tin.material = "sea green", mixed_tin.parts = {{"zinc_white", 0.75}, {"viridian", 0.25}};
  given.shelf.push_back(mixed_tin);
  const auto mix = mixed(given, "");
  ASSERT_TRUE(mix) << mix.errors()[0].text();
  const auto& [white, green, both] = std::tie(mix->shelf[0], mix->shelf[1], mix->shelf[2]);
  const double a = 0.75 * white.dry_volume_m3_per_kg, b = 0.25 * green.dry_volume_m3_per_kg;
  EXPECT_NEAR(both.dry_volume_m3_per_kg, a + b, 1e-9 * (a + b));
  for (const int band : {5, 17, 30})
    EXPECT_NEAR(both.absorption_per_m[band],
                (a * white.absorption_per_m[band] + b * green.absorption_per_m[band]) / (a + b),
                1e-6 * both.absorption_per_m[band]);
  EXPECT_EQ(both.name, "sea green");
  EXPECT_NEAR(both.left_kg, 200e-6 * mix->density_kg_m3[2], 1e-12);
  EXPECT_NEAR(both.price_per_kg * mix->density_kg_m3[2], 50e3, 1e-6);
  given.shelf[2].parts.push_back({"red_lead", 0.1});
  const auto leaded = mixed(given, "");
  ASSERT_TRUE(leaded);
  EXPECT_TRUE(leaded->shelf[2].poison) << "one part of it is lead";
}

TEST(OwnColorants, OneGroundAloneCannotBeUsed) {
  // The black alone, over its white card only: its other films and cards are taken out of the table.
  std::string kept;
  const std::string all = table_of_example();
  for (std::size_t at = 0; at < all.size();) {
    const std::size_t end = std::min(all.find('\n', at), all.size());
    const std::string line = all.substr(at, end - at);
    const bool black_one = line.starts_with("black");
    if (!black_one || (line.starts_with("black thin") && line.find("_white") != std::string::npos)) kept += line + "\n";
    at = end + 1;
  }
  const auto mix = mixed(own_shelf({"base_white", "leaf_green", "warm_black"}), kept);
  ASSERT_TRUE(mix);
  EXPECT_TRUE(mix->shelf[1].separated);
  EXPECT_FALSE(mix->shelf[2].separated);
  const auto found = match::match(mix->shelf, mix->aim, mix->laying, {0.1, 1e-5, 0.2});
  ASSERT_TRUE(found);
  for (const Recipe& r : found->recipes)
    for (const Pour& p : r.pours) EXPECT_NE(p.tin, 2u);
  EXPECT_EQ(std::count_if(found->notes.begin(), found->notes.end(),
                          [](const Note& n) { return n.text.find("warm_black is left out") == 0; }),
            1);
}

Result<MatchAnswer> matched(const MixGiven& given, double tin_sd_fraction, double unit_film_m) {
  static const Library library = *read_library(data_folder());
  MatchRequest request;
  static_cast<MixGiven&>(request) = given;
  request.tin_sd_fraction = tin_sd_fraction, request.unit_film_m = unit_film_m, request.answers = 1;
  return match_answer(request, {library, BenchUnits::metric,
                                [](const std::string&) -> Result<std::string> { return table_of_example(); }});
}

TEST(MatchVerb, BandHoldsTheDoubtOfTheTins) {
  MixGiven given = own_shelf({"base_white", "leaf_green", "warm_black"});
  const auto known = matched(given, 0.15, 50e-6), assumed = matched(given, 0.15, 0);
  ASSERT_TRUE(known && assumed);
  const Band a = known->recipes[0].delta_e.band, b = assumed->recipes[0].delta_e.band;
  EXPECT_LE(a.low, known->recipes[0].delta_e.value);
  EXPECT_GT(a.high, known->recipes[0].delta_e.value);
  EXPECT_GT(known->recipes[0].likely_delta_e, a.low);
  EXPECT_LT(known->recipes[0].likely_delta_e, a.high);
  EXPECT_GE(b.high, a.high);  // a film assumed is one doubt more
  // The same of tins of the library: the less they are known, the wider.
  for (TinGiven& t : given.shelf) t.density_kg_m3 = 0, t.solids_frac.reset();
  given.readings.clear();
  given.shelf[0].material = "zinc_white", given.shelf[1].material = "viridian", given.shelf[2].material = "bone_black";
  const auto well = matched(given, 0.05, 0), badly = matched(given, 0.3, 0);
  ASSERT_TRUE(well && badly);
  EXPECT_GT(badly->recipes[0].delta_e.band.high,
            2 * well->recipes[0].delta_e.band.high - well->recipes[0].delta_e.value);
}

TEST(MatchVerb, ShowsTheContrastPanel) {
  const auto answer = matched(own_shelf({"base_white", "leaf_green"}), 0.15, 50e-6);
  ASSERT_TRUE(answer);
  const auto lightness = [&](const char* name) {
    std::vector<double> found;
    for (const Swatch& s : answer->swatches)
      if (s.name == name) found.push_back(s.lab.l);
    EXPECT_EQ(found.size(), 3u) << name;  // one a lamp
    return found.empty() ? 0 : found[0];
  };
  const double black = lightness("recipe over black"), white = lightness("recipe over white");
  EXPECT_GT(white, black);
  EXPECT_GT(black, 20);  // it is the film that is seen, not the card
}

TEST(MatchVerb, SaysEachThingOnce) {
  for (const Verb& verb : {match_verb(), correct_verb()}) {
    const auto answered = ask_file(verb, example_folder() + "/" + verb.word + ".toml", BenchUnits::metric);
    ASSERT_TRUE(answered);
    for (const char* stated : {"was not recorded", "hides its ground", "Only its Lab is known"}) {
      const std::size_t first = answered->text.find(stated);
      EXPECT_NE(first, std::string::npos) << verb.word << ": " << stated;
      if (std::string(stated) == "hides its ground") continue;  // at all wavelengths, at some
      EXPECT_EQ(answered->text.find(stated, first + 1), std::string::npos);
    }
  }
}

TEST(CorrectVerb, ItsShelfForetellsThePanelItLearnedFrom) {
  static const Library library = *read_library(data_folder());
  const Asking asking{library, BenchUnits::metric, {}};
  CorrectRequest request;
  request.film_m = 45e-6, request.target.lab = {66, -9, 10}, request.panel.lab = {62, -8, 9};
  request.ground.lab = {90, 0, 4};
  for (const auto& [id, kg] : {std::pair{"zinc_white", 0.12}, {"viridian", 0.015}, {"bone_black", 0.002}}) {
    TinGiven t;
    t.material = id, t.volume_m3 = 200e-6, t.in_cup_kg = kg;
    request.shelf.push_back(t);
  }
  const auto first = correct_answer(request, asking);
  ASSERT_TRUE(first);
  double cup_kg = 0;
  for (const TinGiven& t : first->shelf) cup_kg += t.in_cup_kg;
  EXPECT_NEAR(cup_kg, first->batch_kg, 1e-9);
  // What is expected lies inside the band of likely panels; the best, were all known, was once shown as both.
  EXPECT_LT(first->delta_e_after.band.low, first->delta_e_after.value - 0.1);
  EXPECT_GT(first->delta_e_after.band.high, first->delta_e_after.value + 0.1);
  EXPECT_LT(first->best_delta_e, first->delta_e_after.value);
  CorrectRequest again = request;
  again.shelf = first->shelf;
  for (std::size_t i = 0; i < again.shelf.size(); ++i) {
    EXPECT_EQ(again.shelf[i].absorption_per_m.size(), 36u);
    EXPECT_LE(again.shelf[i].absorption_log_sd[15], 0.16);
    again.shelf[i].in_cup_kg = request.shelf[i].in_cup_kg, again.shelf[i].volume_m3 = request.shelf[i].volume_m3;
  }
  const auto second = correct_answer(again, asking);
  ASSERT_TRUE(second);
  EXPECT_LT(std::abs(second->predicted_delta_e - second->delta_e_before.value),
            0.7 * std::abs(first->predicted_delta_e - first->delta_e_before.value));
  again.shelf[1].absorption_per_m.resize(31);
  const auto faulty = correct_answer(again, asking);
  ASSERT_FALSE(faulty);
  EXPECT_EQ(faulty.errors()[0].where.key, "shelf[2].absorption_per_mm");
}

Result<SurfaceFound> found_in(const std::string& file, const std::string& reading, bool specular_included) {
  static const Library library = *read_library(data_folder());
  static const Palette palette(library);
  SurfaceGiven given;
  given.readings = "part.csv", given.reading = reading;
  Geometry geometry;
  geometry.specular_included = specular_included;
  return surface_found(given, "target",
                       {library, BenchUnits::metric, [&](const std::string&) -> Result<std::string> { return file; }},
                       palette, geometry);
}

TEST(Surface, IsReadFromAnInstrumentsFile) {
  const std::string file = *read_file(example_folder() + "/red_part.csv");  // d:8, specular included
  const auto as_read = found_in(file, "under the bridge plate", true);
  ASSERT_TRUE(as_read);
  EXPECT_TRUE(as_read->read);
  const auto readings = read_readings(file, "part.csv");
  ASSERT_TRUE(readings);
  double mean = 0;
  for (std::size_t i = 0; i < 3; ++i) mean += (*readings)[i].reflectance[20] / 3;
  EXPECT_NEAR(as_read->seen[20], mean, 1e-6);  // the mean of three of one name

  // A smooth face of index 1.5 reflects 0.04 at 8 degrees; the rest goes through it (saunderson1942).
  const auto excluded = found_in(file, "under the bridge plate", false);
  ASSERT_TRUE(excluded);
  const AirFace sphere = air_face(1.5, 8), here = air_face(1.5, Geometry{}.illumination_deg);
  EXPECT_NEAR(excluded->seen[20], (mean - sphere.outside) * (1 - here.outside) / (1 - sphere.outside), 1e-6);
  EXPECT_TRUE(std::any_of(excluded->notes.begin(), excluded->notes.end(),
                          [](const Note& n) { return n.text.find("taken off") != std::string::npos; }));

  const auto which = found_in(file, "", true), none = found_in(file, "under the bridge plaet", true);
  ASSERT_FALSE(which);
  EXPECT_EQ(which.errors()[0].where.key, "target.reading");
  ASSERT_FALSE(none);
  EXPECT_NE(none.errors()[0].fix.find("under the bridge plate"), std::string::npos);
}

}  // namespace
}  // namespace witnessline::app

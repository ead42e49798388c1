// The library that is shipped: complete, sourced, physically possible, and drawn as its uncertainties say.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <iterator>

#include "materials/properties.h"

namespace witnessline::materials {
namespace {

const Library& library() {
  static const Result<Library> read = read_library(PROJECT_FOLDER "/data");
  if (!read) {
    for (const Error& error : read.errors()) ADD_FAILURE() << error.text();
    throw std::runtime_error("the shipped library cannot be read");
  }
  return *read;
}

TEST(ShippedLibrary, EveryBinderHasWhatCarriesIt) {
  for (std::size_t b = 0; b < words(static_cast<const Binder*>(nullptr)).size(); ++b)
    EXPECT_TRUE(std::any_of(library().usual_carriers().begin(), library().usual_carriers().end(),
                            [&](const UsualCarrier& one) { return static_cast<std::size_t>(one.binder) == b; }))
        << words(static_cast<const Binder*>(nullptr))[b];
}

TEST(ShippedLibrary, EveryDatumHasUnitKindAndSource) {
  for (const Material& material : library().all())
    for (const auto& [property, datum] : material.data) {
      const std::string where = material.id + "." + std::string(row_of(property).key);
      EXPECT_FALSE(datum.unit.empty()) << where;
      EXPECT_TRUE(std::isfinite(datum.value)) << where;
      EXPECT_NE(library().source(datum.source), nullptr) << where << ": " << datum.source;
      if (datum.kind == Kind::estimate) EXPECT_GT(datum.sd, 0) << where;
    }
}

TEST(ShippedLibrary, EveryEstimateIsExplained) {
  std::ifstream stream(PROJECT_FOLDER "/docs/estimates.md");
  const std::string text{std::istreambuf_iterator<char>(stream), {}};
  ASSERT_FALSE(text.empty());
  for (const Material& material : library().all())
    for (const auto& [property, datum] : material.data)
      if (datum.kind == Kind::estimate)
        EXPECT_NE(text.find("`" + std::string(row_of(property).key) + "`"), std::string::npos)
            << material.id << ": docs/estimates.md does not speak of " << row_of(property).key;
}

TEST(ShippedLibrary, HoldsWhatAJobNeeds) {
  for (const char* id : {"spruce",
                         "maple",
                         "ash",
                         "alder",
                         "mahogany",
                         "poplar",
                         "basswood",
                         "nitrocellulose_lacquer",
                         "acrylic_lacquer",
                         "shellac",
                         "spirit_varnish",
                         "oil_varnish",
                         "alkyd_varnish",
                         "polyurethane",
                         "polyester",
                         "catalysed_lacquer",
                         "water_borne_lacquer",
                         "vinyl_sealer",
                         "white_primer",
                         "pore_filler",
                         "amber_toner",
                         "brown_toner",
                         "house_enamel_white",
                         "zinc_white",
                         "ultramarine",
                         "bone_black",
                         "naphtha",
                         "lacquer_thinner",
                         "fine_compound"})
    EXPECT_NE(library().find(id), nullptr) << id;
}

// Solids by mass that follow from solids by volume and the two densities must leave room for solvent.
TEST(ShippedLibrary, SolidsWeighLessThanTheLiquidThatHoldsThem) {
  for (const Material& material : library().all()) {
    const Datum* solids = material.find(Property::volume_solids);
    if (!solids) continue;
    const double mass_fraction =
        solids->value * material.find(Property::dry_density)->value / material.find(Property::density)->value;
    EXPECT_GT(mass_fraction, 0.05) << material.id;
    EXPECT_LT(mass_fraction, 1.02) << material.id;
    const double volatile_kg_m3 = (1 - mass_fraction) * material.find(Property::density)->value / (1 - solids->value);
    if (solids->value < 0.9) EXPECT_NEAR(volatile_kg_m3, 870, 200) << material.id << ": density of what evaporates";
  }
}

TEST(ShippedLibrary, EverySolventSaysWhenItBurns) {
  for (const Material& material : library().all())
    if (material.role == Role::solvent && material.id != "water") {
      if (material.id != "dichloromethane")  // burns, but shows no flash point in the closed cup
        EXPECT_NE(material.find(Property::flash_point), nullptr) << material.id;
      EXPECT_NE(material.find(Property::lower_explosive_limit), nullptr) << material.id;
      EXPECT_FALSE(material.cautions.empty()) << material.id;
    }
}

// Published explosive limits disagree: n-butyl acetate 1.7 % (NFPA, NIOSH, OSHA), 1.2 % (IEC).
TEST(ShippedLibrary, OfSeveralExplosiveLimitsTheLowestRulesAndTheOthersAreKept) {
  const Material* ester = library().find("butyl_acetate");
  ASSERT_NE(ester, nullptr);
  EXPECT_NEAR(ester->find(Property::lower_explosive_limit)->value, 0.012, 1e-12);
  EXPECT_EQ(ester->find(Property::lower_explosive_limit)->source, "iec60079_20_1");
  EXPECT_EQ(ester->overruled.count(Property::lower_explosive_limit), 3u);
}

TEST(ShippedLibrary, LeadPigmentsSaySo) {
  for (const char* id : {"lead_white", "red_lead", "chrome_yellow", "house_enamel_white"}) {
    ASSERT_NE(library().find(id), nullptr) << id;
    EXPECT_TRUE(library().find(id)->contains(Harmful::lead)) << id;
    EXPECT_FALSE(library().find(id)->cautions.empty()) << id;
  }
  EXPECT_TRUE(library().find("chrome_yellow")->contains(Harmful::chromate));
}

TEST(Draw, IsTheSameForTheSameSeedAndOtherwiseNot) {
  const Library one = library().draw(7, 3), same = library().draw(7, 3), other = library().draw(7, 4);
  const auto solids = [](const Library& l) {
    return l.find("nitrocellulose_lacquer")->find(Property::volume_solids)->value;
  };
  EXPECT_EQ(solids(one), solids(same));
  EXPECT_NE(solids(one), solids(other));
  EXPECT_NE(solids(one), solids(library()));
  EXPECT_EQ(one.hash(), same.hash());
  EXPECT_NE(one.hash(), other.hash());
  EXPECT_NE(one.hash(), library().hash());
}

TEST(Draw, SpreadsAsTheDatumSays) {
  const Datum datum = *library().find("spruce")->find(Property::density);
  const int draws = 400;
  double sum = 0, squares = 0;
  for (int i = 0; i < draws; ++i) {
    const double value =
        library().draw(1, static_cast<std::uint64_t>(i)).find("spruce")->find(Property::density)->value;
    sum += value;
    squares += value * value;
  }
  const double mean = sum / draws, sd = std::sqrt(squares / draws - mean * mean);
  EXPECT_NEAR(mean, datum.value, 4 * datum.sd / std::sqrt(draws));
  EXPECT_NEAR(sd, datum.sd, 0.15 * datum.sd);
}

TEST(Draw, StaysInsideWhatAPropertyCanBe) {
  for (std::uint64_t i = 0; i < 50; ++i) {
    const Library drawn = library().draw(11, i);
    for (const Material& material : drawn.all())
      for (const auto& [property, datum] : material.data) {
        const PropertyRow& row = row_of(property);
        EXPECT_GE(datum.value, row.unit.to_si(row.low)) << material.id << " " << row.key;
        EXPECT_LE(datum.value, row.unit.to_si(row.high)) << material.id << " " << row.key;
      }
  }
}

TEST(Draw, MovesTheThicknessOfADrawdownWithIt) {
  const Library drawn = library().draw(5, 0);
  const Material* white = drawn.find("zinc_white");
  ASSERT_TRUE(white->drawdown.has_value());
  EXPECT_EQ(white->drawdown->thickness_m, white->find(Property::drawdown_thickness)->value);
  EXPECT_NE(white->drawdown->thickness_m, library().find("zinc_white")->drawdown->thickness_m);
  EXPECT_TRUE(white->drawdown->thickness_assumed);
}

}  // namespace
}  // namespace witnessline::materials

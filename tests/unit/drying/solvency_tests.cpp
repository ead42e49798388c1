// No paint is refused what carries it in its tin; standard thinners do not warn; what does not dissolve is refused.
#include "drying/solvency.h"

#include <gtest/gtest.h>

namespace witnessline::drying {
namespace {

const Library& library() {
  static const Result<Library> read = read_library(PROJECT_FOLDER "/data");
  if (!read) throw std::runtime_error(read.errors().front().text());
  return *read;
}
GunMix mixed(const Material& paint, const CarrierBlend& thinner, double thinning) {
  std::vector<Note> notes;
  const Result<GunMix> mix = gun_mix(paint, *usual_carrier(paint.binder, library()),
                                     paint.find(Property::volume_solids)->value, thinner, thinning, "thinner", notes);
  if (!mix) throw std::runtime_error(mix.errors().front().text());
  return *mix;
}
GunMix mixed(const std::string& paint, const std::string& thinner, double thinning = 1) {
  return mixed(*library().find(paint), *carrier_of(thinner, library()), thinning);
}

// Common practice, no source: a paint is thinned with what carries it.
TEST(Solvency, EveryPaintGoesIntoItsOwnCarrier) {
  int asked = 0;
  for (const Material& paint : library().all()) {
    if (paint.binder == Binder::none || !paint.find(Property::volume_solids)) continue;
    ++asked;
    for (const double thinning : {0.1, 0.5, 1.0, 2.0}) {
      const GunMix mix = mixed(paint, *usual_carrier(paint.binder, library()), thinning);
      const Solvency found = solvency_of(mix);
      EXPECT_TRUE(found.own_carrier) << paint.id;
      EXPECT_EQ(found.thinner.staying, Staying::stays) << paint.id;
      EXPECT_EQ(found.blend.staying, Staying::stays) << paint.id;
      for (const Note& note : found.notes) EXPECT_EQ(note.severity, Severity::information) << note.text;
      if (makers_thinner_only(paint.binder)) continue;
      const LeftSolvency left = solvency_while_drying(mix, wet_coat(mix, 100e-6, {}));
      EXPECT_EQ(left.staying, Staying::stays) << paint.id;
      EXPECT_TRUE(left.notes.empty()) << paint.id;
    }
  }
  EXPECT_GE(asked, 15);
}

// Where practice overrules the sphere, the answer says why the two differ.
TEST(Solvency, SaysWhyTheSphereDiffers) {
  const Solvency spirit = solvency_of(mixed("polyurethane", "mineral_spirits"));
  ASSERT_EQ(spirit.notes.size(), 1u);
  EXPECT_NE(spirit.notes[0].text.find("sold in this carrier"), std::string::npos) << spirit.notes[0].text;
  const Solvency ester = solvency_of(mixed("nitrocellulose_lacquer", "butyl_acetate"));
  EXPECT_EQ(ester.thinner.staying, Staying::stays);
  ASSERT_EQ(ester.notes.size(), 1u);
  EXPECT_NE(ester.notes[0].text.find("dilution ratios"), std::string::npos) << ester.notes[0].text;
}

// Common practice, no source: alcohol alone does not thin nitrocellulose; spirits thin shellac, white spirit and
// turpentine thin oil varnish and alkyd, and neither goes into the other.
TEST(Solvency, ThinnersOfTheBench) {
  struct Row {
    const char *paint, *thinner;
    Staying alone;
  };
  for (const Row& row : {Row{"nitrocellulose_lacquer", "ethanol", Staying::falls_out},
                         {"nitrocellulose_lacquer", "isopropanol", Staying::falls_out},
                         {"nitrocellulose_lacquer", "mek", Staying::stays},
                         {"nitrocellulose_lacquer", "butyl_glycol", Staying::stays},
                         {"nitrocellulose_lacquer", "lacquer_thinner", Staying::stays},
                         {"shellac", "isopropanol", Staying::stays},
                         {"shellac", "methanol", Staying::stays},
                         {"shellac", "toluene", Staying::falls_out},
                         {"shellac", "mineral_spirits", Staying::falls_out},
                         {"oil_varnish", "turpentine", Staying::stays},
                         {"alkyd_varnish", "naphtha", Staying::stays},
                         {"polyurethane", "turpentine", Staying::stays},
                         {"polyurethane", "ethanol", Staying::falls_out},
                         {"acrylic_lacquer", "toluene", Staying::stays},
                         {"acrylic_lacquer", "lacquer_thinner", Staying::stays},
                         {"acrylic_lacquer", "mineral_spirits", Staying::falls_out}}) {
    std::vector<Note> notes;
    const Material& paint = *library().find(row.paint);
    const std::optional<FilmFormer> former = film_former_of(paint);
    const CarrierBlend thinner = *carrier_of(row.thinner, library());
    std::vector<Volatile> solvents;
    for (const Material* one :
         thinner.solvents) {  // methanol lacks what leaving a film needs; its class does not ask it
      Volatile made;
      made.id = one->id, made.family = one->family;
      if (const Result<Volatile> full = volatile_of(*one)) made = *full;
      solvents.push_back(made);
    }
    EXPECT_EQ(BlendJudge(solvents, *former).of(thinner.volume_fraction).staying, row.alone)
        << row.paint << " " << row.thinner;
  }
}

TEST(Solvency, StandardLacquerInStandardThinnerDoesNotWarn) {
  for (const double thinning : {0.1, 0.25, 0.5, 1.0, 1.5}) {
    const GunMix mix = mixed("nitrocellulose_lacquer", "lacquer_thinner", thinning);
    EXPECT_TRUE(solvency_while_drying(mix, wet_coat(mix, 100e-6, {})).notes.empty()) << thinning;
  }
  // Ten in a hundred of retarder neither.
  std::vector<Note> notes;
  const GunMix slow = mixed(*library().find("nitrocellulose_lacquer"),
                            *blend_of({{"lacquer_thinner", 9, ""}, {"butyl_glycol", 1, ""}}, library(), notes), 1);
  for (const Note& note : solvency_of(slow).notes) EXPECT_EQ(note.severity, Severity::information) << note.text;
  EXPECT_TRUE(solvency_while_drying(slow, wet_coat(slow, 100e-6, {})).notes.empty());
}

// White spirit goes into a lacquer's own solvents and stays when they have left.
TEST(Solvency, WhatStaysLastDecidesTheDryingFilm) {
  const GunMix mix = mixed("nitrocellulose_lacquer", "mineral_spirits", 0.2);
  EXPECT_NE(solvency_of(mix).blend.staying, Staying::falls_out);
  const LeftSolvency left = solvency_while_drying(mix, wet_coat(mix, 100e-6, {}));
  EXPECT_EQ(left.staying, Staying::falls_out);
  ASSERT_EQ(left.notes.size(), 1u);
  EXPECT_EQ(left.notes[0].severity, Severity::danger);
}

}  // namespace
}  // namespace witnessline::drying

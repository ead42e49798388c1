#include "safety/hazards.h"

namespace witnessline::safety {

namespace {

struct Row {
  std::string_view question;
  std::span<const Caution> cautions, waste;
};

constexpr Caution pigments[] = {
    {"Old opaque paint counts as leaded until a test of every coat down to the wood says otherwise.",
     "common_practice"},
    {"Spot swabs can miss chromate and coats that are buried: cut a small step through all coats and test each, or "
     "send a "
     "chip with all of them to a laboratory.",
     "common_practice"},
    {"No dry sanding, no scraping to dust, no heat gun on it: wet, caught, wiped up.", "common_practice"},
    {"Limit of lead in the air breathed: 50 ug/m3 over eight hours, action from 30 ug/m3.", "cfr1910_1025"},
    {"Limit of chromium(VI) in the air breathed: 5 ug/m3 over eight hours; it causes cancer.", "cfr1910_1026"},
    {"A film of 25 um with 5 % of chrome yellow by volume holds 0.49 mg lead per cm2: half of what "
     "makes a house's paint leaded by law.",
     "cfr24_35"},
    {"New paint for consumers may hold 90 ppm lead since 2009-08-14, 600 ppm from 1978; before 1978 nothing was "
     "forbidden.",
     "usc15_1278a"},
    {"Children, food, drink and tobacco out of the room; wash hands and face; work clothes stay in the shop.",
     "common_practice"},
};
constexpr Caution pigment_waste[] = {
    {"Slurry, chips and wipes of leaded paint are lead waste: closed, labelled, to the hazardous waste site, never "
     "down a "
     "drain.",
     "common_practice"}};
constexpr Caution mist[] = {
    {"Paint that holds lead, chromate, arsenic or mercury is not sprayed: its mist is breathed.", "cfr1910_1026"},
    {"Vapour cartridges do not hold mist: that takes a particle filter or supplied air, and licensed practice.",
     "common_practice"}};
constexpr Caution tin[] = {
    {"A tin whose solvents are not known cannot be called safe at any flow of air: its safety data "
     "sheet, section 3 and 8, names them and their limits.",
     "common_practice"}};
constexpr Caution air_rules[] = {
    {"Vapour stays under a quarter of its lower explosive limit, while it is sprayed and while it dries.",
     "cfr1910_94"},
    {"Published explosive limits differ by up to twice: the lowest is used here.", "iec60079_20_1"},
    {"Air enough against fire is far from enough to breathe.", "cfr1910_1000"},
};
constexpr Caution drying_rules[] = {
    {"The piece goes on giving off vapour for hours: the fan runs on, and nobody sleeps, smokes or welds next door.",
     "cfr1910_107"},
    {"A drying cupboard is a room too: its air is worked out like the booth's.", "cfr1910_94"},
};
constexpr Caution sparks[] = {
    {"Fan, motor and lamps in the vapour are of the kinds made for explosive air.", "cfr1910_107"},
    {"Pilot lights and heaters out, nothing that sparks switched, telephones and smoking out of the room.",
     "cfr1910_107"},
    {"Cans earthed and bonded while pouring; scrapers that do not spark for booth deposits.", "cfr1910_107"},
};
constexpr Caution breath[] = {
    {"A half mask is credited with 10, a full face piece with 50, supplied air with more; only when fitted and tested.",
     "cfr1910_134"},
    {"Organic-vapour cartridges do not hold methanol or dichloromethane, and hold acetone only briefly.",
     "cfr1910_1052"},
    {"Cartridges are changed by a schedule, not by smell; above 85 % humidity they last half as long.",
     "cartridge_rule"},
};
constexpr Caution gloves[] = {
    {"Solvents go in through the skin: gloves that resist this solvent (the data sheet says which), "
     "changed when wet inside.",
     "common_practice"}};
constexpr Caution isocyanate[] = {
    {"Isocyanate: one exposure can sensitise for life, and cartridges give no warning: supplied air, licensed practice "
     "only.",
     "common_practice"},
    {"Peroxide never meets accelerator undiluted: it can explode.", "common_practice"},
    {"Acid-curing coats give off formaldehyde, polyester gives off styrene while it cures: keep everyone out.",
     "common_practice"},
};
constexpr Caution nitro[] = {
    {"Nitrocellulose dust, buffing lint, scrapings and dry overspray burn fiercely: wetted at once and kept wet.",
     "common_practice"},
    {"Its film takes fire from heat alone: no flame, no heat gun, no overheated burn-in iron, least of all while it "
     "still smells of solvent.",
     "common_practice"},
    {"Never mixed with residues of oil or alkyd paints: mixed deposits can take fire by themselves.", "cfr1910_107"},
    {"Booth and filters are cleaned of one kind before the other is sprayed.", "nfpa33"},
};
constexpr Caution nitro_waste[] = {
    {"Scrapings and residues go wet into a metal can with a lid, out of the shop at least once a day.", "cfr1910_107"}};
constexpr Caution rags[] = {
    {"Rags and dust wet with drying oil, oil varnish or alkyd heat by themselves and burn.", "common_practice"}};
constexpr Caution rag_waste[] = {
    {"Oily rags: spread flat outdoors to dry, or under water in a closed metal can, apart from nitrocellulose.",
     "common_practice"}};
constexpr Caution plastic[] = {
    {"Old plates, binding and knobs may be cellulose nitrate. It gives off acid vapour that eats metal and itself: "
     "never "
     "sealed in a bag or case with metal parts, strings or pickups.",
     "common_practice"},
    {"Kept apart, cool, in paper, with air; no flame, no buffing heat, no acetone on it.", "common_practice"},
};
constexpr Caution wheel_rules[] = {
    {"A buffing wheel catches edges and throws the body: edges run off the wheel, never into it; below its middle; two "
     "hands; nothing hard behind you.",
     "common_practice"},
    {"No gloves, sleeves, hair or cords near the wheel; goggles and a dust mask.", "common_practice"},
};
constexpr Caution blade_rules[] = {
    {"Blades cut away from the hand that holds the work; body clamped; fresh edge, light "
     "pressure; blades into a sharps box.",
     "common_practice"}};
constexpr Caution cold_rules[] = {
    {"Never a household freezer while the film holds solvent: its vapour can pass a quarter of the explosive limit in "
     "the "
     "shut box, and the thermostat sparks. Fully cured only, empty of food.",
     "common_practice"},
    {"Duster gas is flammable and freezes skin and eyes: no flame or spark, air through the room, goggles, insulating "
     "gloves. No dry ice, no liquid gas: they suffocate, burn and split wood.",
     "common_practice"},
    {"Plates, pickups, electronics and metal parts come off first; look after glue lines and seams, they open before a "
     "tough "
     "film does.",
     "common_practice"},
    {"Goggles and gloves when a cold film is moved: chips fly.", "common_practice"},
};

Row row_of(Hazard h) {
  switch (h) {
    case Hazard::none:
      return {};
    case Hazard::old_pigments:
      return {
          "Has every old coat been tested for lead and chromate, each by itself, down to the wood? Spot swabs can miss "
          "chromate and buried coats.",
          pigments, pigment_waste};
    case Hazard::poison_mist:
      return {
          "This plan sprays paint that holds lead, chromate, arsenic or mercury. Which other paint will be sprayed "
          "instead?",
          mist, pigment_waste};
    case Hazard::tin_contents:
      return {"What solvents are in these tins, by the safety data sheet?", tin, {}};
    case Hazard::spraying_air:
      return {"Does the fan move enough air for what is sprayed and wiped?", air_rules, {}};
    case Hazard::drying_air:
      return {"Does enough air pass over the work while it dries?", drying_rules, {}};
    case Hazard::ignition:
      return {
          "Are fan and lamps made for explosive vapour, and pilot lights, heaters and everything that sparks out of "
          "the "
          "room until it has cleared?",
          sparks,
          {}};
    case Hazard::breathing:
      return {"Which respirator is worn, is it fitted and tested, and when are its cartridges changed?", breath, {}};
    case Hazard::skin:
      return {"Which gloves resist the solvents used?", gloves, {}};
    case Hazard::hardener:
      return {
          "Does what is sprayed hold isocyanate, peroxide, styrene or formaldehyde, and who with which licence and "
          "supplied air sprays it?",
          isocyanate,
          {}};
    case Hazard::nitrocellulose_residue:
      return {"Where do nitrocellulose dust, scrapings and overspray go, wet, and apart from oil and alkyd residues?",
              nitro, nitro_waste};
    case Hazard::oily_rags:
      return {"Where do rags and dust of oil varnish and alkyd go, so that they cannot heat up?", rags, rag_waste};
    case Hazard::nitrate_plastic:
      return {"Which parts are cellulose nitrate, and are they kept with air and apart from metal?", plastic, {}};
    case Hazard::wheel:
      return {"Is the wheel guarded, and who has shown how edges are held to it?", wheel_rules, {}};
    case Hazard::blades:
      return {"Is the body clamped, and do blades cut away from the hand?", blade_rules, {}};
    case Hazard::cold:
      return {
          "Is the film fully cured before it meets the cold, everything off that comes off, goggles on, and no flame "
          "near a duster?",
          cold_rules,
          {}};
  }
  return {};
}

}  // namespace

std::string_view question_of(Hazard h) { return row_of(h).question; }
std::span<const Caution> cautions_of(Hazard h) { return row_of(h).cautions; }
std::span<const Caution> waste_of(Hazard h) { return row_of(h).waste; }

}  // namespace witnessline::safety

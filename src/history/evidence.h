// Evidence: what the untouched parts show, as somebody at the bench writes it down, each with how sure it is.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bench/check_count.h"
#include "colour/colour.h"
#include "materials/life.h"

namespace witnessline::history {

/// How a spot was turned to the light.
enum class Exposure { open, side, back, covered };
constexpr auto words(const Exposure*) { return std::array{"open", "side", "back", "covered"}; }

/// A spot whose yellow was read, cleaned first.
struct YellowSpot {
  std::string name;
  std::string over = "the same";  ///< what lies under the clear; spots with one word share its fresh colour
  Exposure exposure{};
  std::optional<double> yellowness;  ///< ASTM E313 YI
  std::vector<double> lab;           ///< instead
  Lamp lamp = Lamp::D65;             ///< C or D65
  Observer observer = Observer::deg10;
  double sd = 2;  ///< of the yellowness, repeats on cleaned spots
  double film_m = 60e-6;
};
template <class V>
void describe(V& v, YellowSpot& s) {
  v(member("name", "the part and the spot, cleaned first").must(), s.name);
  v(member("over", "what lies under the clear: spots with one word here had one colour when new"), s.over);
  v(member("exposure", "turned to the room, on a side, on the back, or covered").must(), s.exposure);
  v(member("yellowness", "ASTM E313 yellowness index; or lab").within(-50, 200), s.yellowness);
  v(member("lab", "L*, a*, b*, instead"), s.lab);
  v(member("lamp", "of the reading: C or D65"), s.lamp);
  v(member("observer", "of the reading"), s.observer);
  v(member("sd", "how far repeats of the yellowness scatter").within(0.2, 50), s.sd);
  v(member("film_um", "clear film there, as far as known", unit::um).within(1, 1000), s.film_m);
}

enum class Handling { none, some, most };
constexpr auto words(const Handling*) { return std::array{"none", "some", "most"}; }

/// A spot whose sheen was read with a meter, or held between two gloss cards.
struct SheenSpot {
  std::string name;
  Handling handling{};
  std::optional<double> gloss_60;
  double sd = 4;
  std::optional<double> card_below, card_above;
};
template <class V>
void describe(V& v, SheenSpot& s) {
  v(member("name", "the part and the spot, cleaned first").must(), s.name);
  v(member("handling", "how much it was handled").must(), s.handling);
  v(member("gloss_60", "meter at 60 degrees, gloss units; or the two cards").within(0.1, 100), s.gloss_60);
  v(member("sd", "how far repeats scatter, gloss units").within(0.5, 40), s.sd);
  v(member("card_below", "gloss of the brightest card that is duller than the spot").within(0, 100), s.card_below);
  v(member("card_above", "gloss of the dullest card that is brighter").within(0, 100), s.card_above);
}

enum class WornPart { fret, fingerboard };
constexpr auto words(const WornPart*) { return std::array{"fret", "fingerboard"}; }

/// Depth worn into frets or fingerboard by strings and fingers.
struct StringWear {
  std::string name;
  WornPart part{};
  double depth_m = 0, sd_m = 0.03e-3;
};
template <class V>
void describe(V& v, StringWear& w) {
  v(member("name", "where it is deepest").must(), w.name);
  v(member("part", "fret or fingerboard").must(), w.part);
  v(member("depth_mm", "how deep; 0 if none", unit::mm).within(0, 5).must(), w.depth_m);
  v(member("sd_mm", "how sure", unit::mm).within(0.005, 1), w.sd_m);
}

/// Finish beside a worn place and in it.
struct FilmWear {
  std::string name;
  Touch by{};
  double whole_m = 0, left_m = 0, sd_m = 5e-6;
};
template <class V>
void describe(V& v, FilmWear& w) {
  v(member("name", "the worn place").must(), w.name);
  v(member("by", "what touches it there").must(), w.by);
  v(member("whole_um", "finish beside it, not worn", unit::um).within(1, 1000).must(), w.whole_m);
  v(member("left_um", "finish left in it; 0: bare wood", unit::um).within(0, 1000).must(), w.left_m);
  v(member("sd_um", "how sure each of the two is", unit::um).within(0.5, 100), w.sd_m);
}

enum class Tarnish { bright, dull, dark, pitted };
constexpr auto words(const Tarnish*) { return std::array{"bright", "dull", "dark", "pitted"}; }
struct MetalPart {
  std::string name;
  Tarnish tarnish{};
};
template <class V>
void describe(V& v, MetalPart& m) {
  v(member("name", "the part").must(), m.name);
  v(member("tarnish", "bright, dull, dark or pitted, before it is cleaned").must(), m.tarnish);
}

enum class Dirt { none, slight, visible, heavy };
constexpr auto words(const Dirt*) { return std::array{"none", "slight", "visible", "heavy"}; }
struct DirtFound {
  std::string name;
  Dirt dirt{};
};
template <class V>
void describe(V& v, DirtFound& d) {
  v(member("name", "where it was handled, before cleaning").must(), d.name);
  v(member("dirt", "none, slight, visible or heavy").must(), d.dirt);
}

struct LifeEvidence {
  std::optional<double> age_s, age_sd_s;
  bool strap = false;
  std::vector<YellowSpot> yellow;
  std::vector<SheenSpot> sheen;
  std::vector<CheckCount> checks;
  std::vector<StringWear> string_wear;
  std::vector<FilmWear> film_wear;
  std::vector<MetalPart> metal;
  std::vector<DirtFound> dirt;
};
template <class V>
void describe(V& v, LifeEvidence& e) {
  v(member("age_a", "years since the finish was new, as far as dates say", unit::year).within(0.5, 400), e.age_s);
  v(member("age_sd_a", "how sure; absent: a tenth of it, one year at least", unit::year).within(0.1, 100), e.age_sd_s);
  v(member("strap", "it was played on a strap"), e.strap);
  v(member("yellow", "spots whose yellow was read, open and covered ones"), e.yellow);
  v(member("sheen", "spots whose sheen was read, by meter or between cards"), e.sheen);
  v(member("checks", "checks counted along a line, also where there are none"), e.checks);
  v(member("string_wear", "depth worn into frets and fingerboard"), e.string_wear);
  v(member("film_wear", "finish beside worn places and in them"), e.film_wear);
  v(member("metal", "plated parts and how they are tarnished"), e.metal);
  v(member("dirt", "grime where it was handled"), e.dirt);
}

}  // namespace witnessline::history

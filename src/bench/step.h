// Step: one bench operation. A closed set; each is plain data with bench units in its keys, and says its traits.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "base/describe.h"
#include "bench/check_count.h"
#include "bench/laws.h"
#include "bench/traits.h"
#include "body/where.h"

namespace witnessline::bench {

/// Wipe grime and polish off; spraying waits for it.
struct Clean {
  static constexpr std::string_view word = "clean";
  Where where;
  std::string with = "naphtha";  ///< cleaner or solvent in the library
  int cloths = 3;                ///< fresh cloths: wet on, dry off
  bool dry_off = true;           ///< a dry cloth follows before it flashes; false: dissolved grime dries back on
  Traits traits() const {
    return Traits(Cuts::no, no_coat, Wets::yes, Heats::no, Chills::no, Sheds::nothing, Tool::hand, Ages::no,
                  SurfaceEffect::wipes, &where, no_rest);
  }
  void vary(VariedInput&) {}
};
template <class V>
void describe(V& v, Clean& s) {
  v(member("where", "what is cleaned"), s.where);
  v(member("with", "cleaner or solvent, a material id"), s.with);
  v(member("cloths", "fresh cloths, each wet on and dry off").within(1, 50), s.cloths);
  v(member("dry_off", "a dry cloth follows each wet one before it flashes"), s.dry_off);
}

/// Cover against what follows.
struct Mask {
  static constexpr std::string_view word = "mask";
  Where where;
  double overhang_m = 0;  ///< tape reaching past the line
  Traits traits() const {
    return Traits(Cuts::no, no_coat, Wets::no, Heats::no, Chills::no, Sheds::nothing, Tool::hand, Ages::no,
                  SurfaceEffect::masks, &where, no_rest);
  }
  void vary(VariedInput&) {}
};
template <class V>
void describe(V& v, Mask& s) {
  v(member("where", "what is covered").must(), s.where);
  v(member("overhang_mm", "tape reaching past the line", unit::mm).within(0, 20), s.overhang_m);
}

struct Unmask {
  static constexpr std::string_view word = "unmask";
  Where where;  ///< empty: all tape and plugs
  Traits traits() const {
    return Traits(Cuts::no, no_coat, Wets::no, Heats::no, Chills::no, Sheds::nothing, Tool::hand, Ages::no,
                  SurfaceEffect::unmasks, &where, no_rest);
  }
  void vary(VariedInput&) {}
};
template <class V>
void describe(V& v, Unmask& s) {
  v(member("where", "what is uncovered; absent: all tape and plugs"), s.where);
}

/// Close pockets and holes so that no finish builds in them and their clearances stay.
struct Plug {
  static constexpr std::string_view word = "plug";
  Where where{{"cavity"}, {}, {}, 0};
  Traits traits() const {
    return Traits(Cuts::no, no_coat, Wets::no, Heats::no, Chills::no, Sheds::nothing, Tool::hand, Ages::no,
                  SurfaceEffect::masks, &where, no_rest);
  }
  void vary(VariedInput&) {}
};
template <class V>
void describe(V& v, Plug& s) {
  v(member("where", "pockets and holes"), s.where);
}

enum class LiftBy { swab, scrape, chip, rub };
constexpr auto words(const LiftBy*) { return std::array{"swab", "scrape", "chip", "rub"}; }

/// Take a later coat off and stop at an earlier one.
struct Lift {
  static constexpr std::string_view word = "lift";
  std::string coat;     ///< name of the coat to take off
  std::string stop_at;  ///< name of the coat to stop at; "wood" for bare wood
  LiftBy by = LiftBy::scrape;
  std::string with;                ///< solvent of the swab, a material id
  double collateral_m = 2e-6;      ///< mean thickness lost from the coat stopped at
  double residue_fraction = 0.02;  ///< share of the area where some of the coat stays
  Where where;
  Traits traits() const {
    return Traits(Cuts::yes, no_coat, by == LiftBy::swab ? Wets::yes : Wets::no, Heats::no, Chills::no,
                  by == LiftBy::swab ? Sheds::slurry : Sheds::dust,
                  by == LiftBy::scrape || by == LiftBy::chip ? Tool::blade : Tool::hand, Ages::no,
                  SurfaceEffect::renews, &where, no_rest);
  }
  void vary(VariedInput& v) {
    v("collateral", collateral_m, hand::unwanted_sd);
    v("residue", residue_fraction, hand::unwanted_sd, 0, 0.5);
  }
};
template <class V>
void describe(V& v, Lift& s) {
  v(member("coat", "coat to take off").must(), s.coat);
  v(member("stop_at", "coat to stop at, or wood").must(), s.stop_at);
  v(member("by", "swab, scrape, chip or rub"), s.by);
  v(member("with", "solvent of the swab, a material id"), s.with);
  v(member("collateral_um", "mean thickness lost from the coat stopped at", unit::um).within(0, 100), s.collateral_m);
  v(member("residue_pct", "share of the area where some of the coat stays", unit::pct).within(0, 50),
    s.residue_fraction);
  v(member("where", "where it is lifted"), s.where);
}

/// Lay coats of a mixture by spraying.
struct Spray {
  static constexpr std::string_view word = "spray";
  std::string mixture;  ///< mixture or material id
  int coats = 1;
  double wet_m = 90e-6;   ///< wet film of one coat
  double thinning = 0;    ///< parts thinner by volume to one part of paint
  std::string thinner;    ///< solvent or thinner, a material id
  double transfer = 0.5;  ///< share of the solids that lands (ESTIMATE unless the shop weighed it)
  double flash_s = 1200;  ///< between coats
  bool tack = true;       ///< a tack cloth goes over before each coat
  Where where;
  Traits traits() const {
    return Traits(Cuts::no, CoatLaid{mixture, coats, wet_m}, Wets::yes, Heats::no, Chills::no, Sheds::mist, Tool::gun,
                  Ages::no, SurfaceEffect::renews, &where, no_rest);
  }
  void vary(VariedInput& v) {
    v("wet", wet_m, hand::sprayed_sd);
    v("transfer", transfer, hand::transfer_sd, 0.05, 0.95);
  }
};
template <class V>
void describe(V& v, Spray& s) {
  v(member("mixture", "mixture of the job or material of the library").must(), s.mixture);
  v(member("coats", "number of coats").within(1, 60), s.coats);
  v(member("wet_um", "wet film of one coat", unit::um).within(1, 500), s.wet_m);
  v(member("thinning", "parts thinner by volume to one part of paint").within(0, 10), s.thinning);
  v(member("thinner", "thinner, a material id"), s.thinner);
  v(member("transfer_pct", "share of the solids that lands", unit::pct).within(5, 95), s.transfer);
  v(member("flash_min", "time between coats", unit::min).within(0, 10000), s.flash_s);
  v(member("tack", "a tack cloth goes over before each coat"), s.tack);
  v(member("where", "where it is sprayed"), s.where);
}

/// A very thin wet coat that bites into the aged coat below and fuses with it.
struct MeltIn {
  static constexpr std::string_view word = "melt_in";
  std::string mixture;
  double wet_m = 25e-6;
  double thinning = 3;
  std::string thinner;
  double bite_m = 3e-6;  ///< depth of the old coat that is dissolved into the new one
  double transfer = 0.5;
  Where where;
  Traits traits() const {
    return Traits(Cuts::no, CoatLaid{mixture, 1, wet_m}, Wets::yes, Heats::no, Chills::no, Sheds::mist, Tool::gun,
                  Ages::no, SurfaceEffect::renews, &where, no_rest);
  }
  void vary(VariedInput& v) {
    v("wet", wet_m, hand::sprayed_sd);
    v("transfer", transfer, hand::transfer_sd, 0.05, 0.95);
    v("bite", bite_m, hand::unwanted_sd);
  }
};
template <class V>
void describe(V& v, MeltIn& s) {
  v(member("mixture", "mixture of the job or material of the library").must(), s.mixture);
  v(member("wet_um", "wet film", unit::um).within(1, 100), s.wet_m);
  v(member("thinning", "parts thinner by volume to one part of paint").within(0, 20), s.thinning);
  v(member("thinner", "thinner, a material id"), s.thinner);
  v(member("bite_um", "depth of the old coat that is dissolved into the new one", unit::um).within(0, 20), s.bite_m);
  v(member("transfer_pct", "share of the solids that lands", unit::pct).within(5, 95), s.transfer);
  v(member("where", "where it is laid"), s.where);
}

/// Cut with paper: `sand` follows the surface, `flat` levels it.
struct Sand {
  static constexpr std::string_view word = "sand";
  int grit = 600;                 ///< FEPA P number
  std::optional<double> depth_m;  ///< mean depth; absent: what keying with this grit takes
  double edge_factor = 2;         ///< how much more goes at edges
  bool wet = true;
  Where where;
  Traits traits() const {
    return Traits(Cuts::yes, no_coat, Wets::no, Heats::no, Chills::no, wet ? Sheds::slurry : Sheds::dust, Tool::hand,
                  Ages::no, SurfaceEffect::flats, &where, no_rest);
  }
  void vary(VariedInput& v) {
    const double sd = depth_m ? hand::cut_sd : hand::keying_sd;
    if (!depth_m) depth_m = keying_depth_m(grit);
    v("depth", *depth_m, sd);
  }
};
template <class V>
void describe(V& v, Sand& s) {
  v(member("grit", "FEPA P number of the paper, P12 to P2500").within(12, 2500).must(), s.grit);
  v(member("depth_um", "mean depth; absent: what keying with this grit takes", unit::um).within(0, 2000), s.depth_m);
  v(member("edge_factor", "how much more goes at edges").within(1, 10), s.edge_factor);
  v(member("wet", "wet sanding"), s.wet);
  v(member("where", "where it is sanded"), s.where);
}
struct Flat : Sand {
  static constexpr std::string_view word = "flat";
  Traits traits() const { return Sand::traits(); }
  void vary(VariedInput& v) { Sand::vary(v); }
};

struct Buff {
  static constexpr std::string_view word = "buff";
  std::string compound = "fine_compound";
  double depth_m = 2e-6;
  double edge_factor = 3;  ///< wheels catch edges
  Where where;
  Traits traits() const {
    return Traits(Cuts::yes, no_coat, Wets::no, Heats::yes, Chills::no, Sheds::dust, Tool::wheel, Ages::no,
                  SurfaceEffect::buffs, &where, no_rest);
  }
  void vary(VariedInput& v) { v("depth", depth_m, hand::cut_sd); }
};
template <class V>
void describe(V& v, Buff& s) {
  v(member("compound", "polishing compound, a material id"), s.compound);
  v(member("depth_um", "mean depth taken", unit::um).within(0, 50), s.depth_m);
  v(member("edge_factor", "how much more goes at edges").within(1, 20), s.edge_factor);
  v(member("where", "where it is buffed"), s.where);
}

/// Wear, laid by hand (place, depth and fall-off) or as a life would have worn it.
struct Wear {
  static constexpr std::string_view word = "wear";
  std::optional<double> depth_m;  ///< at the middle of the place; or
  std::string life;               ///< id of a life
  std::string stop_at;            ///< coat never cut into; empty: none
  Where where;
  Traits traits() const {
    return Traits(Cuts::yes, no_coat, Wets::no, Heats::no, Chills::no, Sheds::dust, Tool::hand, Ages::as_play,
                  life.empty() ? SurfaceEffect::none : SurfaceEffect::wears, &where, no_rest);
  }
  void vary(VariedInput& v) {
    if (depth_m) v("depth", *depth_m, hand::cut_sd);
  }
};
template <class V>
void describe(V& v, Wear& s) {
  v(member("depth_um", "by hand: depth at the middle of the place; this or life", unit::um).within(0, 2000), s.depth_m);
  v(member("life", "a life of the job: wears where and as deep as what touched it would have; this or depth_um"),
    s.life);
  v(member("stop_at", "coat never cut into"), s.stop_at);
  v(member("where", "place; fade_mm is the fall-off. With a life: the only place it is worked in; absent: everywhere"),
    s.where);
}

/// Light yellows the clears: a dose, or that of a life.
struct Yellow {
  static constexpr std::string_view word = "yellow";
  std::optional<double> light_lx_s;  ///< dose where nothing covers the surface
  Where where;
  std::string life = {};  ///< instead of a dose: all the light of this life, by how a place is turned to the room
  std::vector<Patch> parts = {};  ///< under plates and parts: no light
  Traits traits() const {
    return Traits(Cuts::no, no_coat, Wets::no, Heats::no, Chills::no, Sheds::nothing, Tool::none, Ages::yes,
                  SurfaceEffect::none, &where, no_rest);
  }
  void vary(VariedInput&) {}
};
template <class V>
void describe(V& v, Yellow& s) {
  v(member("light_Mlx_h", "light dose where nothing covers the surface; or life", unit::Mlx_h).within(0, 1000),
    s.light_lx_s);
  v(member("life", "a life of the job, instead of a dose: less light falls on what is turned from the room"), s.life);
  v(member("where", "what the light reaches"), s.where);
  v(member("parts", "under plates and parts, where no light comes"), s.parts);
}

/// Brown dirt of handling, and what of it lodges in checks.
struct Grime {
  static constexpr std::string_view word = "grime";
  std::string life;
  Where where;               ///< where it was handled most; fade_m thins it out. Empty: where the life's hands lay
  std::vector<Patch> parts;  ///< under plates and parts: none
  Traits traits() const {
    return Traits(Cuts::no, no_coat, Wets::no, Heats::no, Chills::no, Sheds::nothing, Tool::hand, Ages::yes,
                  SurfaceEffect::soils, &where, no_rest);
  }
  void vary(VariedInput&) {}
};
template <class V>
void describe(V& v, Grime& s) {
  v(member("life", "a life of the job").must(), s.life);
  v(member("where", "where it was handled most; absent: where the hands and arm of the life lay"), s.where);
  v(member("parts", "under plates and parts, where no dirt comes"), s.parts);
}

/// Sheen taken down with a dry pad, to a gloss or to what a life leaves; never up.
struct KnockBack {
  static constexpr std::string_view word = "knock_back";
  std::optional<double> gloss_60;  ///< gloss units at 60 degrees
  std::string life;                ///< instead of a gloss
  double depth_m = 0.5e-6;         ///< what the pad takes
  Where where;
  Traits traits() const {
    return Traits(Cuts::yes, no_coat, Wets::no, Heats::no, Chills::no, Sheds::dust, Tool::hand, Ages::yes,
                  SurfaceEffect::wears, &where, no_rest);
  }
  void vary(VariedInput& v) { v("depth", depth_m, hand::cut_sd); }
};
template <class V>
void describe(V& v, KnockBack& s) {
  v(member("gloss_60", "gloss to stop at, in gloss units at 60 degrees; or life").within(1, 95), s.gloss_60);
  v(member("life", "a life of the job, instead of a gloss"), s.life);
  v(member("depth_um", "what the pad takes", unit::um).within(0, 20), s.depth_m);
  v(member("where", "what is knocked back"), s.where);
}

/// Let solvent leave.
struct Wait {
  static constexpr std::string_view word = "wait";
  double duration_s = 86400;
  std::optional<double> temperature_K;  ///< absent: the shop's
  Traits traits() const {
    return Traits(Cuts::no, no_coat, Wets::no, temperature_K.value_or(0) > heated_K ? Heats::yes : Heats::no,
                  temperature_K.value_or(heated_K) < freezing_K ? Chills::yes : Chills::no, Sheds::nothing, Tool::none,
                  Ages::no, SurfaceEffect::none, nullptr, Rest{duration_s, temperature_K});
  }
  void vary(VariedInput&) {}
};
template <class V>
void describe(V& v, Wait& s) {
  v(member("duration_h", "how long", unit::h).within(0, 20000).must(), s.duration_s);
  v(member("temperature_degC", "air; absent: the shop's", unit::degC).within(-40, 80), s.temperature_K);
}

/// How cold is brought to a film.
enum class ColdBy { cold_room, freezer, duster };
constexpr auto words(const ColdBy*) { return std::array{"cold_room", "freezer", "duster"}; }

/// A glue line that may open: straight along the body, on the front or the back.
enum class SeamFace { front, back };
constexpr auto words(const SeamFace*) { return std::array{"front", "back"}; }
struct Seam {
  double x_m = 0;
  SeamFace face = SeamFace::front;
};
template <class V>
void describe(V& v, Seam& s) {
  v(member("x_mm", "across, from the centreline, treble positive", unit::mm).within(-600, 600).must(), s.x_m);
  v(member("face", "front or back"), s.face);
}

/// Open checks with cold, or those a life has left.
struct ColdCheck {
  static constexpr std::string_view word = "check";
  std::string life;            ///< a Life of the job; empty: the cold below
  std::optional<double> to_K;  ///< film in the cold
  int shocks = 1;              ///< from the room into the cold and back
  ColdBy by = ColdBy::cold_room;
  double cured_s = 180 * 86400.0;          ///< age of the plan's own coats when they meet the cold
  double found_s = 30 * 31557600.0;        ///< age of the coats found
  std::optional<double> plasticiser_frac;  ///< of the plan's dry coats, as laid; absent: the usual
  std::optional<double> room_humidity;     ///< where it stood since it was laid in the shop's air; absent: there too
  std::optional<double> unchecked_K;       ///< the coldest it came through without a check; absent: a night in the room
  std::vector<CheckCount> found;           ///< on untouched parts: how checks run and how far apart they lie
  std::vector<Seam> seams;
  Where where;
  Traits traits() const {
    return Traits(Cuts::no, no_coat, Wets::no, Heats::no, Chills::yes, Sheds::nothing, Tool::none, Ages::yes,
                  SurfaceEffect::checks, &where, no_rest);
  }
  void vary(VariedInput&) {}
};
template <class V>
void describe(V& v, ColdCheck& s) {
  v(member("life", "a life of the job, whose cold, seasons and years check the film; absent: the cold given here"),
    s.life);
  v(member("to_degC", "how cold the film gets; needed without a life", unit::degC).within(-60, 25), s.to_K);
  v(member("shocks", "times it goes from the room into the cold and back").within(1, 1000), s.shocks);
  v(member("by", "what cools it"), s.by);
  v(member("cured_d", "age of the plan's own coats by then", unit::day).within(1, 40000), s.cured_s);
  v(member("found_a", "age of the coats found on the instrument (ESTIMATE unless dated)", unit::year).within(0, 400),
    s.found_s);
  v(member("plasticiser_pct", "share of the plan's dry coats that keeps them supple; absent: what is usual", unit::pct)
        .within(0, 40),
    s.plasticiser_frac);
  v(member("room_humidity_pct", "where it stood since it was laid in the shop's air; absent: there too", unit::pct)
        .within(5, 95),
    s.room_humidity);
  v(member("unchecked_degC",
           "the coldest this film has been through without checking; absent: 5 degC below the shop, as any film has",
           unit::degC)
        .within(-60, 40),
    s.unchecked_K);
  v(member("found", "checks counted on untouched parts: new ones run the same way and lie as far apart"), s.found);
  v(member("seams", "glue lines that may open"), s.seams);
  v(member("where", "where the cold goes"), s.where);
}

using Step = OneOf<Clean, Mask, Unmask, Plug, Lift, Spray, MeltIn, Sand, Flat, Buff, Wear, Yellow, Grime, KnockBack,
                   Wait, ColdCheck>;

/// A step of a plan: what is done, under which id, and why.
struct PlannedStep {
  std::string id;   ///< unique in its plan; names the coat it lays
  std::string why;  ///< one line for the job card; may be empty
  Step step;
};

struct Plan {
  std::string id;
  std::string title;
  std::string summary;
  std::vector<PlannedStep> steps;
};

/// "spray", "lift", ...
std::string_view word_of(const Step&);
Traits traits_of(const Step&);
/// Visits the inputs of a step that vary from hand to hand.
void vary(Step&, VariedInput&);

}  // namespace witnessline::bench

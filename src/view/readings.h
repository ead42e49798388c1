// Readings of a Film: what a person asks of a state. Every number is a Figure.
#pragma once

#include <array>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "base/figure.h"
#include "body/where.h"
#include "drying/settled.h"
#include "film/film.h"
#include "optics/reflectance.h"

namespace witnessline::view {

/// What readings need to know that is not in the film.
struct ViewContext {
  const Body& body;
  const std::vector<std::shared_ptr<const Material>>& woods;
  const Palette& palette;
  Lamp lamp = Lamp::D65;
  Observer observer = Observer::deg10;
};

/// Thickness of all coats over a region.
struct ThicknessReading {
  std::string region;
  Figure area, min, p5, median, p95;
};
template <class V>
void describe(V& v, ThicknessReading& t) {
  v(member("region", "region of the body"), t.region);
  v(member("area", "its area"), t.area);
  v(member("min", "thinnest place"), t.min);
  v(member("p5", "5 in 100 of the area are thinner"), t.p5);
  v(member("median", "half the area is thinner"), t.median);
  v(member("p95", "95 in 100 of the area are thinner"), t.p95);
}
std::vector<ThicknessReading> thickness_by_region(const Film&, const ViewContext&);

/// Area in which a coat is the outermost one left: what has been gone through to where. "wood" comes first, then every
/// coat from the wood out. Rings narrower than the mesh count.
struct ExposedReading {
  std::string coat;
  Origin origin{};
  Figure area;
};
template <class V>
void describe(V& v, ExposedReading& e) {
  v(member("coat", "outermost coat left, or wood"), e.coat);
  v(member("origin", "original, later or this plan"), e.origin);
  v(member("area", "area where it shows"), e.area);
}
std::vector<ExposedReading> exposed(const Film&, const ViewContext&);

/// Original finish kept, in three bins. A film under 10 um counts as a ghost, not as kept (ESTIMATE).
/// visible: nothing that hides lies above; buried: under a coat that hides it; dissolved: melted into new finish.
struct KeptReading {
  Figure visible_area, buried_area;                        ///< [m2]
  Figure visible_volume, buried_volume, dissolved_volume;  ///< [m3]
  Figure kept_fraction;  ///< visible + buried volume over the original before the work
};
template <class V>
void describe(V& v, KeptReading& k) {
  v(member("visible_area", "original finish in sight"), k.visible_area);
  v(member("buried_area", "original finish under a coat that hides it"), k.buried_area);
  v(member("visible_volume", "original finish in sight"), k.visible_volume);
  v(member("buried_volume", "original finish under a coat that hides it"), k.buried_volume);
  v(member("dissolved_volume", "original finish melted into new"), k.dissolved_volume);
  v(member("kept_fraction", "visible and buried volume over the original before the work"), k.kept_fraction);
}
KeptReading original_kept(const Film& now, const Film& before, const ViewContext&);

/// Mean colour of a region under every lamp, D65/10 deg swatch for the screen.
struct ColourReading {
  std::string region;
  Reflectance mean;
  std::array<Lab, all_lamps.size()> lab;  ///< by all_lamps, ViewContext::observer
  Rgb srgb;
};
template <class V>
void describe(V& v, ColourReading& c) {
  v(member("region", "region or face"), c.region);
  v(member("reflectance", "mean reflectance, 380 to 730 nm by 10"), c.mean.at);
  v(member("lab", "L*a*b* under A, D50, D65, LED-B3, in this order"), c.lab);
  v(member("srgb", "for the screen"), c.srgb);
}
/// Errors: a place that is not on this body, or has no area.
Result<ColourReading> colour_of(const Film&, const ViewContext&, const Where&, const std::string& name);

/// sRGB of every vertex under ViewContext::lamp, 0..255.
std::vector<std::array<std::uint8_t, 3>> vertex_colours(const Film&, const ViewContext&);

/// One coat in a column, as the "where can I cut?" screen shows it.
struct CoatInColumn {
  std::string name, material;
  Origin origin{};
  std::string hazard;    ///< why its dust must not be made: "lead"; empty: none known
  Figure laid, left;     ///< dry film [m]
  Figure melted;         ///< fraction
  double wet_share = 0;  ///< solvent over the dry film [1]
  Rgb own_colour;        ///< thick, by itself
  Rgb colour_if_bared;   ///< what shows if everything above it is gone
};
template <class V>
void describe(V& v, CoatInColumn& c) {
  v(member("name", "coat of the job, or step that laid it"), c.name);
  v(member("material", "what it is made of"), c.material);
  v(member("origin", "original, later or this plan"), c.origin);
  v(member("hazard", "why its dust must not be made; empty: nothing known against it"), c.hazard);
  v(member("laid", "dry film laid"), c.laid);
  v(member("left", "dry film left"), c.left);
  v(member("melted", "share melted into the coat above"), c.melted);
  v(member("wet_pct", "solvent still in it, over its dry film", unit::pct), c.wet_share);
  v(member("own_colour", "thick, by itself"), c.own_colour);
  v(member("colour_if_bared", "what shows when all above it is gone"), c.colour_if_bared);
}

/// Why a cut must stop.
enum class StopFor { next_coat, original, hazard, wood };
constexpr auto words(const StopFor*) { return std::array{"next_coat", "original", "hazard", "wood"}; }

/// One thing a cut at this place comes to, from the air side.
struct Stop {
  std::string before;  ///< coat, or "wood"
  StopFor why{};
  Figure film;   ///< dry film above it
  Figure depth;  ///< thin end of that film's band: how deep a cut may go; half of it near an edge
};
template <class V>
void describe(V& v, Stop& s) {
  v(member("before", "coat it keeps, or wood"), s.before);
  v(member("why", "why a cut must stop before it"), s.why);
  v(member("film", "dry film above it"), s.film);
  v(member("depth", "how deep a cut may go: the low end of that film's band, half of it near an edge"), s.depth);
}

/// What solvent left in the outermost coat does to a cut: nothing; it still shrinks afterwards, back into pores and
/// scratches; it loads and tears.
enum class Softened { hard, still_sinking, too_soft };
constexpr auto words(const Softened*) { return std::array{"hard", "still_sinking", "too_soft"}; }

struct ColumnReading {
  Vec3 at;
  std::vector<std::string> regions;
  std::string wood;
  Masking masking{};
  Rgb colour_now, colour_bare_wood;
  std::vector<CoatInColumn> coats;  ///< air side first
  std::vector<Stop> stops;          ///< nearest first; nothing below a hazard
  Softened softened{};              ///< the outermost coat; too_soft: every depth is 0
  bool edge_band = false;           ///< within reach of an edge, where a block cuts more
};
template <class V>
void describe(V& v, ColumnReading& c) {
  v(member("at", "place on the body"), c.at);
  v(member("regions", "regions it lies in"), c.regions);
  v(member("wood", "wood below"), c.wood);
  v(member("masking", "bare, masked or plugged"), c.masking);
  v(member("colour_now", "what shows now"), c.colour_now);
  v(member("colour_bare_wood", "what shows when every coat is gone"), c.colour_bare_wood);
  v(member("coats", "air side first"), c.coats);
  v(member("stops", "what a cut comes to, nearest first"), c.stops);
  v(member("softened", "what the solvent in the outermost coat means for a cut"), c.softened);
  v(member("edge_band", "near an edge, where a block cuts more"), c.edge_band);
}

/// What is known of the coats beside the film itself.
struct CoatFacts {
  double spread_share = 0;  ///< of a coat found: one standard deviation over its zone, over its mean
  std::string hazard;
  std::optional<drying::Softness> softness;  ///< nothing: its binder is not known
};
/// Law: solvent over dry film against what a settled coat of its thickness may hold, and degree of cure of a binder
/// that cures (drying/settled.h); 5 % where its binder is not known (ESTIMATE).
Softened softened(const CoatFacts*, double dry_m, double solvent_m, double cured_s);

struct Survey {
  const Film* mean = nullptr;  ///< the film as found, without its unevenness; nullptr: no coat was found
  std::map<std::string, CoatFacts> coats;
};

/// The coats at one place. What was laid is looked up in `history`, the films of the run so far (last one is now). A
/// coat found has its surveyed mean here, not the drawn unevenness of the film, and the survey's spread as its band.
ColumnReading column_at(const std::vector<const Film*>& history, const ViewContext&, SurfacePoint, const Survey& = {});

/// Nearest stop depth of column_at() at each of `vertices` [m], for a map of the whole body.
std::vector<float> stop_depths_m(const std::vector<const Film*>& history, const Body&, const Survey&,
                                 std::span<const std::uint32_t> vertices);

}  // namespace witnessline::view

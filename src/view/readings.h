// Readings of a Film: what a person asks of a state. Every number is a Figure.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "base/figure.h"
#include "body/where.h"
#include "film/film.h"
#include "optics/reflectance.h"

namespace witnessline {

/// What readings need to know that is not in the film.
struct Looking {
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
std::vector<ThicknessReading> thickness_by_region(const Film&, const Looking&);

/// Area in which a coat is the outermost one left ("wood" included): what has been gone through to where.
struct ExposedReading {
  std::string coat;
  Origin origin{};
  Figure area;
};
std::vector<ExposedReading> exposed(const Film&, const Looking&);

/// Original finish kept, in three bins. A film under 10 um counts as a ghost, not as kept (ESTIMATE).
/// visible: nothing that hides lies above; buried: under a coat that hides it; dissolved: melted into new finish.
struct KeptReading {
  Figure visible_area, buried_area;                        ///< [m2]
  Figure visible_volume, buried_volume, dissolved_volume;  ///< [m3]
  Figure kept_fraction;  ///< visible + buried volume over the original before the work
};
KeptReading original_kept(const Film& now, const Film& before, const Looking&);

/// Mean colour of a region under every lamp, D65/10 deg swatch for the screen.
struct ColourReading {
  std::string region;
  Reflectance mean;
  std::array<Lab, all_lamps.size()> lab;  ///< by all_lamps, Looking::observer
  Rgb srgb;
};
ColourReading colour_of(const Film&, const Looking&, const Where&, const std::string& name);

/// sRGB of every vertex under Looking::lamp, 0..255.
std::vector<std::array<std::uint8_t, 3>> vertex_colours(const Film&, const Looking&);

/// One coat in a column, as the "where can I cut?" screen shows it.
struct CoatInColumn {
  std::string name, material;
  Origin origin{};
  Figure laid, left;    ///< [m]
  Figure melted;        ///< fraction
  Rgb own_colour;       ///< thick, by itself
  Rgb colour_if_bared;  ///< what shows if everything above it is gone
};
struct ColumnReading {
  Vec3 at;
  std::vector<std::string> regions;
  std::string wood;
  Masking masking{};
  Rgb colour_now, colour_bare_wood;
  std::vector<CoatInColumn> coats;  ///< air side first
  Figure stop_depth;                ///< how deep a cut may go here before the next thing that must not be cut
  std::string stop_before;          ///< the coat (or wood) the stop protects
  bool edge_band = false;           ///< within reach of an edge, where a block cuts more
};
/// `laid` thickness is looked up in `history`, the films of the run so far (last one is now).
ColumnReading column_at(const std::vector<const Film*>& history, const Looking&, SurfacePoint);

}  // namespace witnessline

// What an ageing step did, as the bench must know it beforehand: how deep, where to stop, which rings will show.
#pragma once

#include <functional>
#include <optional>
#include <span>

#include "view/readings.h"

namespace witnessline::view {

/// A coat that shows as a ring where those above it were worn through.
struct Ring {
  std::string coat;  ///< or "wood"
  Origin origin{};
  Figure area, width;
};
template <class V>
void describe(V& v, Ring& r) {
  v(member("coat", "coat that shows, or wood"), r.coat);
  v(member("origin", "original, later or this plan"), r.origin);
  v(member("area", "area where it shows and did not before"), r.area);
  v(member("width", "how wide the ring is, on average"), r.width);
}

/// Vertices of a set that hang together over the mesh share a number, one vertex of theirs; others keep their own.
std::vector<std::uint32_t> joined(const Body&, const std::function<bool(std::uint32_t)>& is_in);

/// The edge of a worn place: how much film stands round its barest part.
struct WornEdge {
  Vec3 at;            ///< its barest point [m]
  std::string shows;  ///< coat that shows there, or wood
  double area_m2 = 0;
  double height_m = 0, low_m = 0, high_m = 0;  ///< film round it over its floor: median and tenths along its rim
  double over_m = 0;                           ///< way from the rim to the floor, on average
};
/// Film past which an edge is seen and felt as a step: old finish under new (common practice, no source).
inline constexpr double stepped_m = 200e-6;

/// Places worn more than 5 um through at least one coat, larger than 0.5 cm2; the thickest edge first.
/// Law: height = film at the rim, where nothing is worn, less what is left on the floor; way = 2 x area off the floor /
/// (length of rim and floor's border). `worn_m` a vertex, 0 where it is not to count. Source: geometry.
std::vector<WornEdge> worn_edges(std::span<const float> worn_m, const Film& after, const Body&);

struct EdgeReading {
  std::string shows;
  Vec3 at;
  Figure height, way;
};
template <class V>
void describe(V& v, EdgeReading& e) {
  v(member("shows", "coat that shows inside, or wood"), e.shows);
  v(member("at", "the barest point"), e.at);
  v(member("height", "film that stands round it"), e.height);
  v(member("way", "how far it takes to go down, on average"), e.way);
}
EdgeReading reading_of(const WornEdge&);

struct AgeingReading {
  Figure deepest;                                       ///< most it cuts anywhere
  Vec3 at;                                              ///< where
  std::vector<Stop> stops;                              ///< there, before the step
  std::vector<Ring> rings;                              ///< from the outside in
  std::vector<EdgeReading> edges;                       ///< of what is worn through, the thickest first
  int checks = 0, chips = 0, dings = 0, scratches = 0;  ///< marks made
  int soiled = 0;                                       ///< marks that took dirt
};
template <class V>
void describe(V& v, AgeingReading& a) {
  v(member("deepest", "most it cuts anywhere"), a.deepest);
  v(member("at", "where that is"), a.at);
  v(member("stops", "what a cut comes to there, nearest first, before the step"), a.stops);
  v(member("rings", "coats that show after it and did not before, from the outside in"), a.rings);
  v(member("edges", "edges of what is worn through, the thickest first"), a.edges);
  v(member("checks", "checks it makes"), a.checks);
  v(member("chips", "chips it makes"), a.chips);
  v(member("dings", "dings it makes"), a.dings);
  v(member("scratches", "scratches it makes"), a.scratches);
  v(member("soiled", "checks and dings that take dirt"), a.soiled);
}

/// Law: ring width = 2 area / (length of its outer and inner border); borders run midway through the triangles they
/// cross, about a tenth too long. Source: geometry. Valid: rings wider than the mesh. Departs: a width is a mean; its
/// band is the film's and the hand's uncertainty (ESTIMATE, 0.6 to 1.6 of it). `history` ends with the film before.
/// Chips count neither in the deepest cut nor in the rings.
AgeingReading ageing_of(const std::vector<const Film*>& history, const Film& after, const ViewContext&, const Survey&);

}  // namespace witnessline::view

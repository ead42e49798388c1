// What an ageing step did, as the bench must know it beforehand: how deep, where to stop, which rings will show.
#pragma once

#include <optional>

#include "view/readings.h"

namespace witnessline {

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

struct AgeingReading {
  Figure deepest;              ///< most it cuts anywhere
  Vec3 at;                     ///< where
  std::vector<Stop> stops;     ///< there, before the step
  std::vector<Ring> rings;     ///< from the outside in
  int checks = 0, soiled = 0;  ///< marks made; marks that took dirt
};
template <class V>
void describe(V& v, AgeingReading& a) {
  v(member("deepest", "most it cuts anywhere"), a.deepest);
  v(member("at", "where that is"), a.at);
  v(member("stops", "what a cut comes to there, nearest first, before the step"), a.stops);
  v(member("rings", "coats that show after it and did not before, from the outside in"), a.rings);
  v(member("checks", "checks it makes"), a.checks);
  v(member("soiled", "checks and dings that take dirt"), a.soiled);
}

/// Law: ring width = 2 area / (length of its outer and inner border); borders run midway through the triangles they
/// cross, about a tenth too long. Source: geometry. Valid: rings wider than the mesh. Departs: a width is a mean; its
/// band is the film's and the hand's uncertainty (ESTIMATE, 0.6 to 1.6 of it). `history` ends with the film before.
AgeingReading ageing_of(const std::vector<const Film*>& history, const Film& after, const Looking&, const Survey&);

}  // namespace witnessline

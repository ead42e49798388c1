// Where on a body a step acts: named regions, a patch, and how it fades out.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/describe.h"
#include "base/result.h"
#include "body/body.h"

namespace witnessline::body {

/// A round or long patch laid on one face, in body coordinates seen from that face's side.
struct Patch {
  double x_m = 0, y_m = 0;               ///< one end of the middle line
  std::optional<double> to_x_m, to_y_m;  ///< other end; absent: round
  double radius_m = 0.01;
  std::string face = "front";  ///< front, back, sides: nearest point of that face
};
template <class Visitor>
void describe(Visitor& v, Patch& p) {
  v(member("x_mm", "across, from the centreline, treble positive", unit::mm).must(), p.x_m);
  v(member("y_mm", "along, from the tail end", unit::mm).must(), p.y_m);
  v(member("to_x_mm", "other end of a long patch, across", unit::mm), p.to_x_m);
  v(member("to_y_mm", "other end of a long patch, along", unit::mm), p.to_y_m);
  v(member("radius_mm", "half width of the patch", unit::mm).within(0.1, 1000).must(), p.radius_m);
  v(member("face", "front, back or sides"), p.face);
}

/// The part of the body a step or an existing coat covers.
struct Where {
  std::vector<std::string>
      on;  ///< each entry: region words that must all hold ("front treble"); any entry may; empty: all
  std::vector<std::string> except;  ///< same form, taken away
  std::vector<Patch> patches;       ///< when given, only within these
  double fade_m = 0;  ///< width over which the edge fades (a shader's soft edge), never into a pocket; 0: sharp
};
template <class Visitor>
void describe(Visitor& v, Where& w) {
  v(member("on", "regions, e.g. [\"front treble\", \"edge\"]; absent: everywhere"), w.on);
  v(member("except", "regions left out"), w.except);
  v(member("patches", "only inside these patches"), w.patches);
  v(member("fade_mm", "width of the soft edge", unit::mm).within(0, 500), w.fade_m);
}

/// Weight 0..1 of each vertex under `where`. Errors: a word that is no region; a region absent on this body.
Result<std::vector<float>> weights_of(const Where& where, const Body& body);

/// Area under `where`, weights counted [m2].
double area_under(std::span<const float> weights, const Body& body);

}  // namespace witnessline::body

// The fine shape of the film's air face in a picture: steps and slopes of the film itself, and marks.
#pragma once

#include <unordered_map>
#include <vector>

#include "body/vec.h"
#include "film/film.h"

namespace witnessline::view {

/// What a mark does to one point of a picture.
struct MarkHere {
  Vec3d slope;            ///< of the face's height over the surface [1]
  float cut_m = 0;        ///< film that is missing
  float roughness_m = 0;  ///< at least this rough
  float dirt = 0;         ///< share of the place that dirt lodged in marks hides
  float open = 1;         ///< share of the room that shines in
};

class Relief {
 public:
  /// `pixel_m`: what one sample stands for; finer marks are met by as many samples as their share of it.
  Relief(const Film&, const Body&, double pixel_m);

  /// Slope of the film's face [1], a tangent vector, smooth over the mesh; the normal is n - slope.
  Vec3d slope(const Triangle&, float u, float v) const;
  /// Slope of a height that is linear in one triangle.
  static Vec3d slope_in(Vec3d a, Vec3d b, Vec3d c, const std::array<float, 3>& height_m);
  /// `chance` in [0, 1) decides whether a sample falls into a mark finer than it. False: no mark here.
  bool mark_at(Vec3d place, Vec3d normal, double chance, MarkHere& here) const;

 private:
  struct Stroke {
    Vec3d from, to;
    float width_m, depth_m, dirt, shown_m;  ///< shown: the width that catches samples
    MarkKind kind;
  };
  void add(const Mark&, const Body&);

  double pixel_m_, reach_m_ = 0;
  std::vector<Vec3> slopes_;
  std::vector<Stroke> strokes_;
  std::unordered_map<std::uint64_t, std::vector<std::uint32_t>> cells_;
};

/// Share of a wide room that shines onto the bottom of a long slot [1].
/// Law: sqrt(1 + (depth/width)^2) - depth/width. Source: hottel1967 (crossed strings; memory). Valid: both positive.
double slot_openness(double depth_m, double width_m);

}  // namespace witnessline::view

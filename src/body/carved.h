// A body carved from an outline: sides, rounded edges, arched or flat faces, contours and cavities.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "body/arch.h"
#include "body/outline.h"
#include "body/shape.h"
#include "body/spec.h"

namespace witnessline::body {

/// What the making of a body says about a place on it.
struct Making {
  bool contour = false, cavity = false, binding = false;
  bool cavity_in_back = false;
  enum class Piece { top, back, sides } piece = Piece::sides;
  Vec2d outward{1, 0};  ///< of the outline at the nearest point
};

class CarvedBody : public Shape {
 public:
  struct Cavity {
    std::shared_ptr<const Outline> outline;
    double floor_m = 0;  ///< height of its floor [m], body frame
    bool back = false;
  };
  /// Loops in the body frame.
  CarvedBody(const BodySpec& spec, const Loop& outline, const std::vector<std::pair<Loop, CavitySpec>>& cavities);

  Sample at(Vec3d p) const override;
  Box3 bounds() const override;
  Making making_at(Vec3d p) const;
  const Outline& outline() const { return *outline_; }
  double side_height_m(Vec2d p, bool back) const;  ///< face height over the middle, without arch
  double thickness_m(Vec2d p) const;               ///< from face to face, before cavities

 private:
  struct Face {
    double height_m = 0;
    Vec2d slope;
    double contour = 0;  ///< how much was shaped away [m]
  };
  Face face(Vec2d p, bool back) const;
  Sample cavity(const Cavity&, Vec3d p) const;
  Sample solid(Vec3d p, const OutlineSample& side) const;

  BodySpec spec_;
  std::shared_ptr<const Outline> outline_;
  std::optional<Arch> arch_;
  std::vector<Cavity> cavities_;
};

}  // namespace witnessline::body

// Rays on a body and on what stands by it, for loops that already run in parallel.
#pragma once

#include <cstdint>
#include <memory>
#include <span>

#include "body/body.h"

namespace witnessline::body {

class RayScene {
 public:
  /// The body, and other surfaces in its frame (none: the body alone). Every point must be finite.
  RayScene(const Body&, std::span<const Vec3> points, std::span<const Triangle> triangles);
  ~RayScene();
  RayScene(RayScene&&) noexcept;

  /// First hits. Triangles beyond the body's own are those of the others, in their order. Rays must be finite;
  /// neighbours in the batch should look alike.
  void cast(std::span<const Ray>, std::span<Hit>) const;
  /// 1 where anything stands in a ray's way.
  void blocked(std::span<const Ray>, std::span<std::uint8_t>) const;

 private:
  struct Scene;
  std::unique_ptr<Scene> scene_;
};

}  // namespace witnessline::body

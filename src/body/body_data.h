// What a Body holds; made by build_body.
#pragma once

#include <memory>
#include <mutex>

#include "body/body.h"
#include "body/triangle_tree.h"

namespace witnessline::body {

struct Body::Data {
  std::vector<Vec3> positions, normals, grain;
  std::vector<Triangle> triangles;
  std::vector<float> areas_m2, curvature_min, curvature_max;
  std::vector<std::uint8_t> wood_of;
  std::vector<std::string> woods;
  std::vector<SurveyFact> survey;
  std::vector<std::uint16_t> region_bits;
  double area_m2 = 0, volume_m3 = 0, pitch_m = 0;
  std::uint16_t regions_present = 0;
  std::uint64_t hash = 0;

  /// Sums up areas, volume, regions present and hash once the rest is there.
  void settle();
  const TriangleTree& tree() const;

 private:
  mutable std::once_flag grown_;
  mutable std::unique_ptr<TriangleTree> tree_;
};

}  // namespace witnessline::body

// Rays on a body and what stands by it: known distances, the body's own answers unchanged, and shadows that agree with
// first hits.
#include "body/ray_scene.h"

#include <gtest/gtest.h>

#include <cmath>

#include "body/body_data.h"

namespace witnessline::body {
namespace {

/// A square of 100 mm in the plane z = 0, seen from above.
Body square() {
  auto data = std::make_shared<Body::Data>();
  data->positions = {{0, 0, 0}, {0.1f, 0, 0}, {0.1f, 0.1f, 0}, {0, 0.1f, 0}};
  data->normals.assign(4, {0, 0, 1});
  data->grain.assign(4, {0, 1, 0});
  data->triangles = {{0, 1, 2}, {0, 2, 3}};
  data->curvature_min.assign(4, 0), data->curvature_max.assign(4, 0);
  data->wood_of.assign(4, 0), data->woods = {"spruce"};
  data->region_bits.assign(4, 1);
  data->settle();
  return Body(data);
}

std::vector<Ray> straight_down(int count) {
  std::vector<Ray> rays;
  for (int i = 0; i < count; ++i)
    rays.push_back(
        {{0.0043f * static_cast<float>(i % 40) - 0.02f, 0.031f + 0.0001f * static_cast<float>(i), 1}, {0, 0, -1}});
  return rays;
}

TEST(RayScene, AnswersTheNearerOfBodyAndWhatStandsBeforeIt) {
  const Body body = square();
  // A lid 20 mm above the left half.
  const std::vector<Vec3> lid{{0, 0, 0.02f}, {0.05f, 0, 0.02f}, {0.05f, 0.1f, 0.02f}, {0, 0.1f, 0.02f}};
  const std::vector<Triangle> lid_triangles{{0, 1, 2}, {0, 2, 3}};
  const RayScene both(body, lid, lid_triangles);
  const auto rays = straight_down(203);  // no whole number of packets
  std::vector<Hit> hits(rays.size());
  both.cast(rays, hits);
  std::vector<std::uint8_t> blocked(rays.size());
  both.blocked(rays, blocked);
  for (std::size_t i = 0; i < rays.size(); ++i) {
    const float x = rays[i].origin.x;
    const bool over_lid = x > 0 && x<0.05f, over_body = x> 0 && x < 0.1f;
    EXPECT_EQ(hits[i].missed(), !over_body) << x;
    EXPECT_EQ(blocked[i] != 0, over_body) << x;
    if (!over_body) continue;
    EXPECT_NEAR(hits[i].distance, over_lid ? 0.98 : 1.0, 1e-6) << x;
    EXPECT_EQ(hits[i].at.triangle >= 2, over_lid) << "the lid's triangles come after the body's";
  }
}

TEST(RayScene, WithNothingBesideIsTheBodyItself) {
  const Body body = square();
  const RayScene alone(body, {}, {});
  const auto rays = straight_down(100);
  std::vector<Hit> hits(rays.size());
  alone.cast(rays, hits);
  const auto own = body.cast(rays);
  for (std::size_t i = 0; i < rays.size(); ++i) {
    EXPECT_EQ(hits[i].distance, own[i].distance);
    EXPECT_EQ(hits[i].at.triangle, own[i].at.triangle);
  }
  EXPECT_ANY_THROW(alone.cast(std::vector<Ray>{{{NAN, 0, 1}, {0, 0, -1}}}, std::span(hits).first(1)));
}

}  // namespace
}  // namespace witnessline::body

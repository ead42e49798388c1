#include "view/fittings.h"

#include <gtest/gtest.h>

#include <array>

#include "shapes/slab_bass.h"

namespace witnessline::view {
namespace {

Body slab() {
  std::vector<CavitySpec> pockets;
  for (const auto& [path, depth_m] : {std::pair{"neck_pocket", 0.016}, std::pair{"pickup_bridge", 0.018},
                                      std::pair{"pickup_neck", 0.018}, std::pair{"controls", 0.03}})
    pockets.push_back({path, 0, 0, 0, depth_m, "front"});
  return shapes::slab_bass(2e-3, std::move(pockets));
}

TEST(Sheltered, NoPocketRimIsLeftToHandsWhenItsPartIsOn) {
  const Body body = slab();
  const std::vector<ListedPart> parts{{"neck", {}}, {"control plate", {}}, {"pickups", {}}};
  const std::vector<Shelter> shelter = sheltered(default_fittings(body, parts, 4), body);
  const std::vector<Shelter> bare = sheltered(default_fittings(body, {}, 4), body);
  double rims_m2 = 0, open_m2 = 0, under_m2 = 0, bare_m2 = 0, kept_back_m2 = 0;
  for (std::size_t v = 0; v < body.size(); ++v) {
    const double area_m2 = static_cast<double>(body.areas_m2()[v]);
    const Vec3 p = body.positions()[v];
    if (shelter[v] == Shelter::under) under_m2 += area_m2;
    if (bare[v] != Shelter::open) bare_m2 += area_m2;
    if (shelter[v] != Shelter::open && p.z < -0.0199f) kept_back_m2 += area_m2;
    if (!body.in(v, Region::cavity) || p.z < 0.012f) continue;
    rims_m2 += area_m2;
    if (shelter[v] == Shelter::open) open_m2 += area_m2;
  }
  EXPECT_GT(rims_m2, 20e-4);
  EXPECT_LT(open_m2, 0.03 * rims_m2);
  EXPECT_GT(under_m2, 60e-4) << "plate, pickups, neck and bridge";
  EXPECT_LT(under_m2, 500e-4);
  EXPECT_EQ(kept_back_m2, 0);
  EXPECT_LT(bare_m2, 0.2 * under_m2) << "without parts the pockets are open";
}

// What is drawn is what shelters: a pickguard and a cover by what they cover, on either face.
TEST(Sheltered, APickguardIsDrawnAndSheltersByOneOutline) {
  const Body body = slab();
  for (const char* face : {"front", "back"}) {
    const Patch at{0.08, 0.12, 0.10, 0.20, 0.025, face};
    const FittingMesh without = default_fittings(body, {}, 4),
                      with = default_fittings(body, std::array{ListedPart{"pickguard", {at}}}, 4);
    ASSERT_EQ(with.feet.size(), without.feet.size() + 1) << face;
    ASSERT_GT(with.triangles.size(), without.triangles.size() + 40) << face;
    const double side = std::string(face) == "front" ? 1 : -1;
    const auto beyond_m = [&](Vec3 q) {
      const Vec2d a{at.x_m, at.y_m}, b{*at.to_x_m, *at.to_y_m}, d{double{q.x} - a.x, double{q.y} - a.y}, ab = b - a;
      const double t = std::clamp(dot(d, ab) / dot(ab, ab), 0.0, 1.0);
      return length(d - t * ab) - at.radius_m;
    };
    for (std::size_t p = without.points.size(); p < with.points.size(); ++p) {
      const Vec3 q = with.points[p];
      EXPECT_GT(side * double{q.z}, 0.019) << "on the face";
      EXPECT_LT(side * double{q.z}, 0.025);
      EXPECT_LT(beyond_m(q), 1e-6);  // within the capsule that the job gives
    }
    const std::vector<Shelter> shelter = sheltered(with, body), other = sheltered(without, body);
    const auto under = weights_of({{}, {}, {at}, 0}, body);
    ASSERT_TRUE(under);
    double asked_m2 = 0, kept_m2 = 0, elsewhere_m2 = 0;
    for (std::size_t v = 0; v < body.size(); ++v) {
      const double a = double{body.areas_m2()[v]};
      if ((*under)[v] > 0.5f && !body.in(v, Region::cavity))
        asked_m2 += a, kept_m2 += shelter[v] == Shelter::under ? a : 0;
      // Walls of pockets under it are sheltered too, though they are on no face: what counts is the place on the plan.
      if (shelter[v] == Shelter::under && other[v] != Shelter::under && beyond_m(body.positions()[v]) > 0.004)
        elsewhere_m2 += a;
    }
    EXPECT_GT(asked_m2, 30e-4);
    EXPECT_GT(kept_m2, 0.97 * asked_m2) << face;
    EXPECT_LT(elsewhere_m2, 0.03 * asked_m2) << face;
  }
  EXPECT_FALSE(has_place({"pickguard", {}}));
  EXPECT_TRUE(has_place({"control plate", {}}));
}

// A pocket that nobody called a sound hole stays a pocket.
TEST(StandIns, NoDarkOvalInAPocketThatIsNoSoundHole) {
  const Body body = slab();
  const FittingMesh bare = default_fittings(body, {}, 4),
                    holed = default_fittings(body, std::array{ListedPart{"sound hole", {}}}, 4);
  const auto dark = [](const FittingMesh& mesh) {
    std::size_t n = 0;
    for (std::size_t t = 0; t < mesh.triangles.size(); ++t) n += mesh.stuffs[mesh.stuff_of[t]].body[0] < 0.005;
    return n;
  };
  EXPECT_EQ(dark(bare), 0u);
  EXPECT_GT(dark(holed), 0u);
}

}  // namespace
}  // namespace witnessline::view

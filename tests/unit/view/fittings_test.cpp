#include "view/fittings.h"

#include <gtest/gtest.h>

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
  const std::vector<std::string> names{"neck", "control plate", "pickups"};
  const std::vector<Shelter> shelter = sheltered(stand_ins(body, names, 4), body);
  const std::vector<Shelter> bare = sheltered(stand_ins(body, {}, 4), body);
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

}  // namespace
}  // namespace witnessline::view

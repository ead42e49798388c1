#include <gtest/gtest.h>

#include "bench/existing.h"
#include "shapes/bench_bodies.h"
#include "shapes/slab_bass.h"

namespace witnessline::bench {
namespace {

// The pocket's bare floor is no part of what a block rides on: round the pocket it takes no more than along the
// outline.
TEST(Flat, RidesOnTheFaceAndNotOnTheFloorOfAPocket) {
  static const Library library = shapes::shelf();
  const Bench bench{
      shapes::slab_bass(2e-3, {{"pickup_bridge", 0, 0, 0, 0.018, "front"}}), library, {nullptr}, {}, {}, 7};
  const Body& body = bench.body;
  Where faces;
  faces.except = {"cavity"};
  const Result<Film> film = existing_film({{"lacquer", "lacquer", Origin::later, 120e-6, 0, 0, faces}}, bench, 0);
  ASSERT_TRUE(film);
  Flat flat;
  flat.grit = 1200, flat.depth_m = 8e-6, flat.edge_factor = 1, flat.wet = true;
  const auto after = run_step({"level", "", flat}, *film, bench);
  ASSERT_TRUE(after);
  Box3 pocket;
  for (std::size_t v = 0; v < body.size(); ++v)
    if (body.in(v, Region::cavity)) pocket.add(body.positions()[v]);
  int beside = 0;
  double beside_m3 = 0, beside_m2 = 0, elsewhere_m3 = 0, elsewhere_m2 = 0;
  for (std::size_t v = 0; v < body.size(); ++v) {
    const Vec3d p = body.positions()[v];
    const double cut_m = static_cast<double>(film->layers[0].dry_m[v] - after->film.layers[0].dry_m[v]);
    if (body.in(v, Region::cavity)) {
      EXPECT_EQ(after->film.wood_cut_m[v], film->wood_cut_m[v]);
      continue;
    }
    if (!body.in(v, Region::front)) continue;
    const bool near = p.x > pocket.low.x - 0.012 && p.x < pocket.high.x + 0.012 && p.y > pocket.low.y - 0.012 &&
                      p.y < pocket.high.y + 0.012;
    beside += near ? 1 : 0;
    const double area_m2 = static_cast<double>(body.areas_m2()[v]);
    (near ? beside_m3 : elsewhere_m3) += cut_m * area_m2, (near ? beside_m2 : elsewhere_m2) += area_m2;
  }
  // Finish draws back from the rim, so a block takes a little more beside it (1.3 times); on the floor it took 4 times.
  EXPECT_LT(beside_m3 / beside_m2, 1.5 * elsewhere_m3 / elsewhere_m2);
  EXPECT_GT(beside, 100);
  Flat inside = flat;
  inside.where.on = {"cavity"};
  const auto refused = run_step({"level", "", inside}, *film, bench);
  ASSERT_FALSE(refused);
  EXPECT_NE(refused.errors()[0].text().find("no pocket"), std::string::npos);
}

}  // namespace
}  // namespace witnessline::bench

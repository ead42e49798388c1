// Known answers: a flat sheet's own geometry. A mesh lightened by shape alone would leave it two triangles.
#include "view/light_mesh.h"

#include <gtest/gtest.h>

#include <set>

#include "sheet.h"

namespace witnessline::view {
namespace {

double area_m2(const LightMesh& mesh) {
  double twice = 0;
  for (const Triangle& t : mesh.triangles) {
    const Vec3d a = mesh.positions[t[0]], b = mesh.positions[t[1]], c = mesh.positions[t[2]];
    twice += length(cross(b - a, c - a));
  }
  return twice / 2;
}

TEST(LightMesh, SmallBodyIsLeftAsItIs) {
  const Body body = flat_sheet(20, 10, 1e-3);
  const LightMesh mesh = light_mesh(body, 1000);
  ASSERT_EQ(mesh.positions.size(), body.size());
  EXPECT_EQ(mesh.triangles.size(), body.triangles().size());
  EXPECT_NEAR(area_m2(mesh), 0.02 * 0.01, 1e-9);
}

TEST(LightMesh, FlatFaceKeepsVerticesEverywhere) {
  const Body body = flat_sheet(300, 300, 1e-3);
  const LightMesh mesh = light_mesh(body, 10'000);
  EXPECT_LT(mesh.positions.size(), 11'000u);
  EXPECT_GT(mesh.positions.size(), 4'000u);
  EXPECT_NEAR(area_m2(mesh), 0.09, 0.09 * 0.04);
  std::set<std::pair<int, int>> cells;  // 10 mm each: colours must be carried in every one
  for (const Vec3& p : mesh.positions) cells.insert({static_cast<int>(p.x / 0.01), static_cast<int>(p.y / 0.01)});
  for (int i = 0; i < 30; ++i)
    for (int j = 0; j < 30; ++j) EXPECT_TRUE(cells.contains({i, j})) << i << " " << j;
}

TEST(LightMesh, VerticesAreVerticesOfTheBody) {
  const Body body = flat_sheet(100, 100, 1e-3);
  const LightMesh mesh = light_mesh(body, 2'000);
  ASSERT_EQ(mesh.source_vertex.size(), mesh.positions.size());
  ASSERT_EQ(mesh.normals.size(), mesh.positions.size());
  for (std::size_t v = 0; v < mesh.positions.size(); ++v) {
    EXPECT_EQ(mesh.positions[v], body.positions()[mesh.source_vertex[v]]);
    EXPECT_EQ(mesh.normals[v], body.normals()[mesh.source_vertex[v]]);
  }
  for (const Triangle& t : mesh.triangles)
    for (const std::uint32_t corner : t) ASSERT_LT(corner, mesh.positions.size());
}

}  // namespace
}  // namespace witnessline::view

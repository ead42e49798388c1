// Regions found from the geometry, on every outline and mesh shipped; where steps act.
#include "body/where.h"
#include "inputs.h"

namespace witnessline::body {
namespace {

const std::vector<float>& weights(Result<std::vector<float>>& result) {
  if (!result)
    for (const Error& e : result.errors()) ADD_FAILURE() << e.text();
  return *result;
}

void expect_regions(const Body& body, const std::vector<Region>& absent) {
  for (int k = 0; k < region_count; ++k) {
    const auto region = static_cast<Region>(k);
    const bool expected = std::find(absent.begin(), absent.end(), region) == absent.end();
    EXPECT_EQ(body.has(region), expected) << words(static_cast<const Region*>(nullptr))[static_cast<std::size_t>(k)];
  }
  for (std::size_t i = 0; i < body.size(); ++i) {
    ASSERT_EQ(
        body.in(i, Region::front) + body.in(i, Region::back) + body.in(i, Region::sides) + body.in(i, Region::edge), 1);
    ASSERT_NE(body.in(i, Region::bass), body.in(i, Region::treble));
    ASSERT_NEAR(length(Vec3d(body.grain()[i])), 1, 1e-4);
    ASSERT_NEAR(dot(Vec3d(body.grain()[i]), Vec3d(body.normals()[i])), 0, 1e-3);
    ASSERT_NEAR(length(Vec3d(body.normals()[i])), 1, 1e-4);
    ASSERT_LE(body.curvature_min()[i], body.curvature_max()[i]);
  }
}

TEST(Regions, OctaveMandolin) {
  const Body body = built(demo_spec("octave_mandolin", 2), file_text("data/outlines/octave_mandolin.svg")).body;
  expect_regions(body, {Region::points, Region::contour});
  EXPECT_EQ(body.woods(), (std::vector<std::string>{"spruce", "maple"}));
  // Bent sides: the grain runs level along the rim; on the top along the centreline.
  for (std::size_t i = 0; i < body.size(); ++i) {
    if (body.in(i, Region::sides) && body.woods()[body.wood_of()[i]] == "maple") {
      ASSERT_LT(std::abs(body.grain()[i].z), 0.1);
    }
    if (body.in(i, Region::front) && !body.in(i, Region::cavity) && !body.in(i, Region::binding)) {
      ASSERT_EQ(body.woods()[body.wood_of()[i]], "spruce");
      ASSERT_GT(body.grain()[i].y, 0.8);
    }
  }
  // Symmetric by drawing: halves alike to a thousandth.
  EXPECT_NEAR(region_area_m2(body, Region::bass) / region_area_m2(body, Region::treble), 1, 5e-3);
}

TEST(Regions, SlabBass) {
  const Body body = built(demo_spec("slab_bass", 2), file_text("data/outlines/slab_bass.svg")).body;
  expect_regions(body, {Region::binding});
  // Both horn tips, and only those: one on each side, near the neck end.
  bool bass = false, treble = false;
  for (std::size_t i = 0; i < body.size(); ++i)
    if (body.in(i, Region::points)) {
      ASSERT_GT(body.positions()[i].y, 0.30f);
      (body.positions()[i].x < 0 ? bass : treble) = true;
    }
  EXPECT_TRUE(bass && treble);
}

TEST(Regions, LapSteelOutlineAndItsMeshAgree) {
  const std::vector<Region> absent{Region::upper_bout, Region::waist,   Region::lower_bout,
                                   Region::points,     Region::contour, Region::binding};
  const Body drawn = built(demo_spec("lap_steel", 2), file_text("data/outlines/lap_steel.svg")).body;
  expect_regions(drawn, absent);
  expect_regions(built(mesh_spec(1), file_text("examples/lap_steel/body.stl")).body, absent);
  const Body body = built(mesh_spec(2), file_text("examples/lap_steel/body.stl")).body;
  expect_regions(body, absent);
  EXPECT_NEAR(body.area_m2() / drawn.area_m2(), 1, 2e-3);
  EXPECT_NEAR(body.volume_m3() / drawn.volume_m3(), 1, 2e-3);
  for (const Region r : {Region::front, Region::back, Region::sides})
    EXPECT_NEAR(region_area_m2(body, r) / region_area_m2(drawn, r), 1, 0.05) << static_cast<int>(r);
  // An outline knows where a pocket's mouth begins; on a mesh the half millimetre at the mouth reads as face.
  EXPECT_NEAR(region_area_m2(body, Region::cavity) / region_area_m2(drawn, Region::cavity), 1, 0.08);
}

// The edge is the outer one; the rims of pockets have a word of their own, and a fade does not run down into a pocket.
TEST(Regions, TheEdgeIsNoRimOfAPocket) {
  const Body body = built(demo_spec("slab_bass", 2), file_text("data/outlines/slab_bass.svg")).body;
  const auto away_m = [&](std::size_t v, const auto& of) {
    double least = 1;
    for (std::size_t i = 0; i < body.size(); ++i)
      if (of(i)) least = std::min(least, length(Vec3d(body.positions()[i]) - Vec3d(body.positions()[v])));
    return least;
  };
  const auto wall = [&](std::size_t i) { return body.in(i, Region::cavity) && !body.in(i, Region::rim); };
  const auto side = [&](std::size_t i) { return body.in(i, Region::sides); };
  for (std::size_t v = 0; v < body.size(); v += 37) {
    if (body.in(v, Region::rim)) {
      EXPECT_LT(away_m(v, wall), 0.01);
      EXPECT_FALSE(body.in(v, Region::edge));
    }
    if (body.in(v, Region::edge)) EXPECT_LT(away_m(v, side), 0.012);
  }
  auto faded = weights_of({{"edge"}, {}, {}, 0.06}, body);
  const std::vector<float> w = weights(faded);
  double in_pockets = 0;
  for (std::size_t v = 0; v < body.size(); ++v)
    if (body.in(v, Region::cavity) && !body.in(v, Region::edge)) in_pockets = std::max(in_pockets, double{w[v]});
  EXPECT_EQ(in_pockets, 0);
}

TEST(Regions, ContourOfAMeshIsFound) {
  // The bass built from its outline, written out, read back as a bare mesh.
  const Body drawn = built(demo_spec("slab_bass", 3), file_text("data/outlines/slab_bass.svg")).body;
  Mesh mesh;
  for (const Vec3 p : drawn.positions()) mesh.points.push_back(1e3 * Vec3d(p));
  mesh.triangles.assign(drawn.triangles().begin(), drawn.triangles().end());
  BodySpec spec = mesh_spec(3);
  spec.up = "+y", spec.front = "+z";
  const Body body = built(spec, binary_stl(mesh)).body;
  EXPECT_TRUE(body.has(Region::points));
  EXPECT_TRUE(body.has(Region::waist));
  EXPECT_NEAR(region_area_m2(body, Region::contour) / region_area_m2(drawn, Region::contour), 1, 0.3);
  EXPECT_NEAR(region_area_m2(body, Region::cavity) / region_area_m2(drawn, Region::cavity), 1, 0.3);
}

TEST(Regions, HowTheFileLiesDoesNotMatter) {
  const std::string file = file_text("examples/lap_steel/body.stl");
  const Body straight = built(mesh_spec(3), file).body;
  Mesh mesh = from_binary_stl(file);
  // Turned about an odd axis, shifted, and in inches: the same body.
  const Vec3d axis = unit_of(Vec3d{1, 2, -0.5});
  const double c = std::cos(1.1), s = std::sin(1.1);
  for (Vec3d& p : mesh.points) {
    p = c * p + s * cross(axis, p) + ((1 - c) * dot(axis, p)) * axis + Vec3d{310, -95, 42};
    p = (1 / 25.4) * p;
  }
  const BuiltBody made = built(mesh_spec(3, "in"), binary_stl(mesh));
  ASSERT_FALSE(made.notes.empty());  // says which axes it took
  EXPECT_NEAR(made.body.area_m2() / straight.area_m2(), 1, 1e-3);
  EXPECT_NEAR(made.body.volume_m3() / straight.volume_m3(), 1, 1e-3);
  for (int k = 0; k < region_count; ++k) {
    const auto r = static_cast<Region>(k);
    EXPECT_EQ(made.body.has(r), straight.has(r));
    if (straight.has(r)) { EXPECT_NEAR(region_area_m2(made.body, r) / region_area_m2(straight, r), 1, 0.06) << k; }
  }
  Vec3 low = made.body.positions()[0], high = low;
  for (const Vec3 p : made.body.positions()) {
    low = {std::min(low.x, p.x), std::min(low.y, p.y), std::min(low.z, p.z)};
    high = {std::max(high.x, p.x), std::max(high.y, p.y), std::max(high.z, p.z)};
  }
  EXPECT_NEAR(low.y, 0, 1e-3);
  EXPECT_NEAR(high.y, 0.7804, 1e-3);
  EXPECT_NEAR(low.x, -0.095, 1e-3);
  EXPECT_NEAR(high.z, 0.018, 5e-4);
}

TEST(Regions, EveryFormatGivesTheSameBody) {
  const Mesh mesh = box({220, 400, 40});
  const Body first = built(mesh_spec(4), binary_stl(mesh)).body;
  EXPECT_NEAR(first.volume_m3(), 0.22 * 0.4 * 0.04, 0.02 * 0.22 * 0.4 * 0.04);
  for (const std::string& file : {text_stl(mesh), obj(mesh)}) {
    const Body other = built(mesh_spec(4), file).body;
    EXPECT_NEAR(other.volume_m3() / first.volume_m3(), 1, 1e-6);
    EXPECT_EQ(other.size(), first.size());
  }
  EXPECT_NEAR(built(mesh_spec(4, ""), glb(mesh)).body.volume_m3() / first.volume_m3(), 1, 1e-5);
}

TEST(Regions, OutlineOrientationIsFound) {
  const std::string file = file_text("data/outlines/slab_bass.svg");
  const Body straight = built(demo_spec("slab_bass", 4), file).body;
  for (const int turn : {90, 180, 270}) {
    std::string turned = file;
    turned.replace(turned.find("<g "), 3, fmt::format("<g transform=\"rotate({} 190 250)\" ", turn));
    const Body body = built(demo_spec("slab_bass", 4), turned).body;
    EXPECT_NEAR(body.volume_m3() / straight.volume_m3(), 1, 1e-4) << turn;
    EXPECT_NEAR(region_area_m2(body, Region::bass) / region_area_m2(straight, Region::bass), 1, 2e-3) << turn;
    EXPECT_NEAR(region_area_m2(body, Region::contour) / region_area_m2(straight, Region::contour), 1, 1e-2) << turn;
  }
}

class WhereTest : public testing::Test {
 protected:
  const Body body = built(demo_spec("octave_mandolin", 2), file_text("data/outlines/octave_mandolin.svg")).body;
};

TEST_F(WhereTest, WordsOfAnEntryAllHoldAndEntriesAdd) {
  Where w;
  auto all = weights_of(w, body);
  EXPECT_NEAR(area_under(weights(all), body), body.area_m2(), 1e-6);
  w.on = {"front treble"};
  auto treble = weights_of(w, body);
  w.on = {"front bass", "front treble"};
  auto both = weights_of(w, body);
  EXPECT_NEAR(area_under(weights(both), body), region_area_m2(body, Region::front), 1e-6);
  EXPECT_LT(area_under(weights(treble), body), 0.52 * area_under(weights(both), body));
  w.except = {"cavity", "binding"};
  auto less = weights_of(w, body);
  EXPECT_LT(area_under(weights(less), body), area_under(weights(both), body));
}

TEST_F(WhereTest, APatchHasItsArea) {
  Where w;
  Patch p;
  p.x_m = 0, p.y_m = 0.13, p.radius_m = 0.04, p.face = "back";
  w.patches = {p};
  auto sharp = weights_of(w, body);
  EXPECT_NEAR(area_under(weights(sharp), body) / (pi * 0.04 * 0.04), 1, 0.03);
  w.fade_m = 0.02;  // the soft edge lies half inside and half outside
  auto soft = weights_of(w, body);
  EXPECT_NEAR(area_under(weights(soft), body) / (pi * 0.04 * 0.04), 1, 0.04);
  for (const float v : weights(soft)) ASSERT_TRUE(v >= 0 && v <= 1);
}

TEST_F(WhereTest, AFadeRunsOverTheSurface) {
  Where w;
  w.on = {"front treble"};
  w.fade_m = 0.03;
  auto soft = weights_of(w, body);
  // Across the middle of the level lower bout the border is the centreline: weight a half there, and by distance.
  for (std::size_t i = 0; i < body.size(); ++i) {
    const Vec3 p = body.positions()[i];
    if (!body.in(i, Region::front) || body.in(i, Region::cavity) || p.y < 0.10f || p.y > 0.15f) continue;
    const double t = std::clamp(0.5 + p.x / 0.03, 0.0, 1.0);
    if (std::abs(p.x) < 0.05f) { ASSERT_NEAR(weights(soft)[i], t * t * (3 - 2 * t), 0.12) << p.x << " " << p.y; }
  }
}

TEST_F(WhereTest, FaultsNameTheNearestRightWord) {
  Where w;
  w.on = {"front trebel"};
  auto wrong = weights_of(w, body);
  ASSERT_FALSE(wrong);
  EXPECT_NE(wrong.errors()[0].text().find("treble"), std::string::npos);
  EXPECT_EQ(wrong.errors()[0].where.key, "on[1]");
  w.on = {"points"};
  auto absent = weights_of(w, body);
  ASSERT_FALSE(absent);
  EXPECT_NE(absent.errors()[0].what.find("no region"), std::string::npos);
  w.on = {};
  Patch p;
  p.face = "frnt";
  w.patches = {p};
  auto face = weights_of(w, body);
  ASSERT_FALSE(face);
  EXPECT_NE(face.errors()[0].text().find("front"), std::string::npos);
}

TEST_F(WhereTest, RaysAndNearestPoints) {
  const auto hits = body.cast(std::vector<Ray>{{{0.01f, 0.13f, 1}, {0, 0, -1}}, {{1, 1, 1}, {0, 0, 1}}});
  ASSERT_FALSE(hits[0].missed());
  EXPECT_TRUE(hits[1].missed());
  EXPECT_NEAR(body.position(hits[0].at).z, 1 - hits[0].distance, 1e-5);
  EXPECT_GT(body.position(hits[0].at).z, 0.036f + 0.013f);  // near the summit of the arch
  const auto near = body.nearest(std::vector<Vec3>{{0.01f, 0.13f, 1}});
  EXPECT_GT(body.position(near[0]).z, 0.036f);
  EXPECT_ANY_THROW((void)body.cast(std::vector<Ray>{{{NAN, 0, 1}, {0, 0, -1}}}));
}

TEST_F(WhereTest, SurveyTravelsOnTheSurface) {
  const std::string file = file_text("data/outlines/octave_mandolin.svg");
  const std::vector<SurveyFact> survey{{Fact::dent, {0.05f, 0.1f, 0.5f}, 0.004, 0.0005, "buckle"}};
  const auto made = build_body(demo_spec("octave_mandolin", 4), file, "a.svg", survey);
  ASSERT_TRUE(made);
  ASSERT_EQ(made->body.survey().size(), 1u);
  EXPECT_LT(made->body.survey()[0].centre.z, 0.06f);
  const auto bare = build_body(demo_spec("octave_mandolin", 4), file, "a.svg", {});
  EXPECT_NE(made->body.hash(), bare->body.hash());
  const auto again = build_body(demo_spec("octave_mandolin", 4), file, "a.svg", survey);
  EXPECT_EQ(made->body.hash(), again->body.hash());
}

}  // namespace
}  // namespace witnessline::body

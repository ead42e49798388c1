// Areas, volumes and curvatures of shapes whose values are known in closed form (Pappus and Guldin; geometry).
#include "body/surface.h"
#include "inputs.h"

namespace witnessline::body {
namespace {

struct Measured {
  double area_m2, volume_m3;
};

/// Error must fall by the order of the pitch squared; the observed order is reported.
void expect_second_order(const std::function<Body(double)>& at_pitch_mm, Measured exact, double finest_mm = 1) {
  std::vector<double> area_error, volume_error;
  for (const double pitch : {4 * finest_mm, 2 * finest_mm, finest_mm}) {
    const Body body = at_pitch_mm(pitch);
    ASSERT_EQ(fault_of_surface({body.triangles().begin(), body.triangles().end()}, body.size()), "");
    area_error.push_back(std::abs(body.area_m2() / exact.area_m2 - 1));
    volume_error.push_back(std::abs(body.volume_m3() / exact.volume_m3 - 1));
    double sum = 0;
    for (const float a : body.areas_m2()) sum += a;
    EXPECT_NEAR(sum, body.area_m2(), 1e-6 * body.area_m2());
  }
  const double area_order = 0.5 * std::log2(area_error[0] / area_error[2]);
  const double volume_order = 0.5 * std::log2(volume_error[0] / volume_error[2]);
  std::printf("  area errors %.2e %.2e %.2e (order %.2f), volume errors %.2e %.2e %.2e (order %.2f)\n", area_error[0],
              area_error[1], area_error[2], area_order, volume_error[0], volume_error[1], volume_error[2],
              volume_order);
  EXPECT_GT(area_order, 1.7);
  EXPECT_GT(volume_order, 1.7);
  EXPECT_LT(area_error[2], 1e-3);
  EXPECT_LT(volume_error[2], 1e-3);
}

/// A stadium slab with rounded edges: straight prism plus body of revolution.
Measured rounded_stadium(double r, double l, double t, double e) {
  const double corner = (1 - pi / 4) * e * e;               // section a rounded edge takes away
  const double corner_at = r - e + e / (6 * (1 - pi / 4));  // its centroid's distance from the axis
  const double round_volume = pi * r * r * t - 2 * 2 * pi * corner_at * corner;
  const double round_area =
      2 * pi * (r - e) * (r - e) + 2 * pi * r * (t - 2 * e) + 2 * 2 * pi * (pi * e / 2) * (r - e + 2 * e / pi);
  return {round_area + l * (2 * (2 * r - 2 * e) + 2 * (t - 2 * e) + 2 * pi * e),
          round_volume + l * (2 * r * t - 4 * corner)};
}

TEST(ClosedForms, RoundedSlab) {
  expect_second_order(
      [](double pitch) {
        BodySpec spec = outline_spec(pitch);
        spec.thickness_m = 0.040, spec.edge_radius_m = 0.012;
        return built(spec, drawing(stadium(60, 80))).body;
      },
      rounded_stadium(0.060, 0.080, 0.040, 0.012));
}

TEST(ClosedForms, Disc) {
  expect_second_order(
      [](double pitch) {
        BodySpec spec = outline_spec(pitch);
        spec.thickness_m = 0.030, spec.edge_radius_m = 0.010;
        return built(spec, drawing(stadium(90, 0))).body;
      },
      rounded_stadium(0.090, 0, 0.030, 0.010));
}

// Pitches well over the 0.7 mm facets of the files, whose own error would hide the order.
TEST(ClosedForms, SphereMesh) {
  const std::string file = binary_stl(sphere(70, 160));
  expect_second_order([&](double pitch) { return built(mesh_spec(pitch), file).body; },
                      {4 * pi * 0.07 * 0.07, 4.0 / 3 * pi * std::pow(0.07, 3)}, 2);
}

TEST(ClosedForms, TorusMesh) {
  const std::string file = binary_stl(torus(90, 25));
  expect_second_order([&](double pitch) { return built(mesh_spec(pitch), file).body; },
                      {4 * pi * pi * 0.09 * 0.025, 2 * pi * pi * 0.09 * 0.025 * 0.025}, 2);
}

TEST(ClosedForms, HolesThroughAreCounted) {
  EXPECT_EQ(holes_through(built(mesh_spec(3), binary_stl(torus(90, 25))).body), 1);
  EXPECT_EQ(holes_through(built(mesh_spec(3), binary_stl(sphere(70, 60))).body), 0);
  BodySpec spec = outline_spec(2);
  spec.cavities = {{"", 0.0, 0.09, 0.025, 0.045, "front"}, {"", 0.0, 0.19, 0.015, 0.010, "front"}};
  EXPECT_EQ(holes_through(built(spec, drawing(stadium(60, 140))).body), 1);  // one bored through, one blind
}

// A round-over of radius e on a disc of radius r: curvatures 1/e and, around the disc, cos(a) / (r - e + e cos(a)) with
// a the normal's tilt from the plane of the disc.
TEST(ClosedForms, CurvatureOfARoundOver) {
  BodySpec spec = outline_spec(1);
  const double r = 0.09, e = 0.006;
  spec.thickness_m = 0.030, spec.edge_radius_m = e;
  const Body body = built(spec, drawing(stadium(90, 0))).body;
  int seen = 0;
  for (std::size_t i = 0; i < body.size(); ++i) {
    const double tilt = std::abs(body.normals()[i].z), around = std::sqrt(1 - tilt * tilt);
    if (tilt < 0.05 || tilt > 0.95) continue;
    ++seen;
    ASSERT_NEAR(body.curvature_max()[i] * e, 1, 2e-3);
    ASSERT_NEAR(body.curvature_min()[i], around / (r - e + e * around), 0.02);
    ASSERT_TRUE(body.in(i, Region::edge) || tilt < 0.14);
  }
  EXPECT_GT(seen, 5000);
}

TEST(ClosedForms, CurvatureOfMeshes) {
  const Body ball = built(mesh_spec(2), binary_stl(sphere(70, 100))).body;
  double mean = 0;
  for (std::size_t i = 0; i < ball.size(); ++i)
    mean += 0.5 * (ball.curvature_min()[i] + ball.curvature_max()[i]) / static_cast<double>(ball.size());
  EXPECT_NEAR(mean * 0.07, 1, 0.01);
  // Torus: 1 / small everywhere the one way; cos / (big + small cos) the other.
  const Body ring = built(mesh_spec(2), binary_stl(torus(90, 25))).body;
  double off = 0;
  for (std::size_t i = 0; i < ring.size(); ++i)
    off += std::abs(ring.curvature_max()[i] * 0.025 - 1) / static_cast<double>(ring.size());
  EXPECT_LT(off, 0.05);
}

TEST(ClosedForms, OutlineCurvesOfEveryLetter) {
  // A square of 200 mm drawn with every letter of path data, straight and curved, turned and shifted by groups.
  const std::string bent =
      "M0 0 h50 L100 0 l50 0 H200 v50 V100 C200 120 200 130 200 150 S200 180 200 200 s-20 0 -50 0 Q120 200 100 200 "
      "T80 200 t-20 0 q-30 0 -60 0 c0 -30 0 -60 0 -100 A1000000 1000000 0 0 0 0 50 a1e6 1e6 0 0 0 0 -50 z";
  BodySpec spec = outline_spec(2);
  spec.thickness_m = 0.04;
  spec.edge_radius_m = 0.001;
  const std::string file = fmt::format(
      R"svg(<svg width="30cm" height="30cm" viewBox="0 0 600 600"><g transform="translate(300,100) rotate(90)"><g transform="scale(2)"><path d="{}"/></g></g></svg>)svg",
      bent);
  const Body body = built(spec, file).body;
  EXPECT_NEAR(body.volume_m3(), 0.2 * 0.2 * 0.04, 0.01 * 0.2 * 0.2 * 0.04);
}

TEST(ClosedForms, SpacingIsEven) {
  for (const std::string name : {"octave_mandolin", "slab_bass"}) {
    const Body body = built(demo_spec(name, 2), file_text("data/outlines/" + name + ".svg")).body;
    const std::vector<double> edges = edge_lengths_m(body);
    const double p5 = edges[edges.size() / 20], p50 = edges[edges.size() / 2], p95 = edges[edges.size() * 19 / 20];
    std::printf("  %s: edges p5 %.2f, p50 %.2f, p95 %.2f mm at 2 mm\n", name.c_str(), p5 * 1e3, p50 * 1e3, p95 * 1e3);
    EXPECT_LT(p95 / p5, 2.2);
    EXPECT_GT(edges.front(), 0.15 * body.pitch_m());
    EXPECT_LT(edges.back(), 2.0 * body.pitch_m());
    EXPECT_EQ(fault_of_surface({body.triangles().begin(), body.triangles().end()}, body.size()), "");
    EXPECT_EQ(holes_through(body), 0);
  }
}

}  // namespace
}  // namespace witnessline::body

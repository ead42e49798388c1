// Bad outlines and mesh files: refused with the place and the reason, or mended with a Note; never a crash.
#include "base/random.h"
#include "inputs.h"

namespace witnessline::body {
namespace {

std::string fault_of(const BodySpec& spec, const std::string& bytes) {
  const std::string file = spec.mesh.empty() ? "body.svg" : "body.stl";
  const Result<BuiltBody> made = build_body(spec, bytes, file, {});
  if (made) return "(built)";
  std::string all;
  for (const Error& e : made.errors()) {
    const bool key_of_the_job = e.where.file.empty() && e.where.key.starts_with("body");
    EXPECT_TRUE(e.where.file == file || key_of_the_job) << e.text();
    EXPECT_FALSE(e.what.empty());
    all += e.text() + "\n";
  }
  return all;
}
void expect_fault(const BodySpec& spec, const std::string& bytes, const std::string& part) {
  const std::string text = fault_of(spec, bytes);
  EXPECT_NE(text.find(part), std::string::npos) << text;
}

TEST(BadOutline, IsRefusedWithItsPlace) {
  const BodySpec spec = outline_spec(4);
  expect_fault(spec, "", "empty");
  expect_fault(spec, "hello", "not an SVG");
  expect_fault(spec, "<a/>", "no <svg>");
  expect_fault(spec, drawing("M0 0 L200 0 L200 300 L0 300"), "open");
  expect_fault(spec, drawing("M0 0 L200 0 L200 nonsense Z"), "cannot be read");
  expect_fault(spec, drawing("L0 0 1 1"), "begins with M");
  expect_fault(spec, drawing("M0 0 L1e999 0 Z"), "cannot be read");
  expect_fault(spec, drawing("M0 0 L nan 0 Z"), "");
  expect_fault(spec, drawing("M0 0 L200 300 L200 0 L0 200 Z"), "crosses itself");
  expect_fault(spec, drawing("M0 0 L200 0 Z"), "no area");
  expect_fault(spec, drawing("M0 0 h200 v300 h-200 z M50 50 h10 v10 h-10 z"), "separate loops");
  expect_fault(spec, drawing("M0 0 h200 v300 h-200 z", "", R"(width="400" viewBox="0 0 400 400")"), "unit");
  expect_fault(spec, drawing("M0 0 h200 v300 h-200 z", "", R"(viewBox="0 0 400 400")"), "unit");
  expect_fault(spec, drawing("M0 0 h200 v300 h-200 z", "", R"(width="400in" viewBox="0 0 400 400")"),
               "not the size of an instrument");
  expect_fault(
      spec,
      R"(<svg width="400mm" viewBox="0 0 400 400"><path id="a" d="M0 0h9v9z"/><path id="b" d="M0 0h9v9z"/></svg>)",
      "outline");
  const std::string placed =
      fault_of(spec, "<svg width=\"400mm\" viewBox=\"0 0 400 400\">\n\n<path d=\"M0 0 L9 9\"/></svg>");
  EXPECT_NE(placed.find("body.svg:3:"), std::string::npos) << placed;
}

TEST(BadOutline, GroupsInGroupsWithoutEndAreRefused) {
  std::string groups, ends;
  for (int i = 0; i < 200'000; ++i) groups += "<g>", ends += "</g>";
  expect_fault(outline_spec(4), R"(<svg width="400mm" viewBox="0 0 400 400">)" + groups + ends + "</svg>",
               "groups are nested more than 100 deep");
}

TEST(BadOutline, SmallGapIsClosedWithANote) {
  const Result<BuiltBody> made =
      build_body(outline_spec(6), drawing("M0 0 L200 0 L200 300 L0 300 L0 0.1"), "body.file", {});
  ASSERT_TRUE(made);
  ASSERT_FALSE(made->notes.empty());
}

TEST(BadSpec, IsRefusedWithItsKey) {
  const std::string good = drawing("M0 0 h200 v300 h-200 z", R"(<path id="pocket" d="M50 50 h50 v50 h-50 z"/>)");
  BodySpec spec = outline_spec(5);
  spec.cavities = {{"pockte", 0, 0, 0, 0.01, "front"}};
  expect_fault(spec, good, "did you mean 'pocket'");
  spec = outline_spec(5);
  spec.thickness_m = -0.01;
  expect_fault(spec, good, "thickness_mm");
  spec = outline_spec(5);
  spec.thickness_m = 0.010, spec.edge_radius_m = 0.008;
  expect_fault(spec, good, "edge_radius_mm");
  spec = outline_spec(5);
  spec.contours = {{0.1, 0.1, 0.05, 0.055, "front"}};
  expect_fault(spec, good, "contours[1]");
  spec.contours = {{0.1, 0.1, 0.05, 0.005, "bakc"}};
  expect_fault(spec, good, "did you mean 'back'");
  spec = outline_spec(5);
  spec.mesh = "a.stl";
  expect_fault(spec, good, "both");
}

TEST(BadMesh, IsRefusedWithTheReason) {
  const Mesh good = box({220, 400, 40}, 12);
  const BodySpec spec = mesh_spec(6);
  expect_fault(spec, "", "empty");
  expect_fault(spec, "no mesh at all", "not a mesh file");
  expect_fault(mesh_spec(6, ""), binary_stl(good), "unit is missing");
  expect_fault(mesh_spec(6, "furlong"), binary_stl(good), "not a unit");
  expect_fault(mesh_spec(6, "m"), binary_stl(good), "not the size of an instrument");
  Mesh inches = good;
  for (Vec3d& p : inches.points) p = (1 / 25.4) * p;
  expect_fault(spec, binary_stl(inches), "in (400 mm long)");  // inches taken for millimetres: says so

  const std::string whole = binary_stl(good);
  expect_fault(spec, whole.substr(0, whole.size() / 2), "cut short");
  const std::string text = text_stl(good);
  expect_fault(spec, text.substr(0, text.size() / 2), "");
  const std::string scene = glb(good);
  expect_fault(mesh_spec(6, ""), scene.substr(0, scene.size() / 2), "cut short");
  expect_fault(spec, obj(good) + "f 1 2 99999\n", "does not refer to a point");

  Mesh holed = good;
  holed.triangles.erase(holed.triangles.begin(), holed.triangles.begin() + 60);
  expect_fault(spec, binary_stl(holed), "not closed");
  Mesh not_a_number = good;
  not_a_number.points[7].y = std::nan("");
  expect_fault(spec, binary_stl(not_a_number), "not a number");
  not_a_number.points[7].y = INFINITY;
  expect_fault(spec, binary_stl(not_a_number), "not a number");
  Mesh crowded = good;
  crowded.points.push_back({0, 0, 500});
  crowded.triangles.push_back(
      {crowded.triangles[0][0], crowded.triangles[0][1], static_cast<std::uint32_t>(crowded.points.size() - 1)});
  expect_fault(mesh_spec(6), binary_stl(crowded), "inconsistent");
  Mesh two = good;
  for (const Vec3d p : good.points) two.points.push_back(p + Vec3d{300, 0, 0});
  for (Triangle t : good.triangles) {
    for (std::uint32_t& v : t) v += static_cast<std::uint32_t>(good.points.size());
    two.triangles.push_back(t);
  }
  expect_fault(spec, binary_stl(two), "separate surfaces");
  BodySpec axes = spec;
  axes.up = "+w";
  expect_fault(axes, whole, "not an axis");
  axes.up = "+y", axes.front = "-y";
  expect_fault(axes, whole, "same axis");
}

TEST(BadMesh, SmallFaultsAreMendedWithANote) {
  Mesh mesh = box({220, 400, 40}, 40);
  const double volume = built(mesh_spec(5), binary_stl(mesh)).body.volume_m3();
  std::swap(mesh.triangles[10][1], mesh.triangles[10][2]);                                       // faces the wrong way
  mesh.triangles.push_back(mesh.triangles[50]);                                                  // twice the same
  mesh.triangles.push_back({mesh.triangles[0][0], mesh.triangles[0][0], mesh.triangles[0][1]});  // collapsed
  mesh.triangles.erase(mesh.triangles.begin() + 200);                                            // a small hole
  const BuiltBody made = built(mesh_spec(5), binary_stl(mesh));
  EXPECT_NEAR(made.body.volume_m3() / volume, 1, 1e-3);
  std::string all;
  for (const Note& n : made.notes) all += n.text + "\n";
  for (const char* part : {"collapsed", "duplicate", "wrong way", "small holes"})
    EXPECT_NE(all.find(part), std::string::npos) << all;
  for (Triangle& t : mesh.triangles) std::swap(t[0], t[1]);
  EXPECT_GT(built(mesh_spec(5), binary_stl(mesh)).body.volume_m3(), 0);
}

TEST(BadMesh, RandomBytesNeverCrash) {
  const std::vector<std::string> seeds{binary_stl(box({220, 400, 40}, 2)), text_stl(box({220, 400, 40}, 2)),
                                       obj(box({220, 400, 40}, 2)), glb(box({220, 400, 40}, 2)),
                                       drawing(stadium(60, 80))};
  std::uint64_t draw = 1;
  const auto next = [&](std::size_t below) { return mixed(draw++) % below; };
  for (int round = 0; round < 400; ++round) {
    std::string bytes = seeds[next(seeds.size())];
    if (round % 4 == 0) {
      bytes.resize(next(3000));
      for (char& c : bytes) c = static_cast<char>(next(256));
    } else {
      for (std::size_t k = 0, changes = 1 + next(6); k < changes; ++k)
        bytes[next(bytes.size())] = static_cast<char>(next(256));
      if (round % 3 == 0) bytes.resize(next(bytes.size()) + 1);
    }
    for (const BodySpec& spec : {mesh_spec(15), outline_spec(15)}) {
      const Result<BuiltBody> made = build_body(spec, bytes, "body.file", {});
      if (!made) {
        ASSERT_FALSE(made.errors().empty());
      } else {
        ASSERT_TRUE(std::isfinite(made->body.area_m2()));
      }
    }
  }
}

}  // namespace
}  // namespace witnessline::body

// Meshes and outlines that pass through themselves, and files made to keep the reader busy for ever.
#include <gtest/gtest.h>

#include <atomic>
#include <chrono>

#include "body/build_body.h"
#include "body/loop_crossing.h"
#include "body/mesh_crossing.h"
#include "body/mesh_file.h"
#include "body/mesh_repair.h"
#include "body/surface.h"
#include "inputs.h"

namespace witnessline::body {
namespace {

/// Twelve triangles: a block 300 x 400 x 40 mm.
Mesh block() {
  Mesh mesh;
  for (int i = 0; i < 8; ++i)
    mesh.points.push_back({i & 1 ? 150.0 : -150.0, i & 2 ? 400.0 : 0.0, i & 4 ? 20.0 : -20.0});
  for (const auto& [a, b, c, d] : {std::array<std::uint32_t, 4>{0, 2, 3, 1},
                                   {4, 5, 7, 6},
                                   {0, 1, 5, 4},
                                   {2, 6, 7, 3},
                                   {0, 4, 6, 2},
                                   {1, 3, 7, 5}}) {
    mesh.triangles.push_back({a, b, c});
    mesh.triangles.push_back({a, c, d});
  }
  return mesh;
}

std::string text_of(const Result<BuiltBody>& made) {
  if (made) return "(built)";
  std::string all;
  for (const Error& e : made.errors()) all += e.text() + "\n";
  return all;
}

TEST(Crossing, AnEdgeThroughATriangleCountsAndTouchingDoesNot) {
  const auto found = [](std::vector<Vec3> points) {
    const std::vector<Triangle> two{{0, 1, 2}, {3, 4, 5}};
    const TriangleTree tree(points, two);
    return crossing_of(points, two, tree);
  };
  const auto crossed = found({{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0.2f, 0.2f, -1}, {0.2f, 0.2f, 1}, {5, 5, 0}});
  ASSERT_TRUE(crossed);
  EXPECT_EQ(crossed->first.triangle, 0u);
  EXPECT_NEAR(crossed->first.u, 0.2, 1e-6);
  EXPECT_NEAR(crossed->first.v, 0.2, 1e-6);
  EXPECT_EQ(crossed->triangles, 2u);  // an edge of each passes through the other
  EXPECT_FALSE(found({{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0.2f, 0.2f, 0}, {0.2f, 0.2f, 1}, {5, 5, 1}}));  // rests on it
  EXPECT_FALSE(found({{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 0}, {1, 0, 0}, {0, -1, 0}}));        // shares an edge
  EXPECT_FALSE(found({{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {3, 0.2f, -1}, {3, 0.2f, 1}, {5, 5, 0}}));  // passes beside it
}

TEST(Crossing, ABlockWithACornerMovedIsRefusedWithThePlace) {
  EXPECT_EQ(text_of(build_body(mesh_spec(8), binary_stl(block()), "body.stl", {})), "(built)");
  for (int corner = 0; corner < 8; ++corner) {
    Mesh mesh = block();
    mesh.points[static_cast<std::size_t>(corner)] = {0, 200,
                                                     corner & 4 ? -300.0 : 300.0};  // out through the other face
    const std::string text = text_of(build_body(mesh_spec(8), binary_stl(mesh), "body.stl", {}));
    EXPECT_NE(text.find("body.stl: the mesh crosses itself at ("), std::string::npos) << corner << ": " << text;
  }
  // The place is where the file has it: a needle from the front, through the block and out of its back.
  Mesh mesh = block();
  mesh.points.push_back({0.0, 100.0, -60.0});
  const auto tip = static_cast<std::uint32_t>(mesh.points.size() - 1);
  const Triangle whole = mesh.triangles[2];
  mesh.triangles[2] = {whole[0], whole[1], tip};
  mesh.triangles.push_back({whole[1], whole[2], tip});
  mesh.triangles.push_back({whole[2], whole[0], tip});
  const std::string text = text_of(build_body(mesh_spec(8), binary_stl(mesh), "body.stl", {}));
  EXPECT_NE(text.find("crosses itself at ("), std::string::npos) << text;
  EXPECT_NE(text.find(", -20) in the file's unit"), std::string::npos) << text;
}

// Found by fuzzing: half a face folded back flat over the other half. Nothing passes through anything.
TEST(Crossing, AFoldThatLiesOnTheSurfaceIsRefused) {
  Mesh mesh = block();
  mesh.points[6] = {-105, 40, 20};
  const std::string text = text_of(build_body(mesh_spec(20), binary_stl(mesh), "body.stl", {}));
  EXPECT_NE(text.find("inside"), std::string::npos) << text;
}

TEST(Crossing, NoCornerMovedAnywhereLoopsOrCrashes) {
  std::uint64_t draw = 7;
  const auto next = [&] {
    return static_cast<double>((draw = draw * 6364136223846793005u + 1442695040888963407u) >> 40) / 16777216.0;
  };
  int refused = 0;
  for (int round = 0; round < 60; ++round) {
    Mesh mesh = block();
    mesh.points[static_cast<std::size_t>(8 * next())] = {600 * next() - 300, 800 * next() - 200, 200 * next() - 100};
    refused += !build_body(mesh_spec(15), binary_stl(mesh), "body.stl", {});
  }
  EXPECT_GT(refused, 5);
  EXPECT_LT(refused, 60);
}

// A surface with no inside runs out of its box whatever made it so.
TEST(Crossing, AShapeThatIsOpenIsRefused) {
  class Half : public Shape {
   public:
    Sample at(Vec3d p) const override { return {p.z - 0.3 * p.x, {-0.3, 0, 1}}; }
    Box3 bounds() const override {
      Box3 box;
      box.add({-0.1, -0.1, -0.02}), box.add({0.1, 0.1, 0.02});
      return box;
    }
  };
  std::vector<Note> notes;
  const auto made = surface_of(Half{}, 0.004, notes);
  ASSERT_FALSE(made);
  EXPECT_NE(made.errors().front().what.find("has no inside"), std::string::npos) << made.errors().front().text();
}

TEST(Stop, BreaksTheMakingOfABodyOff) {
  const std::string bytes = binary_stl(box({220, 400, 40}, 60));
  std::atomic<int> asked = 0;
  ASSERT_TRUE(build_body(mesh_spec(2), bytes, "body.stl", {}, 0.002, [&] { return ++asked, false; }));
  EXPECT_GT(asked, 100);
  for (const int after : {0, 1, 5, 100, asked / 2, asked - 100}) {
    std::atomic<int> looks = 0;
    const auto made = build_body(mesh_spec(2), bytes, "body.stl", {}, 0.002, [&] { return ++looks > after; });
    ASSERT_FALSE(made) << after;
    EXPECT_NE(text_of(made).find("stopped before it was finished"), std::string::npos) << after << text_of(made);
  }
}

// Every level names the next twice: 2^64 visits of one triangle. glTF 2.0 asks for trees: one parent a node.
TEST(BadGlb, SharedChildrenAreRefusedAtOnce) {
  const auto scene = [](const std::string& nodes, const std::string& roots) {
    std::string json = R"({"asset":{"version":"2.0"},"scenes":[{"nodes":[)" + roots + R"(]}],"nodes":[)" + nodes + "]}";
    json.resize((json.size() + 3) / 4 * 4, ' ');
    const auto word = [](std::size_t v) {
      const auto w = static_cast<std::uint32_t>(v);
      return std::string(reinterpret_cast<const char*>(&w), 4);
    };
    return "glTF" + word(2) + word(20 + json.size()) + word(json.size()) + "JSON" + json;
  };
  std::string nodes;
  for (int i = 0; i < 64; ++i) nodes += fmt::format(R"({{"children":[{0},{0}]}},)", i + 1);
  const auto shared = read_glb(scene(nodes + "{}", "0"), "a.glb");
  ASSERT_FALSE(shared);
  EXPECT_NE(shared.errors().front().text().find("more than one parent"), std::string::npos);
  EXPECT_FALSE(read_glb(scene(R"({"children":[0]})", "0"), "a.glb"));
  EXPECT_FALSE(read_glb(scene(R"({})", "0,0"), "a.glb"));
  EXPECT_FALSE(read_glb(scene(R"({})", "7"), "a.glb"));
}

TEST(Holes, AreFilledTheSameWayWhateverTheOrderOfTheTriangles) {
  // A block with a square hole beside a triangular one, meeting in a point: two ways round from there.
  const auto filled = [](int turned) {
    RawMesh raw;
    const Mesh mesh = box({12, 12, 12}, 6);
    raw.points = mesh.points;
    for (Vec3d& p : raw.points) p = 1e-3 * p;
    raw.triangles = mesh.triangles;
    raw.triangles.erase(raw.triangles.begin() + 40, raw.triangles.begin() + 42);
    raw.triangles.erase(raw.triangles.begin() + 10);
    std::rotate(raw.triangles.begin(), raw.triangles.begin() + turned, raw.triangles.end());
    // Numbers of the points stay, so the same surface must come out.
    std::vector<Note> notes;
    raw.unit_m = 1e-3;
    EXPECT_TRUE(repair(raw, "a.stl", notes));
    std::vector<std::array<double, 9>> all;
    for (Triangle t : raw.triangles) {
      std::rotate(t.begin(),
                  std::min_element(t.begin(), t.end(),
                                   [&](auto a, auto b) {
                                     const Vec3d p = raw.points[a], q = raw.points[b];
                                     return std::tuple(p.x, p.y, p.z) < std::tuple(q.x, q.y, q.z);
                                   }),
                  t.end());
      const Vec3d a = raw.points[t[0]], b = raw.points[t[1]], c = raw.points[t[2]];
      all.push_back({a.x, a.y, a.z, b.x, b.y, b.z, c.x, c.y, c.z});
    }
    std::sort(all.begin(), all.end());
    return all;
  };
  EXPECT_EQ(filled(0), filled(17));
  EXPECT_EQ(filled(0), filled(233));
}

TEST(Loops, AreSearchedForCrossingsQuickly) {
  // 20000 teeth round a circle, none crossing: squared it would be minutes.
  Loop loop;
  const int n = 20000;
  const auto at = [&](int i) {
    const double a = 2 * pi * (i % n) / n, r = i % 2 ? 0.2 : 0.21;
    return Vec2d{r * std::cos(a), r * std::sin(a)};
  };
  const auto line = [](Vec2d a, Vec2d b) { return Cubic{a, a + (1.0 / 3) * (b - a), a + (2.0 / 3) * (b - a), b}; };
  for (int i = 0; i < n; ++i) loop.push_back(line(at(i), at(i + 1)));
  const auto began = std::chrono::steady_clock::now();
  EXPECT_FALSE(crossing_of(loop));
  loop[100] = line(at(100), {0.1, -0.1}), loop[101] = line({0.1, -0.1}, at(10050)),
  loop[102] = line(at(10050), at(103));
  EXPECT_TRUE(crossing_of(loop));
  EXPECT_LT(std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count(), 5);

  const Loop eight{line({0, 0}, {2, 2}), line({2, 2}, {2, 0}), line({2, 0}, {0, 2}), line({0, 2}, {0, 0})};
  const auto found = crossing_of(eight);
  ASSERT_TRUE(found);
  EXPECT_NEAR(found->x, 1, 1e-9);
  EXPECT_NEAR(found->y, 1, 1e-9);
  const Loop curl{{Vec2d{0, 0}, {3, 2}, {-2, 2}, {1, 0}}, line({1, 0}, {0, 0})};  // crosses itself within one curve
  EXPECT_TRUE(crossing_of(curl));
}

TEST(Cavities, OffTheBodyOrDeeperThanItAreRefused) {
  const auto text = [](CavitySpec cavity) {
    BodySpec spec = outline_spec(5);
    spec.cavities = {cavity};
    return text_of(build_body(spec, drawing("M0 0 h200 v300 h-200 z"), "body.svg", {}));
  };
  EXPECT_EQ(text({"", 0, 0.1, 0.03, 0.02, "front"}), "(built)");
  EXPECT_EQ(text({"", 0, 0.1, 0.03, 0.045, "front"}), "(built)");  // right through
  EXPECT_NE(text({"", 0, 0.1, 0.03, 0.060, "front"}).find("60.0 mm deep, but the body is 45.0 mm thick"),
            std::string::npos);
  EXPECT_NE(text({"", 5, 0.1, 0.03, 0.02, "front"}).find("is off the body: its middle is at x 5000 mm"),
            std::string::npos);
  EXPECT_NE(text({"", 0, 0.1, 50, 0.02, "front"}).find("twice as large as the body"), std::string::npos);
}

TEST(Length, OfTwelveHundredAndMoreIsAskedAbout) {
  const auto notes = [](double scale) {
    std::string all;
    const std::string page = R"(width="3000mm" height="3000mm" viewBox="0 0 3000 3000")";
    const auto made =
        build_body(outline_spec(15), drawing(fmt::format("M0 0 h{0} v{1} h-{0} z", 200 * scale, 400 * scale), "", page),
                   "body.svg", {});
    if (!made) return std::string("refused");
    for (const Note& n : made->notes) all += n.text + "\n";
    return all;
  };
  EXPECT_EQ(notes(2.9).find("Check the scale"), std::string::npos);  // 1160 mm: a double bass
  EXPECT_NE(notes(3.3).find("1320 mm long"), std::string::npos);
  EXPECT_EQ(notes(5), "refused");
}

}  // namespace
}  // namespace witnessline::body

// Known answers: where a ring must show in a still, by geometry; the drawings are well-formed XML whose labels keep
// apart; GLB against the byte layout of the glTF 2.0 specification (Khronos, clause 4.4) and IEC 61966-2-1 for colours.
#include "view/pictures.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstring>
#include <nlohmann/json.hpp>
#include <pugixml.hpp>

#include "sheet.h"

namespace witnessline::view {
namespace {

double light_at(const Image& image, int x, int y) {
  const auto* p = &image.rgb[3 * static_cast<std::size_t>(y * image.width + x)];
  return (p[0] + p[1] + p[2]) / 3.0;
}

TEST(Still, ShowsARingThinnerThanTheMeshWhereItIs) {
  // A sheet of 4 mm pitch under a dark coat whose signed film falls from 60 um at x = 40 mm to -180 um at 44 mm: its
  // edge lies between two vertex columns, at 41 mm. Clamping before interpolating would put it at 44 mm.
  Scenario s(flat_sheet(20, 28, 4e-3));
  add_layer(s.film, "opaque", "dark", Origin::later, [](std::size_t v) {
    const double x_mm = 4.0 * static_cast<double>(v % 21);
    return x_mm <= 40 ? 60e-6 : x_mm >= 44 ? -180e-6 : 0;
  });
  const Image image = still(s.film, s.view_context(), Face::front, Light::window, {300, 400, 4});
  ASSERT_EQ(image.rgb.size(), 300u * 400 * 3);
  // The body is 112 mm tall and fills 86% of 400 px; its middle is x = 40 mm.
  const double px_per_m = 400 * 0.86 / 0.112;
  const auto column_of = [&](double x_m) { return static_cast<int>(150 + (x_m - 0.04) * px_per_m); };
  EXPECT_LT(light_at(image, column_of(0.0402), 200), 110) << "dark coat";
  EXPECT_GT(light_at(image, column_of(0.0420), 200), 120) << "bare wood";
  int edge = column_of(0.038);
  while (edge < 299 && light_at(image, edge, 200) < 110) ++edge;
  EXPECT_NEAR(edge, column_of(0.041), 1.5);
}

TEST(Still, IsTheSameAtAnyThreadCountAndPale) {
  Scenario s(flat_sheet(20, 28, 4e-3));
  const Image image = still(s.film, s.view_context(), Face::front, Light::window, {120, 160, 2});
  EXPECT_EQ(image.rgb, still(s.film, s.view_context(), Face::front, Light::window, {120, 160, 2}).rgb);
  EXPECT_GT(light_at(image, 2, 2), 150);  // backdrop
}

ColumnReading crowded_column() {
  ColumnReading c;
  c.regions = {"front", "lower_bout"};
  c.wood = "spruce & <pine>";
  c.colour_bare_wood = {0.8, 0.7, 0.5};
  for (int i = 0; i < 9; ++i) {
    CoatInColumn coat;
    coat.name = "a coat with quite a long name that goes on and on, number " + std::to_string(i);
    coat.material = "clear";
    coat.origin = static_cast<Origin>(i % 3);
    coat.laid.value = i == 4 ? 30e-6 : 120e-6, coat.left.value = i == 2 ? 0 : i == 4 ? 300e-6 : 1e-6 * (i + 1);
    coat.left.band = {0, 2 * coat.left.value};
    coat.own_colour = {0.5, 0.3, 0.1};
    c.coats.push_back(coat);
  }
  c.stops = {{"wood", StopFor::wood, {}, {}}};
  c.stops.front().depth.value = 5e-6;
  return c;
}

TEST(Section, IsWellFormedAndLabelsKeepApart) {
  for (const BenchUnits units : {BenchUnits::metric, BenchUnits::us}) {
    const std::string svg = section_svg(crowded_column(), units);
    pugi::xml_document doc;
    ASSERT_TRUE(doc.load_string(svg.c_str()));
    const double height = std::atof(std::strrchr(doc.child("svg").attribute("viewBox").value(), ' '));
    double width = 0;
    ASSERT_EQ(std::sscanf(doc.child("svg").attribute("viewBox").value(), "0 0 %lf", &width), 1);
    std::vector<double> lines;
    for (const auto& text : doc.child("svg").children("text"))
      if (std::string(text.attribute("class").value()) == "label") {
        lines.push_back(text.attribute("y").as_double());
        EXPECT_LT(lines.back(), height);
        const std::string words = text.text().get();
        const auto letters = std::count_if(words.begin(), words.end(), [](char c) { return (c & 0xc0) != 0x80; });
        const double size = text.attribute("font-size").as_double(13);
        // 0.56 em a letter: above the mean of a bold sans-serif face.
        EXPECT_LT(text.attribute("x").as_double() + 0.56 * size * static_cast<double>(letters), width) << words;
      }
    ASSERT_EQ(lines.size(), 20u);
    for (std::size_t i = 1; i < lines.size(); ++i) EXPECT_GE(lines[i] - lines[i - 1], 13) << "line " << i;
    EXPECT_EQ(svg.find("nan"), std::string::npos);
  }
}

TEST(Section, OfBareWoodIsDrawnToo) {
  ColumnReading c;
  c.wood = "ash";
  pugi::xml_document doc;
  EXPECT_TRUE(doc.load_string(section_svg(c, BenchUnits::metric).c_str()));
}

std::uint32_t word_at(const std::vector<std::uint8_t>& b, std::size_t at) {
  return b[at] | b[at + 1] << 8 | b[at + 2] << 16 | static_cast<std::uint32_t>(b[at + 3]) << 24;
}

TEST(Glb, ParsesBackToTheSameMeshAndLinearColours) {
  Scenario s(flat_sheet(12, 9, 1e-3));
  add_layer(s.film, "opaque", "dark", Origin::later, [](std::size_t v) { return v % 13 < 6 ? 50e-6 : 0; });
  const auto bytes = glb(s.film, s.view_context());
  ASSERT_EQ(std::memcmp(bytes.data(), "glTF", 4), 0);
  EXPECT_EQ(word_at(bytes, 4), 2u);
  EXPECT_EQ(word_at(bytes, 8), bytes.size());
  const std::size_t json_size = word_at(bytes, 12), binary = 12 + 8 + json_size;
  EXPECT_EQ(json_size % 4, 0u);
  ASSERT_EQ(std::memcmp(bytes.data() + 16, "JSON", 4), 0);
  ASSERT_EQ(std::memcmp(bytes.data() + binary + 4, "BIN\0", 4), 0);
  EXPECT_EQ(binary + 8 + word_at(bytes, binary), bytes.size());
  const auto gltf = nlohmann::json::parse(bytes.begin() + 20, bytes.begin() + static_cast<long>(20 + json_size));
  const auto& primitive = gltf["meshes"][0]["primitives"][0];
  const auto view_of = [&](int accessor) {
    return gltf["bufferViews"][gltf["accessors"][accessor]["bufferView"].get<int>()]["byteOffset"].get<std::size_t>() +
           binary + 8;
  };
  const auto& colour = gltf["accessors"][primitive["attributes"]["COLOR_0"].get<int>()];
  EXPECT_EQ(colour["count"], s.body.size());
  EXPECT_EQ(colour["componentType"], 5123);
  EXPECT_TRUE(colour["normalized"]);
  EXPECT_EQ(gltf["accessors"][primitive["indices"].get<int>()]["count"], s.body.triangles().size() * 3);
  const auto seen = vertex_colours(s.film, s.view_context());
  const std::size_t positions = view_of(primitive["attributes"]["POSITION"]),
                    colours = view_of(primitive["attributes"]["COLOR_0"]);
  for (std::size_t v = 0; v < s.body.size(); ++v) {
    Vec3 p;
    std::memcpy(&p, &bytes[positions + v * sizeof(Vec3)], sizeof(Vec3));
    std::array<std::uint16_t, 4> c{};
    std::memcpy(&c, &bytes[colours + v * 8], 8);
    // The mesh may be renumbered: find the vertex by its place.
    for (std::size_t w = 0; w < s.body.size(); ++w)
      if (s.body.positions()[w] == p) {
        const double encoded = seen[w][0] / 255.0;
        const double linear = encoded <= 0.04045 ? encoded / 12.92 : std::pow((encoded + 0.055) / 1.055, 2.4);
        EXPECT_NEAR(c[0] / 65535.0, linear, 1e-4);
      }
  }
}

}  // namespace
}  // namespace witnessline::view

#include "film/film.h"

#include <gtest/gtest.h>

#include <cstdio>

#include "body/body_data.h"

namespace witnessline::film {
namespace {

Body triangle_body() {
  auto data = std::make_shared<Body::Data>();
  data->positions = {{0, 0, 0}, {1e-3f, 0, 0}, {0, 1e-3f, 0}};
  data->normals = data->grain = {{0, 0, 1}, {0, 0, 1}, {0, 0, 1}};
  data->triangles = {{0, 1, 2}};
  data->areas_m2 = {1e-7f, 1e-7f, 1e-7f};
  data->curvature_min = data->curvature_max = {0, 0, 0};
  data->wood_of = {0, 0, 0};
  data->region_bits = {1, 1, 1};
  data->woods = {"spruce"};
  data->pitch_m = 1e-3;
  data->settle();
  return Body(data);
}

std::size_t resident_bytes() {
  long pages = 0, resident = 0;
  std::FILE* file = std::fopen("/proc/self/statm", "r");
  if (!file) return 0;
  const int read = std::fscanf(file, "%ld %ld", &pages, &resident);
  std::fclose(file);
  return read == 2 ? static_cast<std::size_t>(resident) * 4096 : 0;
}

TEST(Film, SignedThicknessIsInterpolatedFirstAndClampedAfter) {
  const Body body = triangle_body();
  Film film = bare_film(body);
  layer_for(film, std::make_shared<const Mixture>(Mixture{"lacquer", "", {}}), {Origin::original, "coat"});
  const float dry_m[3] = {30e-6f, -30e-6f, -30e-6f};
  film.layers[0].dry_m.write(0, dry_m);
  const Stack half = stack_at(film, body, {nullptr}, SurfacePoint{0, 0.5f, 0.0f});
  EXPECT_NEAR(half.layers[0].dry_m, 0.0, 1e-12);
  const Stack quarter = stack_at(film, body, {nullptr}, SurfacePoint{0, 0.25f, 0.0f});
  EXPECT_NEAR(quarter.layers[0].thickness_m(), 15e-6, 1e-11);
  const Stack beyond = stack_at(film, body, {nullptr}, SurfacePoint{0, 0.6f, 0.2f});
  EXPECT_LT(beyond.layers[0].dry_m, 0);
  EXPECT_EQ(beyond.layers[0].thickness_m(), 0);
  EXPECT_EQ(stack_at(film, body, {nullptr}, std::size_t{0}).layers[0].dry_m, static_cast<double>(30e-6f));
}

TEST(Film, OnlyTheSameMaterialOfTheSameProvenanceMerges) {
  const Body body = triangle_body();
  Film film = bare_film(body);
  const auto lacquer = std::make_shared<const Mixture>(Mixture{"lacquer", "", {}});
  const auto shellac = std::make_shared<const Mixture>(Mixture{"shellac", "", {}});
  for (int coat = 0; coat < 30; ++coat)  // thirty coats of two steps: two layers
    layer_for(film, lacquer, {Origin::this_plan, coat < 20 ? "build" : "clear"});
  EXPECT_EQ(film.layers.size(), 2u);
  EXPECT_EQ(layer_for(film, shellac, {Origin::this_plan, "clear"}), 2u);
  EXPECT_EQ(layer_for(film, shellac, {Origin::later, "clear"}), 3u);
}

TEST(Film, AMillionVerticesOfSixteenLayersStayUnder200MB) {
  constexpr std::size_t n = 1000000;
  const std::size_t before = resident_bytes();
  Film film;
  film.wood_cut_m = film.light_lx_s = film.roughness_m = film.scratch_m = film.grime_kg_m2 = film.open_pore =
      Field<float>(n, 0.0f);
  film.masking = Field<std::uint8_t>(n, 0);
  const auto fill = [&](auto& field, auto scale) {
    using T = std::decay_t<decltype(field[0])>;
    std::vector<T> values(field_chunk);
    for (std::size_t c = 0; c < field.chunk_count(); ++c) {
      for (std::size_t i = 0; i < field_chunk; ++i) values[i] = static_cast<T>(scale * static_cast<float>(i % 200 + 1));
      field.write(c, values.data());
    }
  };
  for (auto* field : {&film.wood_cut_m, &film.light_lx_s, &film.roughness_m, &film.scratch_m, &film.grime_kg_m2})
    fill(*field, 1e-6f);
  for (int l = 0; l < 16; ++l) {
    layer_for(film, nullptr, {Origin::this_plan, std::to_string(l)});
    fill(film.layers.back().dry_m, 1e-6f);
    fill(film.layers.back().solvent_m, 1e-7f);
    fill(film.layers.back().melted, 1.0f);
  }
  const double megabytes = static_cast<double>(film.bytes()) / 1e6;
  const double resident = static_cast<double>(resident_bytes() - before) / 1e6;
  std::printf("film of 1 M vertices x 16 layers: %.1f MB stated, %.1f MB resident\n", megabytes, resident);
  EXPECT_GT(megabytes, 16 * 9.0);  // 4 + 4 + 1 bytes a vertex and layer; the light at laying is shared
  EXPECT_LT(megabytes, 200.0);
  EXPECT_LT(resident, 200.0);
  EXPECT_NEAR(resident, megabytes, 0.1 * megabytes);
}

TEST(Field, ChunksOfOneValueAndSharedChunksCostNothing) {
  Field<float> a(100000, 1.0f);
  const std::size_t empty = a.bytes();
  std::vector<float> values(field_chunk, 2.0f);
  a.write(3, values.data());
  EXPECT_EQ(a.bytes(), empty);
  values[7] = 3.0f;
  a.write(3, values.data());
  EXPECT_EQ(a[3 * field_chunk + 7], 3.0f);
  Field<float> b = a;
  EXPECT_EQ(a.buffer(3), b.buffer(3));
  b.set_uniform(3, 0.0f);
  EXPECT_EQ(a[3 * field_chunk + 7], 3.0f);
}

}  // namespace
}  // namespace witnessline::film

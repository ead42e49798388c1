#include "server/maps.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <bit>
#include <sstream>

#include "analysis/lives.h"
#include "history/wear_plausibility.h"
#include "job/write.h"
#include "server/query.h"

namespace witnessline::server {
namespace {

static_assert(std::endian::native == std::endian::little, "the mesh goes out as it lies in memory");

template <class T>
void append(std::string& bytes, const std::vector<T>& values) {
  bytes.append(reinterpret_cast<const char*>(values.data()), values.size() * sizeof(T));
}

/// A map of stop depths has few colours: this many depths, and one for what tape or a plug covers.
constexpr std::array stop_steps_m{0.0, 10e-6, 20e-6, 40e-6, 80e-6};
/// And so has one of wear. The first is hardly a coat of dust.
constexpr std::array wear_steps_m{0.2e-6, wear_seen_m, 15e-6, 40e-6, 100e-6};

}  // namespace

Answer mesh_answer(const LightMesh& mesh) {
  std::string bytes = "WLM1";
  append(bytes, std::vector{static_cast<std::uint32_t>(mesh.positions.size()),
                            static_cast<std::uint32_t>(mesh.triangles.size())});
  append(bytes, mesh.positions);
  append(bytes, mesh.normals);
  append(bytes, mesh.triangles);
  return {200, "application/octet-stream", std::move(bytes)};
}

Answer colours_answer(const DeskEntry& entry, const std::string& plan, std::size_t step, const Query& query) {
  const auto lamp = word<Lamp>(query("lamp").value_or("D65"));
  if (!lamp) return bad_query("lamp", "A, D50, D65 or LED-B3");
  const auto all = entry.worked->colours(plan, step, *lamp);
  std::string bytes;
  bytes.reserve(entry.mesh->source_vertex.size() * 3);
  for (const std::uint32_t vertex : entry.mesh->source_vertex)
    bytes.append(reinterpret_cast<const char*>(all.at(vertex).data()), 3);
  return {200, "application/octet-stream", std::move(bytes)};
}

Answer stop_map(const DeskEntry& entry, const std::string& plan, std::size_t step) {
  const std::vector<std::uint32_t>& vertices = entry.mesh->source_vertex;
  const std::vector<float> depths_m = entry.worked->stop_depths_m(plan, step, vertices);
  const Field<std::uint8_t>& masking = entry.worked->film(plan, step)->masking;
  std::string bytes(vertices.size(), '\0');
  for (std::size_t i = 0; i < vertices.size(); ++i) {
    const bool covered = masking[vertices[i]] != static_cast<std::uint8_t>(Masking::bare);
    const auto deeper = [&](double step_m) { return static_cast<double>(depths_m[i]) > step_m; };
    bytes[i] = static_cast<char>(covered ? stop_steps_m.size() + 1
                                         : std::count_if(stop_steps_m.begin(), stop_steps_m.end(), deeper));
  }
  return {200, "application/octet-stream", std::move(bytes)};
}

Answer stop_legend(const Query& query) {
  const auto bench_units = units(query);
  if (!bench_units) return bad_query("units", "metric or us");
  const auto shown_depth = [&](double si_m) { return show(si_m, Quantity::film_thickness, *bench_units); };
  Tree words = Tree::empty_list();
  words.list.push_back(Tree::of(std::string("cut nothing")));
  for (std::size_t i = 1; i < stop_steps_m.size(); ++i)
    words.list.push_back(Tree::of("up to " + shown_depth(stop_steps_m[i])));
  words.list.push_back(Tree::of("over " + shown_depth(stop_steps_m.back())));
  words.list.push_back(Tree::of(std::string("under tape or a plug")));
  Tree legend = Tree::empty_table();
  legend.put("words", std::move(words));
  return json(print_json(legend));
}

Answer wear_map(const DeskEntry& entry, const std::string& plan, std::size_t step, const Query& query) {
  std::vector<Touch> touches;
  std::istringstream named(query("touches").value_or(""));
  for (std::string one; std::getline(named, one, ',');) {
    const auto touch = word<Touch>(one);
    if (!touch)
      return bad_query("touches", fmt::format("of {}", fmt::join(words(static_cast<const Touch*>(nullptr)), ", ")));
    touches.push_back(*touch);
  }
  const auto depths_m =
      entry.worked->worn_depths_m(plan, step, query("life").value_or(""), touches, entry.mesh->source_vertex);
  if (!depths_m) return refusal(400, depths_m.errors());
  std::string bytes;
  for (const float depth_m : *depths_m)
    bytes.push_back(static_cast<char>(std::count_if(wear_steps_m.begin(), wear_steps_m.end(), [&](double step_m) {
      return static_cast<double>(depth_m) > step_m;
    })));
  return {200, "application/octet-stream", std::move(bytes)};
}

Answer wear_legend(const Query& query) {
  const auto bench_units = units(query);
  if (!bench_units) return bad_query("units", "metric or us");
  const auto shown_depth = [&](double si_m) { return show(si_m, Quantity::film_thickness, *bench_units); };
  Tree words = Tree::empty_list();
  words.list.push_back(Tree::of(std::string("not touched, or hardly")));
  words.list.push_back(Tree::of("under " + shown_depth(wear_seen_m) + ": not seen as wear"));
  for (std::size_t i = 2; i < wear_steps_m.size(); ++i)
    words.list.push_back(Tree::of("up to " + shown_depth(wear_steps_m[i])));
  words.list.push_back(Tree::of("over " + shown_depth(wear_steps_m.back())));
  Tree legend = Tree::empty_table();
  legend.put("words", std::move(words));
  return json(print_json(legend));
}

Answer lives_answer(const Job& job) {
  const std::vector<Against> lives = lives_of(job);
  Tree list = Tree::empty_list();
  for (const Against& one : lives) {
    Tree touches = Tree::empty_list();
    for (const TouchTime& t : one.life.touches) touches.list.push_back(Tree::of(word_for(t.by)));
    Tree shown_text = Tree::empty_table();
    shown_text.put("id", Tree::of(one.life.id)), shown_text.put("touches", std::move(touches));
    list.list.push_back(std::move(shown_text));
  }
  Tree tree = Tree::empty_table();
  tree.put("lives", std::move(list)), tree.put("stand_in", Tree::of(lives.front().stand_in));
  return json(print_json(tree));
}

}  // namespace witnessline::server

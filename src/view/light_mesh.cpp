#include "view/light_mesh.h"

#include <meshoptimizer.h>

#include <limits>

namespace witnessline::view {

LightMesh light_mesh(const Body& body, std::size_t most_vertices) {
  const auto positions = body.positions();
  const auto normals = body.normals();
  const auto triangles = body.triangles();
  std::vector<std::uint32_t> corners;
  corners.reserve(triangles.size() * 3);
  for (const Triangle& t : triangles) corners.insert(corners.end(), t.begin(), t.end());

  if (positions.size() > most_vertices) {
    // Clustered on an even grid and not by shape: a flat face needs as many vertices as a round one, for its colours.
    // A closed surface has about two triangles a vertex.
    const std::size_t wanted = most_vertices * 2 * 3;
    std::vector<std::uint32_t> fewer(corners.size());
    fewer.resize(meshopt_simplifySloppy(fewer.data(), corners.data(), corners.size(), &positions[0].x, positions.size(),
                                        sizeof(Vec3), wanted, 1.0f, nullptr));
    corners = std::move(fewer);
  }

  constexpr auto unused = std::numeric_limits<std::uint32_t>::max();
  std::vector<std::uint32_t> place(positions.size(), unused);
  LightMesh mesh;
  mesh.triangles.resize(corners.size() / 3);
  for (std::size_t i = 0; i < corners.size(); ++i) {
    std::uint32_t& at = place[corners[i]];
    if (at == unused) {
      at = static_cast<std::uint32_t>(mesh.source_vertex.size());
      mesh.source_vertex.push_back(corners[i]);
      mesh.positions.push_back(positions[corners[i]]);
      mesh.normals.push_back(normals[corners[i]]);
    }
    mesh.triangles[i / 3][i % 3] = at;
  }
  return mesh;
}

}  // namespace witnessline::view

// A lighter mesh of a body for the screen, whose vertices are vertices of the body.
#pragma once

#include <cstdint>
#include <vector>

#include "body/body.h"

namespace witnessline::view {

struct LightMesh {
  std::vector<Vec3> positions, normals;      ///< [m], unit
  std::vector<Triangle> triangles;           ///< corners index positions
  std::vector<std::uint32_t> source_vertex;  ///< vertex of the body, by vertex of this mesh
};

/// At most `most_vertices` of the body's vertices, as true to its shape as may be; all of them when they are few
/// enough.
LightMesh light_mesh(const Body&, std::size_t most_vertices);

}  // namespace witnessline::view

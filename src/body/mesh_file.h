// Triangles out of a mesh file: STL (binary and text), OBJ, GLB.
#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "body/vec.h"

namespace witnessline::body {

struct RawMesh {
  std::vector<Vec3d> points;  ///< in the file's unit
  std::vector<Triangle> triangles;
  double unit_m = 0;  ///< one unit of the file; 0: the file does not say
  std::string format;
};

/// Reads by content, whatever the name ends in. Errors: empty, cut short, unknown, a coordinate that is no number.
Result<RawMesh> read_mesh(const std::string& bytes, const std::string& file_name);

Result<RawMesh> read_stl(const std::string& bytes, const std::string& file_name);
Result<RawMesh> read_obj(const std::string& bytes, const std::string& file_name);
Result<RawMesh> read_glb(const std::string& bytes, const std::string& file_name);

}  // namespace witnessline::body

// Triangles out of a mesh file: STL (binary and text), OBJ, GLB.
#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "base/stop.h"
#include "body/vec.h"

namespace witnessline::body {

struct RawMesh {
  std::vector<Vec3d> points;  ///< in the file's unit
  std::vector<Triangle> triangles;
  double unit_m = 0;  ///< one unit of the file; 0: the file does not say
  std::string format;
};

/// Reads by content, whatever the name ends in. Errors: empty, cut short, unknown, a coordinate that is no number, more
/// than most_triangles; broken off.
Result<RawMesh> read_mesh(const std::string& bytes, const std::string& file_name, const StopCheck& stop = {});

Result<RawMesh> read_stl(const std::string& bytes, const std::string& file_name, const StopCheck& stop = {});
Result<RawMesh> read_obj(const std::string& bytes, const std::string& file_name, const StopCheck& stop = {});
Result<RawMesh> read_glb(const std::string& bytes, const std::string& file_name, const StopCheck& stop = {});

/// ESTIMATE: a tenth of a millimetre apart all over a large body; a scan of more is reduced first.
inline constexpr std::size_t most_triangles = 20'000'000;

}  // namespace witnessline::body

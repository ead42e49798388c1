// A mesh file's triangles made into one closed, outward-facing surface, or refused with the reason.
#pragma once

#include "body/mesh_file.h"

namespace witnessline::body {

/// Points in metres. Welds, drops duplicate and collapsed triangles, turns triangles to agree, fills small holes, drops
/// crumbs; each with a Note. Errors: large holes, edges of more than two triangles, one-sided or separate surfaces.
Result<Done> repair(RawMesh& mesh, const std::string& file_name, std::vector<Note>& notes, const StopCheck& stop = {});

}  // namespace witnessline::body

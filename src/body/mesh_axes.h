// How a mesh lies in its file: which way the neck and the front point.
#pragma once

#include "body/mesh_file.h"
#include "body/spec.h"

namespace witnessline::body {

/// Turns and shifts the points (in metres) into the body frame. Stated axes are taken; others are found from the shape
/// and a Note says what was taken. Errors: an axis that is none, or two that are not at right angles.
Result<Done> into_body_frame(RawMesh& mesh, const BodySpec& spec, const std::string& file_name,
                             std::vector<Note>& notes);

}  // namespace witnessline::body

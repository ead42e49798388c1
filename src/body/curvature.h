// Normals and principal curvatures of a finished surface.
#pragma once

#include "body/body_data.h"
#include "body/shape.h"

namespace witnessline::body {

/// From the distance's own gradient: exact for outlines.
void curvature_of_shape(const Shape& shape, const std::vector<Vec3d>& points, Body::Data& data);

/// From a smooth fit to unit normals given at the vertices: for mesh files.
void curvature_by_fit(const std::vector<Vec3d>& normals, Body::Data& data);

}  // namespace witnessline::body

// Normals and principal curvatures of a finished surface.
#pragma once

#include "body/body_data.h"
#include "body/shape.h"

namespace witnessline {

/// From the distance's own gradient: exact for outlines.
void curvature_of_shape(const Shape& shape, const std::vector<Vec3d>& points, Body::Data& data);

/// From a smooth fit to the surface around each vertex: for mesh files.
void curvature_by_fit(Body::Data& data);

}  // namespace witnessline

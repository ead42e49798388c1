// Pictures of a Film: stills, sections and the mesh for a 3-D view.
#pragma once

#include <string>
#include <vector>

#include "image/image.h"
#include "view/readings.h"

namespace witnessline {

enum class Face { front, back, side };
constexpr auto words(const Face*) { return std::array{"front", "back", "side"}; }

struct StillSize {
  int width = 900, height = 1200;
  int samples = 4;
};

/// A still, lit so that gloss, edges and wear-through rings read. Signed thickness is interpolated in the triangle and
/// clamped after, so rings narrower than the mesh stay crisp.
Image still(const Film&, const Looking&, Face, StillSize = {});

/// The coats at a place to scale, in their own colours, thickness in bench units (SVG).
std::string section_svg(const ColumnReading&, BenchUnits);

/// A cut along a straight line over the surface, coats to scale (SVG): shows rings and steps.
std::string section_line_svg(const Film&, const Looking&, SurfacePoint from, SurfacePoint to, BenchUnits);

/// GLB (glTF 2.0) with vertex colours; `most_vertices` > 0 lightens the mesh.
std::vector<std::uint8_t> glb(const Film&, const Looking&, std::size_t most_vertices = 0);

}  // namespace witnessline

// Pictures of a Film: stills, sections and the mesh for a 3-D view.
#pragma once

#include <string>
#include <vector>

#include "image/image.h"
#include "view/readings.h"

namespace witnessline::view {

enum class Face { front, back, side, three_quarter };
constexpr auto words(const Face*) { return std::array{"front", "back", "side", "three_quarter"}; }

/// What a still is lit by: daylight from a window, a warm lamp, or a stage.
enum class Light { window, lamp, stage };
constexpr auto words(const Light*) { return std::array{"window", "lamp", "stage"}; }

struct StillSize {
  int width = 900, height = 1200;
  int samples = 4;
};

struct FittingMesh;

/// A still by ray casting: soft shadows, the room in the clear coat, marks as grooves and dents, stand-ins for the
/// fittings where given. Colours come from the coats through the light's own lamps (ViewContext::lamp is not used).
/// Signed thickness is interpolated in the triangle and clamped after, so rings narrower than the mesh stay crisp.
Image still(const Film&, const ViewContext&, Face, Light = Light::window, StillSize = {}, const FittingMesh* = nullptr);

/// The coats at a place to scale, in their own colours, thickness in bench units (SVG).
std::string section_svg(const ColumnReading&, BenchUnits);

/// GLB (glTF 2.0) with vertex colours; `most_vertices` > 0 lightens the mesh.
std::vector<std::uint8_t> glb(const Film&, const ViewContext&, std::size_t most_vertices = 0);

}  // namespace witnessline::view

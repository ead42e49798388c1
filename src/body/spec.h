// What a body is made from: an outline traced as SVG, or a mesh file.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "base/describe.h"
#include "base/result.h"
#include "body/body.h"

namespace witnessline::body {

/// A place shaped away: a bevel for the forearm or the belly.
struct ContourSpec {
  double x_m = 0, y_m = 0, radius_m = 0.08, depth_m = 0.01;
  std::string face = "front";
};
template <class V>
void describe(V& v, ContourSpec& c) {
  v(member("x_mm", "middle of the contour, across", unit::mm).must(), c.x_m);
  v(member("y_mm", "middle of the contour, along", unit::mm).must(), c.y_m);
  v(member("radius_mm", "reach", unit::mm).within(5, 400), c.radius_m);
  v(member("depth_mm", "depth at the outline", unit::mm).within(0.5, 60), c.depth_m);
  v(member("face", "front or back"), c.face);
}

/// A routed pocket or a sound hole: its outline is a path of the SVG file, or a circle.
struct CavitySpec {
  std::string path;  ///< id of a path in the outline file; empty: circle
  double x_m = 0, y_m = 0, radius_m = 0;
  double depth_m = 0.02;
  std::string face = "front";
};
template <class V>
void describe(V& v, CavitySpec& c) {
  v(member("path", "id of a path in the outline file; absent: a circle"), c.path);
  v(member("x_mm", "middle of a round cavity, across", unit::mm), c.x_m);
  v(member("y_mm", "middle of a round cavity, along", unit::mm), c.y_m);
  v(member("radius_mm", "radius of a round cavity", unit::mm).within(0, 300), c.radius_m);
  v(member("depth_mm", "depth from the face", unit::mm).within(0.5, 200), c.depth_m);
  v(member("face", "front or back"), c.face);
}

struct BodySpec {
  std::string outline;                     ///< SVG file (path id "outline" or the only path); or
  std::string mesh;                        ///< STL, OBJ or GLB file
  std::string mesh_unit;                   ///< mm, cm, m, in; absent: only where the file states it
  std::string up, front;                   ///< axes of the mesh file: "+y", "-z", ...; absent: detected
  double thickness_m = 0.045;              ///< of the sides
  double arch_top_m = 0, arch_back_m = 0;  ///< height of the arch over the edge; 0: flat
  double edge_radius_m = 0.003;
  double binding_width_m = 0, binding_depth_m = 0;  ///< 0: no binding
  std::vector<ContourSpec> contours;
  std::vector<CavitySpec> cavities;
  std::string top_wood = "spruce", back_wood = "maple", side_wood = "maple", binding_material;
  bool bent_sides = false;  ///< sides bent from strips: their grain runs along the rim
  double grain_deg = 0;     ///< of the grain against the centreline
  double pitch_m = 1e-3;
};
template <class V>
void describe(V& v, BodySpec& b) {
  v(member("outline", "SVG file with the traced outline, in mm"), b.outline);
  v(member("mesh", "STL, OBJ or GLB file"), b.mesh);
  v(member("mesh_unit", "mm, cm, m or in; needed where the file does not say"), b.mesh_unit);
  v(member("up", "axis of the mesh file that points to the neck, e.g. +y; absent: detected"), b.up);
  v(member("front", "axis of the mesh file that points out of the front, e.g. +z; absent: detected"), b.front);
  v(member("thickness_mm", "height of the sides", unit::mm).within(5, 300), b.thickness_m);
  v(member("arch_top_mm", "height of the top's arch", unit::mm).within(0, 60), b.arch_top_m);
  v(member("arch_back_mm", "height of the back's arch", unit::mm).within(0, 60), b.arch_back_m);
  v(member("edge_radius_mm", "radius of the rounded edges", unit::mm).within(0.2, 40), b.edge_radius_m);
  v(member("binding_width_mm", "width of the binding on the face", unit::mm).within(0, 15), b.binding_width_m);
  v(member("binding_depth_mm", "height of the binding on the sides", unit::mm).within(0, 30), b.binding_depth_m);
  v(member("contours", "places shaped away"), b.contours);
  v(member("cavities", "pockets, holes and sound holes"), b.cavities);
  v(member("top_wood", "wood of the top, a material id"), b.top_wood);
  v(member("back_wood", "wood of the back, a material id"), b.back_wood);
  v(member("side_wood", "wood of the sides, a material id"), b.side_wood);
  v(member("binding_material", "material id of the binding"), b.binding_material);
  v(member("bent_sides", "sides bent from strips: their grain runs along the rim"), b.bent_sides);
  v(member("grain_deg", "grain against the centreline", unit::deg).within(-90, 90), b.grain_deg);
  v(member("pitch_mm", "spacing of the surface points", unit::mm).within(0.2, 10), b.pitch_m);
}

/// A body and what was noticed while it was made (repairs, guessed axes).
struct BuiltBody {
  Body body;
  std::vector<Note> notes;
};

/// Builds from the bytes of the file the spec names. `survey` travels with the body.
/// Errors: unreadable or open outline, mesh with holes, NaN, no unit, a size no instrument has (inches for metres).
Result<BuiltBody> build_body(const BodySpec&, const std::string& file_bytes, const std::string& file_name,
                             const std::vector<SurveyFact>& survey);

/// The same shape at another pitch, for coarse reruns and for tests of convergence.
Result<BuiltBody> build_body(const BodySpec&, const std::string& file_bytes, const std::string& file_name,
                             const std::vector<SurveyFact>& survey, double pitch_m);

}  // namespace witnessline::body

#include <fmt/format.h>

#include <algorithm>

#include "base/parallel.h"
#include "body/build.h"
#include "body/curvature.h"
#include "body/mesh_axes.h"
#include "body/mesh_repair.h"
#include "body/mesh_shape.h"

namespace witnessline::body {
namespace {

struct LengthUnit {
  const char* word;
  double size_m;
};
constexpr std::array<LengthUnit, 4> length_units{{{"mm", 1e-3}, {"cm", 1e-2}, {"m", 1}, {"in", 25.4e-3}}};

bool plausible(double length_m) { return length_m >= shortest_body_m && length_m <= longest_body_m; }

/// "in (412 mm)": the units in which a mesh of this length would be an instrument.
std::string plausible_units(double length_in_file) {
  std::vector<std::string> out;
  for (const LengthUnit& u : length_units)
    if (plausible(length_in_file * u.size_m))
      out.push_back(fmt::format("{} ({:.0f} mm long)", u.word, length_in_file * u.size_m * 1e3));
  return fmt::format("{}", fmt::join(out, " or "));
}

/// Sets mesh.unit_m and brings the points to metres.
Result<Done> scale(RawMesh& mesh, const BodySpec& spec, const std::string& file, std::vector<Note>& notes) {
  Box3 box;
  for (const Triangle& t : mesh.triangles)
    for (const std::uint32_t v : t) box.add(mesh.points[v]);
  const Vec3d size = box.size();
  const double longest = std::max({size.x, size.y, size.z});
  const std::string fits = plausible_units(longest);
  const Place key{"", 0, 0, "body.mesh_unit"};
  const std::string fix =
      fits.empty() ? "check the scale of the export" : "use " + fits + ": it would have the size of an instrument";
  if (!spec.mesh_unit.empty()) {
    const auto unit = std::find_if(length_units.begin(), length_units.end(),
                                   [&](const LengthUnit& u) { return spec.mesh_unit == u.word; });
    if (unit == length_units.end())
      return Error{fmt::format("'{}' is not a unit a mesh may have", spec.mesh_unit), key, "mm, cm, m or in", fix};
    if (mesh.unit_m > 0 && mesh.unit_m != unit->size_m)
      notes.push_back({Severity::caution,
                       fmt::format("{}: {} files are in metres; this one was read in {}, as the job states", file,
                                   mesh.format, spec.mesh_unit),
                       "body"});
    mesh.unit_m = unit->size_m;
  } else if (mesh.unit_m <= 0) {
    return Error{fmt::format("the unit is missing: {} does not state one", mesh.format), key, "mm, cm, m or in", fix};
  }
  if (!plausible(longest * mesh.unit_m)) {
    const auto word = std::find_if(length_units.begin(), length_units.end(),
                                   [&](const LengthUnit& u) { return u.size_m == mesh.unit_m; });
    return Error{fmt::format("read in {}, the mesh is {:.4g} mm long: not the size of an instrument", word->word,
                             longest * mesh.unit_m * 1e3),
                 key, fmt::format("{:.0f} to {:.0f} mm", shortest_body_m * 1e3, longest_body_m * 1e3), fix};
  }
  note_on_length(longest * mesh.unit_m, file, notes);
  for (Vec3d& p : mesh.points) p = mesh.unit_m * p;
  return Done{};
}

Error fault_of(const Crossing& crossing, const RawMesh& mesh, const std::vector<Vec3d>& as_filed,
               const std::string& file) {
  const Triangle& t = mesh.triangles[crossing.first.triangle];
  const double u = crossing.first.u, v = crossing.first.v;
  const Vec3d at = (1 / mesh.unit_m) * ((1 - u - v) * as_filed[t[0]] + u * as_filed[t[1]] + v * as_filed[t[2]]);
  return {fmt::format(
              "the mesh crosses itself at ({:.4g}, {:.4g}, {:.4g}) in the file's unit{}", at.x, at.y, at.z,
              crossing.triangles > 1 ? fmt::format("; {} triangles in all cross another one", crossing.triangles) : ""),
          {file, 0, 0, ""},
          "a closed surface that does not pass through itself",
          "repair the mesh there in the program that made it, and export it again"};
}

}  // namespace

Result<BuiltBody> body_from_mesh(const BodySpec& spec, const std::string& bytes, const std::string& file,
                                 const std::vector<SurveyFact>& survey, const StopCheck& stop) {
  std::vector<Note> notes;
  Result<RawMesh> mesh = read_mesh(bytes, file, stop);
  if (!mesh) return mesh.errors();
  if (auto done = scale(*mesh, spec, file, notes); !done) return done.errors();
  if (auto done = repair(*mesh, file, notes, stop); !done) return done.errors();
  const std::vector<Vec3d> as_filed = mesh->points;
  if (auto done = into_body_frame(*mesh, spec, file, notes); !done) return done.errors();
  if (spec.binding_width_m > 0 || !spec.contours.empty() || !spec.cavities.empty())
    notes.push_back(
        {Severity::caution,
         fmt::format("{}: contours, cavities and binding in the job apply to outlines only; a mesh is used as it "
                     "is",
                     file),
         "body"});

  const MeshShape shape(*mesh);
  if (const std::optional<Crossing> crossing = shape.crossing(stop)) return fault_of(*crossing, *mesh, as_filed, file);
  Result<SurfaceMesh> surface = surface_of(shape, spec.pitch_m, notes, stop);
  if (!surface) {
    std::vector<Error> errors = surface.errors();
    for (Error& e : errors) e.where.file = file;
    return errors;
  }
  auto data = std::make_shared<Body::Data>();
  data->pitch_m = spec.pitch_m;
  data->triangles = std::move(surface->triangles);
  for (const Vec3d p : surface->points) data->positions.push_back(static_cast<Vec3>(p));
  std::vector<Vec3d> normals(data->positions.size());
  for_chunks(normals.size(), 1024, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) normals[i] = shape.smooth_normal(surface->points[i]);
  });
  curvature_by_fit(normals, *data);
  const Dressing dressing = dressing_of_surface(*data);
  Body body = dressed(std::move(data), spec, dressing, survey);
  return BuiltBody{std::move(body), std::move(notes)};
}

}  // namespace witnessline::body

#include "body/build.h"

#include <fmt/format.h>

#include "base/parallel.h"
#include "body/build_body.h"

namespace witnessline::body {
namespace {

/// They name keys of the job, not places in the body file.
std::vector<Error> faults_of(const BodySpec& s) {
  std::vector<Error> errors;
  const auto check = [&](bool good, const std::string& key, std::string what, std::string expected) {
    if (!good) errors.push_back({std::move(what), {"", 0, 0, "body." + key}, std::move(expected), ""});
  };
  const auto positive = [&](double v, const std::string& key) {
    check(std::isfinite(v) && v > 0, key, fmt::format("{} must be above zero", key), "");
  };
  const auto not_negative = [&](double v, const std::string& key) {
    check(std::isfinite(v) && v >= 0, key, fmt::format("{} must not be negative", key), "");
  };
  positive(s.thickness_m, "thickness_mm");
  positive(s.edge_radius_m, "edge_radius_mm");
  not_negative(s.arch_top_m, "arch_top_mm");
  not_negative(s.arch_back_m, "arch_back_mm");
  not_negative(s.binding_width_m, "binding_width_mm");
  not_negative(s.binding_depth_m, "binding_depth_mm");
  check(s.pitch_m >= 0.1e-3 && s.pitch_m <= 20e-3, "pitch_mm", "this mesh pitch is out of range", "0.1 to 20 mm");
  check(std::isfinite(s.grain_deg), "grain_deg", "grain_deg must be a number", "");
  const auto face = [&](const std::string& word, const std::string& key) {
    if (word == "front" || word == "back") return;
    errors.push_back({fmt::format("'{}' is not a face", word),
                      {"", 0, 0, "body." + key},
                      "front or back",
                      did_you_mean(word, {"front", "back"})});
  };
  for (std::size_t i = 0; i < s.contours.size(); ++i) {
    face(s.contours[i].face, fmt::format("contours[{}].face", i + 1));
    positive(s.contours[i].radius_m, fmt::format("contours[{}].radius_mm", i + 1));
    positive(s.contours[i].depth_m, fmt::format("contours[{}].depth_mm", i + 1));
  }
  for (std::size_t i = 0; i < s.cavities.size(); ++i) {
    face(s.cavities[i].face, fmt::format("cavities[{}].face", i + 1));
    positive(s.cavities[i].depth_m, fmt::format("cavities[{}].depth_mm", i + 1));
    if (s.cavities[i].path.empty()) positive(s.cavities[i].radius_m, fmt::format("cavities[{}].radius_mm", i + 1));
  }
  if (s.outline.empty() == s.mesh.empty())
    errors.push_back(
        {s.outline.empty() ? "neither an outline nor a mesh is given" : "both an outline and a mesh are given",
         {"", 0, 0, "body"},
         "one of outline and mesh",
         ""});
  return errors;
}

/// Direction of the fibres in the surface: `along` laid into the tangent plane.
Vec3 laid(Vec3d along, Vec3d normal) {
  const Vec3d flat = along - dot(along, normal) * normal;
  // On end grain the fibres run into the surface; any tangent will do, and the depth direction repeats at any pitch.
  if (length(flat) < 1e-3) return static_cast<Vec3>(across(normal));
  return static_cast<Vec3>(unit_of(flat));
}

}  // namespace

void note_on_length(double length_m, const std::string& file, std::vector<Note>& notes) {
  if (length_m <= longest_usual_body_m) return;
  notes.push_back({Severity::caution,
                   fmt::format("{}: the body is {:.0f} mm long, and a double bass's is about 1100 mm. Check the scale "
                               "of the drawing or mesh against the instrument.",
                               file, length_m * 1e3),
                   "body"});
}

Body dressed(std::shared_ptr<Body::Data> data, const BodySpec& spec, const Dressing& dressing,
             const std::vector<SurveyFact>& survey) {
  const std::size_t n = data->positions.size();
  name_regions(*data, dressing.known, dressing.edge_radius_m);

  const std::array<std::string, 4> materials{spec.top_wood, spec.back_wood, spec.side_wood,
                                             spec.binding_material.empty() ? spec.side_wood : spec.binding_material};
  std::array<std::uint8_t, 4> wood{};
  for (std::size_t k = 0; k < 4; ++k) {
    if (k == 3 && (spec.binding_width_m <= 0 || spec.binding_material.empty())) {
      wood[k] = wood[2];
      continue;
    }
    const auto at = std::find(data->woods.begin(), data->woods.end(), materials[k]);
    wood[k] = static_cast<std::uint8_t>(at - data->woods.begin());
    if (at == data->woods.end()) data->woods.push_back(materials[k]);
  }
  const double turn = spec.grain_deg * 3.14159265358979323846 / 180;
  const Vec3d along{std::sin(turn), std::cos(turn), 0};
  data->wood_of.resize(n);
  data->grain.resize(n);
  for_chunks(n, 4096, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      const WoodPiece piece = dressing.piece[i];
      data->wood_of[i] = wood[static_cast<std::size_t>(piece)];
      const Vec3d normal = data->normals[i];
      const bool bent = piece == WoodPiece::binding || (piece == WoodPiece::sides && spec.bent_sides);
      const Vec3d rim{-normal.y, normal.x, 0};
      data->grain[i] = laid(bent && length(rim) > 0.1 ? rim : along, normal);
    }
  });

  data->survey = survey;
  if (!survey.empty())
    for (SurveyFact& fact : data->survey) fact.centre = static_cast<Vec3>(data->tree().nearest(fact.centre).place);
  data->settle();
  return Body(std::move(data));
}

Result<BuiltBody> build_body(const BodySpec& given, const std::string& file_bytes, const std::string& file_name,
                             const std::vector<SurveyFact>& survey, double pitch_m, const StopCheck& stop) {
  BodySpec spec = given;
  spec.pitch_m = pitch_m;
  if (std::vector<Error> errors = faults_of(spec); !errors.empty()) return errors;
  for (const SurveyFact& f : survey)
    if (!std::isfinite(f.centre.x) || !std::isfinite(f.centre.y) || !std::isfinite(f.centre.z))
      return Error{
          "a surveyed place has a coordinate that is not a number", {"", 0, 0, "survey"}, "", "give its x and y in mm"};
  return spec.outline.empty() ? body_from_mesh(spec, file_bytes, file_name, survey, stop)
                              : body_from_outline(spec, file_bytes, file_name, survey, stop);
}

Result<BuiltBody> build_body(const BodySpec& spec, const std::string& file_bytes, const std::string& file_name,
                             const std::vector<SurveyFact>& survey) {
  return build_body(spec, file_bytes, file_name, survey, spec.pitch_m, {});
}

Result<BuiltBody> build_body(const BodySpec& spec, const std::string& file_bytes, const std::string& file_name,
                             const std::vector<SurveyFact>& survey, double pitch_m) {
  return build_body(spec, file_bytes, file_name, survey, pitch_m, {});
}

}  // namespace witnessline::body

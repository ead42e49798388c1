// The two ways to a Body, and what both end in.
#pragma once

#include "base/stop.h"
#include "body/regions.h"
#include "body/spec.h"
#include "body/surface.h"

namespace witnessline::body {

enum class WoodPiece : std::uint8_t { top, back, sides, binding };

/// What the shape says of each vertex of the finished surface.
struct Dressing {
  KnownRegions known;
  std::vector<WoodPiece> piece;
  double edge_radius_m = 0.025;  ///< convex places tighter than this are edges
};

/// Grain, woods, regions and survey on a surface whose normals and curvature are set.
Body dressed(std::shared_ptr<Body::Data> data, const BodySpec& spec, const Dressing& dressing,
             const std::vector<SurveyFact>& survey);

Result<BuiltBody> body_from_outline(const BodySpec&, const std::string& bytes, const std::string& file,
                                    const std::vector<SurveyFact>& survey, const StopCheck&);
Result<BuiltBody> body_from_mesh(const BodySpec&, const std::string& bytes, const std::string& file,
                                 const std::vector<SurveyFact>& survey, const StopCheck&);

// ESTIMATE: lengths of a body or a one-piece instrument that anybody plays.
inline constexpr double shortest_body_m = 0.12, longest_body_m = 1.8;
// ESTIMATE: a double bass's body is 1.1 to 1.2 m long; longer ones were made, so the length is asked about, not
// refused.
inline constexpr double longest_usual_body_m = 1.25;

void note_on_length(double length_m, const std::string& file, std::vector<Note>& notes);

}  // namespace witnessline::body

// The demo's slab bass, of one wood, for tests of what happens on a real body.
#pragma once

#include <fstream>
#include <sstream>
#include <stdexcept>

#include "body/spec.h"

namespace witnessline::shapes {

using namespace body;

inline Body slab_bass(double pitch_m, std::vector<CavitySpec> cavities = {},
                      const std::vector<SurveyFact>& survey = {}) {
  std::ifstream in(PROJECT_FOLDER "/data/outlines/slab_bass.svg");
  std::stringstream text;
  text << in.rdbuf();
  BodySpec spec;
  spec.outline = "slab_bass.svg", spec.thickness_m = 0.04, spec.edge_radius_m = 0.004;
  spec.top_wood = spec.back_wood = spec.side_wood = "spruce";
  spec.cavities = std::move(cavities);
  auto built = build_body(spec, text.str(), spec.outline, survey, pitch_m);
  if (!built) throw std::runtime_error(built.errors().front().text());
  return built->body;
}

}  // namespace witnessline::shapes

// Making a body so that whoever asked for it can stop it.
#pragma once

#include "base/stop.h"
#include "body/spec.h"

namespace witnessline::body {

/// As build_body() of spec.h. Errors: those, and stopped by `stop`.
Result<BuiltBody> build_body(const BodySpec&, const std::string& file_bytes, const std::string& file_name,
                             const std::vector<SurveyFact>& survey, double pitch_m, const StopCheck& stop);

}  // namespace witnessline::body

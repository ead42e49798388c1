// Places that lie beside the body they are named on.
#pragma once

#include <optional>

#include "base/result.h"
#include "body/where.h"

namespace witnessline::body {

/// Why a patch lies wholly beside the body; `key` says where it was read. Nothing where it does not.
std::optional<Error> off_body(const Patch&, const Body&, const std::string& key);

}  // namespace witnessline::body

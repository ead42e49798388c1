// Where in a file the key of a fault stands.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/tree.h"

namespace witnessline::job {

/// What stands at "shelf[2].left_g" or "plans.clean.steps.wipe.do" (items by place from 1, by id or by name); as far
/// down as there is something.
const Tree& standing_at(const Tree&, std::string_view path);

/// Fills file, line and column in where a fault names only a key of the file that `tree` was read from.
std::vector<Error> located(std::vector<Error>, const Tree& tree, const std::string& file);

}  // namespace witnessline::job

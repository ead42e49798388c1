// What finishers tell each other about one finish over another: memory, marked as such, beside what is computed.
#pragma once

#include <array>
#include <optional>
#include <string>

#include "materials/material.h"

namespace witnessline::drying {

/// How a fresh coat takes to an old one.
enum class Meeting { bites_in, sits_on_top, lifts_or_crazes, unknown };
constexpr auto words(const Meeting*) { return std::array{"bites_in", "sits_on_top", "lifts_or_crazes", "unknown"}; }

struct Practice {
  Meeting meeting{};  ///< unknown: known to go either way
  std::string says;   ///< one sentence
};

/// What is commonly held; nothing where nothing is. Source: common_practice (memory, no source).
std::optional<Practice> common_practice(Binder fresh, Binder old, double old_age_s, Role old_role = Role::clear);

}  // namespace witnessline::drying

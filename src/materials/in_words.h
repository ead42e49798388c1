// Materials in a sentence: their names, and what they hold that can hurt.
#pragma once

#include <array>
#include <span>
#include <string>
#include <vector>

#include "materials/material.h"

namespace witnessline::materials {

/// The name without what explains it: "xylene" of "xylene (ortho isomer ...)", "oil varnish" of "oil varnish: ...".
std::string short_name(const Material&);

/// Metals that stay poison in the dry film and its dust.
inline constexpr std::array poisonous_metals{Harmful::lead, Harmful::chromate, Harmful::arsenic, Harmful::mercury};

/// Those of `which` that a material holds, in that order.
std::vector<Harmful> held_of(const Material&, std::span<const Harmful> which);

/// "lead, chromate and arsenic"; "" of none.
std::string in_words(std::span<const Harmful>);

}  // namespace witnessline::materials

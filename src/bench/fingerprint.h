// Fingerprints of what a step reads: equal fingerprints mean equal results.
#pragma once

#include "bench/run.h"

namespace witnessline::bench {

std::uint64_t fingerprint(const PlannedStep&);
std::uint64_t fingerprint(const Film&);
/// Body, library, woods, mixtures, shop and seed.
std::uint64_t fingerprint(const Bench&);

}  // namespace witnessline::bench

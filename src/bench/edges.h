// Wet film at sharp edges: it pulls thin there and leaves a fat bead inboard; nothing is lost.
#pragma once

#include <vector>

#include "body/body.h"

namespace witnessline::bench {

/// Share of the wet coat that stays at each vertex; above 1 in the bead. Empty: no edge sharp enough to matter.
/// Law: edge_pull() of the principal curvature; what leaves goes to neighbours that lose less, by what they keep.
/// Volume is conserved; the sums are in whole steps, so that vertex order does not reach the film.
/// Departs: the bead is one pitch wide.
std::vector<float> edge_shares(const Body&, const std::vector<float>& weights, double wet_m);

}  // namespace witnessline::bench

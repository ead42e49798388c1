// A still before it becomes a picture: linear light.
#pragma once

#include <functional>
#include <span>

#include "view/canvas.h"
#include "view/fittings.h"
#include "view/studio.h"

namespace witnessline::view {

/// Told of every batch of rays, from the thread that casts it; `any_hit`: it was only asked whether anything is in the
/// way.
using RaysSeen = std::function<void(std::span<const Ray>, bool any_hit)>;

/// Linear light over a white card's, exposure counted in, with the card behind; bright places are not yet rolled off.
Canvas expose(const Film&, const ViewContext&, Face, const Studio&, StillSize, const FittingMesh* = nullptr,
              const RaysSeen& = {});

}  // namespace witnessline::view

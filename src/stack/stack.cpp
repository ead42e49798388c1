#include "stack/stack.h"

#include "base/result.h"

namespace witnessline::stack {

double Stack::thickness_m() const {
  double total_m = 0;
  for (const Layer& layer : layers) total_m += layer.thickness_m();
  return total_m;
}

Cut cut(Stack& stack, double depth_m) {
  expects(depth_m >= 0, "a cut takes nothing or something, it never adds");
  Cut taken;
  taken.dry_removed_m.resize(stack.layers.size());
  taken.solvent_removed_m.resize(stack.layers.size());
  for (std::size_t l = stack.layers.size(); l-- > 0 && depth_m > 0;) {
    Layer& layer = stack.layers[l];
    const double dry_m = std::max(0.0, layer.dry_m), solvent_m = layer.solvent_m;
    depth_m = cut_layer(layer.dry_m, layer.solvent_m, layer.melted, depth_m);
    taken.dry_removed_m[l] = dry_m - std::max(0.0, layer.dry_m);
    taken.solvent_removed_m[l] = solvent_m - layer.solvent_m;
  }
  taken.wood_removed_m = depth_m;
  stack.wood_cut_m += depth_m;
  return taken;
}

int exposed_layer(const Stack& stack) {
  for (int l = static_cast<int>(stack.layers.size()) - 1; l >= 0; --l)
    if (stack.layers[static_cast<std::size_t>(l)].dry_m > 0) return l;
  return -1;
}

}  // namespace witnessline::stack

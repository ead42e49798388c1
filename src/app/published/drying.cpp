#include <cmath>

#include "app/published/published.h"
#include "drying/column.h"

namespace witnessline::app {

namespace {
/// Share that a slab of constant diffusivity has lost at D t/l^2, with alpha l/D at its face.
double slab_lost(double resistance, double at) {
  constexpr double thick_m = 50e-6, d_m2_s = 1e-12, little = 0.05;
  const auto linear = std::make_shared<const Transport>([](double p) { return d_m2_s / ((1 - p) * (1 - p)); },
                                                        [](double p) { return p < 0.5 ? p / (1 - p) : 1.0; });
  DryingColumn column(AirSide::straight(resistance * d_m2_s / thick_m), {1e-6, 160, 160, 0.98});
  column.lay(linear, thick_m, little * thick_m);
  column.dry(at * thick_m * thick_m / d_m2_s);
  return column.gone_m() / column.laid_m();
}
}  // namespace

void add_drying_checks(Registry& registry) {
  constexpr double held_at_zero = 1e7;  // so little resistance that the face holds nothing
  registry.add("fraction_lost", {"Dt_over_L2"},
               [](const Numbers& in) { return slab_lost(held_at_zero, in["Dt_over_L2"]); });
  registry.add("fraction_lost_surface_limited", {"L", "Dt_over_L2"},
               [](const Numbers& in) { return slab_lost(in["L"], in["Dt_over_L2"]); });
  registry.add("mixture_glass_transition", {"w_resin", "Tg_resin_K", "Tg_solvent_K"}, [](const Numbers& in) {
    return glass_transition_K(1 - in["w_resin"], in["Tg_resin_K"], in["Tg_solvent_K"]);
  });
  registry.add("viscosity_fall", {"above_K"}, [](const Numbers& in) {
    return std::log10(film_viscosity_Pa_s(in["above_K"]) / film_viscosity_Pa_s(0));
  });
}

}  // namespace witnessline::app

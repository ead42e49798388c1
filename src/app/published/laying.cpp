#include "drying/laying.h"
#include "app/published/published.h"
#include "drying/compatibility.h"
#include "solvents/settling.h"

namespace witnessline::app {

void add_laying_checks(Registry& registry) {
  registry.add("disc_drag_over_sphere", {"on_edge"}, [](const Numbers& in) {
    // Drag at one speed, through the speeds at one weight: a sphere of the disc's width and the disc's weight.
    const Liquid liquid{1e-3, 1000};
    constexpr double wide_m = 10e-6, thin_m = 0.1e-6, heavy_kg_m3 = 3000;
    const double same_weight_kg_m3 = 1000 + (heavy_kg_m3 - 1000) * 1.5 * thin_m / wide_m;
    const Lie lie = in["on_edge"] > 0.5 ? Lie::on_edge : Lie::flat;
    return sphere_fall_m_s(wide_m, same_weight_kg_m3, liquid) / disc_fall_m_s(wide_m, thin_m, heavy_kg_m3, liquid, lie);
  });
  registry.add("disc_fall", {"diameter_um", "thickness_um", "density_kg_m3", "liquid_kg_m3", "viscosity_mPa_s"},
               [](const Numbers& in) {
                 return 3600e3 * disc_fall_m_s(1e-6 * in["diameter_um"], 1e-6 * in["thickness_um"], in["density_kg_m3"],
                                               {1e-3 * in["viscosity_mPa_s"], in["liquid_kg_m3"]});
               });
  registry.add("sphere_fall_time", {"diameter_um", "density_kg_m3", "liquid_kg_m3", "viscosity_mPa_s", "depth_mm"},
               [](const Numbers& in) {
                 const double speed_m_s = sphere_fall_m_s(1e-6 * in["diameter_um"], in["density_kg_m3"],
                                                          {1e-3 * in["viscosity_mPa_s"], in["liquid_kg_m3"]});
                 return time_to_fall_out_s(1, 1e-3 * in["depth_mm"], speed_m_s) / 3600;
               });
  registry.add("hindered_settling", {"volume_pct"}, [](const Numbers& in) { return hindered(in["volume_pct"] / 100); });
  registry.add("ripple", {"fan_power", "overlap"}, [](const Numbers& in) {
    Gun gun;
    gun.fan_power = in["fan_power"], gun.overlap = in["overlap"];
    return ripple(gun);
  });
  registry.add("channel_crack_g", {"alpha"}, [](const Numbers& in) { return channel_crack_g(in["alpha"]); });
  registry.add("chi_of_distance", {"distance_MPa05", "molar_volume_cm3", "T_K"}, [](const Numbers& in) {
    return chi_of_distance(1e3 * in["distance_MPa05"], 1e-6 * in["molar_volume_cm3"], in["T_K"]);
  });
}

}  // namespace witnessline::app

#include "bench/laws.h"

#include <array>

namespace witnessline::bench {

namespace {
struct Grain {
  int grit;
  double size_um;
};
constexpr std::array grains{
    Grain{12, 1815},   Grain{16, 1324},   Grain{20, 1000},   Grain{24, 764},   Grain{30, 642},   Grain{36, 538},
    Grain{40, 425},    Grain{50, 336},    Grain{60, 269},    Grain{80, 201},   Grain{100, 162},  Grain{120, 125},
    Grain{150, 100},   Grain{180, 82},    Grain{220, 68},    Grain{240, 58.5}, Grain{280, 52.2}, Grain{320, 46.2},
    Grain{360, 40.5},  Grain{400, 35},    Grain{500, 30.2},  Grain{600, 25.8}, Grain{800, 21.8}, Grain{1000, 18.3},
    Grain{1200, 15.3}, Grain{1500, 12.6}, Grain{2000, 10.3}, Grain{2500, 8.4}};
}  // namespace

double grain_size_m(int grit) {
  grit = std::clamp(grit, grains.front().grit, grains.back().grit);
  std::size_t i = 1;
  while (i + 1 < grains.size() && grains[i].grit < grit) ++i;
  const Grain &a = grains[i - 1], &b = grains[i];
  const double t = std::log(static_cast<double>(grit) / a.grit) / std::log(static_cast<double>(b.grit) / a.grit);
  return 1e-6 * a.size_um * std::pow(b.size_um / a.size_um, t);
}

Evaporation::Evaporation(double temperature_K, double air_speed_m_s) {
  constexpr double butyl_acetate_m_s = 0.63e-6 / 63.6e-4 / 470.0;
  constexpr double heat_J_mol = 40e3, gas_J_mol_K = 8.314462618, at_K = 294.15;
  const double warmth = std::exp(-heat_J_mol / gas_J_mol_K * (1.0 / temperature_K - 1.0 / at_K));
  free_m_s = butyl_acetate_m_s * warmth * std::sqrt(std::max(0.05, air_speed_m_s) / 0.3);
}

}  // namespace witnessline::bench

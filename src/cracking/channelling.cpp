#include "cracking/channelling.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "base/result.h"

namespace witnessline::cracking {

Mismatch mismatch(const Elastic& film, const Elastic& ground) {
  const double f = film.plane_strain_Pa(), s = ground.plane_strain_Pa();
  const double mf = film.shear_Pa(), ms = ground.shear_Pa();
  const double nf = film.poisson, ns = ground.poisson;
  return {(f - s) / (f + s), (mf * (1 - 2 * ns) - ms * (1 - 2 * nf)) / (2 * (mf * (1 - ns) + ms * (1 - nf)))};
}

namespace {
struct Node {
  double alpha, g;
};
// Quadratic elements in plane strain, Poisson's ratio 1/3 on both sides, tip at the interface (beuth1992, note).
constexpr std::array<Node, 17> nodes{{{-0.99, 0.7117},
                                      {-0.9, 0.743},
                                      {-0.8, 0.7805},
                                      {-0.7, 0.8211},
                                      {-0.6, 0.8654},
                                      {-0.5, 0.9139},
                                      {-0.4, 0.9676},
                                      {-0.3, 1.0272},
                                      {-0.1, 1.1703},
                                      {0, 1.2578},
                                      {0.1, 1.3598},
                                      {0.2, 1.4809},
                                      {0.3, 1.6282},
                                      {0.4, 1.8123},
                                      {0.5, 2.0519},
                                      {0.6, 2.3811},
                                      {0.7, 2.8733}}};
// From here on g grows without bound as the ground gets soft.
constexpr std::array<Node, 4> soft{{{0.6, 2.3811}, {0.7, 2.8733}, {0.9, 5.709}, {0.99, 18.6}}};

double log_cubic(const Node* at, double alpha) {
  double sum = 0;
  for (int i = 0; i < 4; ++i) {
    double weight = 1;
    for (int j = 0; j < 4; ++j)
      if (j != i) weight *= std::log((1 - alpha) / (1 - at[j].alpha)) / std::log((1 - at[i].alpha) / (1 - at[j].alpha));
    sum += weight * std::log(at[i].g);
  }
  return sum;
}
}  // namespace

double channel_g(const Mismatch& m) {
  expects(m.alpha > -1 && m.alpha < 1, "Dundurs' alpha lies between -1 and 1");
  const Node* at = soft.data();
  if (m.alpha <= nodes.back().alpha) {
    const auto above = std::find_if(nodes.begin(), nodes.end(), [&](const Node& n) { return n.alpha >= m.alpha; });
    at = nodes.data() + std::clamp<std::ptrdiff_t>(above - nodes.begin() - 2, 0, nodes.size() - 4);
  }
  constexpr double per_beta = 0.46;  // ESTIMATE: fitted to 0.8287 at (-0.7333, -0.137) and 0.8096 at (-0.7824, -0.1474)
  return std::exp(log_cubic(at, m.alpha)) + per_beta * (m.beta - m.alpha / 4);
}

double channel_energy_J_m2(double stress_Pa, double thickness_m, const Elastic& film, const Mismatch& m) {
  const double pull_Pa = std::max(stress_Pa, 0.0);
  return std::numbers::pi / 2 * channel_g(m) * pull_Pa * pull_Pa * thickness_m / film.plane_strain_Pa();
}

double surface_crack_energy_J_m2(double stress_Pa, double thickness_m, const Elastic& film) {
  const double pull_Pa = std::max(stress_Pa, 0.0);
  constexpr double edge = 1.1215;  // of an edge crack in a half space
  return edge * edge * std::numbers::pi * pull_Pa * pull_Pa * thickness_m / film.plane_strain_Pa();
}

double stored_energy_J_m2(double stress_Pa, double thickness_m, const Elastic& film) {
  return stress_Pa * stress_Pa * thickness_m / (2 * film.plane_strain_Pa());
}

std::optional<double> onset_thickness_m(double stress_Pa, double fracture_energy_J_m2, const Elastic& film,
                                        const Mismatch& m) {
  if (stress_Pa <= 0) return {};
  return fracture_energy_J_m2 / channel_energy_J_m2(stress_Pa, 1.0, film, m);
}

double shadow_length_m(double thickness_m, double g) { return std::numbers::pi / 2 * g * thickness_m; }

double share_in_array(double spacing_ratio) { return std::tanh(spacing_ratio / 2); }

double share_midway(double spacing_ratio) { return 2 * std::tanh(spacing_ratio / 2) - std::tanh(spacing_ratio); }

std::optional<double> closest_spacing(double energy_ratio) {
  if (!(energy_ratio >= 0) || energy_ratio >= 1) return {};
  double low = 0, high = 60;  // tanh is 1 to the last digit well before
  for (int i = 0; i < 100; ++i) {
    const double middle = (low + high) / 2;
    (share_midway(middle) < energy_ratio ? low : high) = middle;
  }
  return high;
}

}  // namespace witnessline::cracking

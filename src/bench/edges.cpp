#include "bench/edges.h"

#include <atomic>
#include <cmath>

#include "base/parallel.h"
#include "bench/laws.h"

namespace witnessline::bench {

std::vector<float> edge_shares(const Body& body, const std::vector<float>& weights, double wet_m) {
  constexpr double matters = 0.02;       // share lost below which an edge is left alone
  constexpr std::int64_t one = 1 << 20;  // shares as whole numbers
  const std::span<const float> curvature = body.curvature_max(), areas = body.areas_m2();
  std::vector<std::int32_t> kept(body.size(), one);
  std::atomic<bool> any{false};
  for_chunks(body.size(), 65536, [&](std::size_t begin, std::size_t end) {
    bool here = false;
    for (std::size_t v = begin; v < end; ++v) {
      if (!(weights[v] > 0)) continue;
      const double keep = edge_pull(wet_m * static_cast<double>(weights[v]), static_cast<double>(curvature[v]));
      if (keep > 1.0 - matters) continue;
      kept[v] = static_cast<std::int32_t>(keep * one);
      here = true;
    }
    if (here) any = true;
  });
  if (!any) return {};

  // What flows from a to b counts once a triangle side seen from a; only towards vertices under the gun that keep more.
  std::vector<std::int64_t> taking(body.size(), 0), bead(body.size(), 0);
  const auto sides = [&](const auto& side) {
    for (const Triangle& t : body.triangles())
      if (kept[t[0]] != one || kept[t[1]] != one || kept[t[2]] != one)
        for (int a = 0; a < 3; ++a)
          for (int b = 0; b < 3; ++b)
            if (a != b && kept[t[a]] < kept[t[b]] && weights[t[b]] > 0) side(t[a], t[b]);
  };
  sides([&](std::uint32_t a, std::uint32_t b) { taking[a] += kept[b]; });
  constexpr double volume_step_m3 = 1e-22;
  const auto volume_m3 = [&](std::uint32_t v) {
    return wet_m * static_cast<double>(weights[v]) * static_cast<double>(areas[v]);
  };
  sides([&](std::uint32_t a, std::uint32_t b) {
    const double leaves_m3 = volume_m3(a) * static_cast<double>(one - kept[a]) / one;
    bead[b] += std::llround(leaves_m3 * static_cast<double>(kept[b]) / static_cast<double>(taking[a]) / volume_step_m3);
  });
  std::vector<float> shares(body.size());
  for_chunks(body.size(), 65536, [&](std::size_t begin, std::size_t end) {
    for (std::size_t v = begin; v < end; ++v) {
      const double own = taking[v] > 0 ? static_cast<double>(kept[v]) / one : 1.0;
      const double volume = volume_m3(static_cast<std::uint32_t>(v));
      shares[v] = static_cast<float>(own + (volume > 0 ? static_cast<double>(bead[v]) * volume_step_m3 / volume : 0.0));
    }
  });
  return shares;
}

}  // namespace witnessline::bench

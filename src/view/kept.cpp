// How much of the original finish is kept: in sight, buried, dissolved.
#include <algorithm>
#include <cmath>

#include "base/parallel.h"
#include "optics/hiding.h"
#include "optics/yellowing.h"
#include "view/readings.h"

namespace witnessline::view {
namespace {

constexpr double ghost_m = 10e-6;  // ESTIMATE: thinner original finish is a trace, not a finish that was kept

struct Bins {
  double visible_m2 = 0, buried_m2 = 0, visible_m3 = 0, buried_m3 = 0, dissolved_m3 = 0;
};

Bins sum(Bins a, const Bins& b) {
  a.visible_m2 += b.visible_m2, a.buried_m2 += b.buried_m2;
  a.visible_m3 += b.visible_m3, a.buried_m3 += b.buried_m3, a.dissolved_m3 += b.dissolved_m3;
  return a;
}

std::vector<HidingPower> hiding_of(const Film& film, const ViewContext& view_context) {
  const Weights& w = weights(view_context.lamp, view_context.observer);
  std::vector<HidingPower> hiding;
  for (const FilmLayer& layer : film.layers) {
    double most_m = 0, dose_lx_s = 0;
    std::vector<float> dry(field_chunk), other(field_chunk);
    for (std::size_t c = 0; c < layer.dry_m.chunk_count(); ++c) {
      const auto n = static_cast<std::ptrdiff_t>(layer.dry_m.chunk_size(c));
      layer.dry_m.read(c, dry.data());
      layer.solvent_m.read(c, other.data());
      most_m = std::max(most_m, double{*std::max_element(dry.begin(), dry.begin() + n)} +
                                    std::max(0.0f, *std::max_element(other.begin(), other.begin() + n)));
      dose_lx_s = std::max(dose_lx_s, double{film.light_lx_s[c * field_chunk]} - layer.light_at_lay[c * field_chunk]);
    }
    hiding.emplace_back(view_context.palette.of(*layer.mixture), yellowing(dose_lx_s), most_m, w);
  }
  return hiding;
}

Bins bins_of(const Film& film, const ViewContext& view_context) {
  if (std::none_of(film.layers.begin(), film.layers.end(),
                   [](const FilmLayer& l) { return l.provenance.origin == Origin::original; }))
    return {};
  const std::vector<HidingPower> hiding = hiding_of(film, view_context);
  const double hides = -std::log(hiding_transmission);
  const auto areas = view_context.body.areas_m2();
  return reduce_chunks(
      film.size(), field_chunk, Bins{},
      [&](std::size_t begin, std::size_t end) {
        const std::size_t chunk = begin / field_chunk, n = end - begin;
        std::vector<float> dry(field_chunk), solvent(field_chunk);
        std::vector<std::uint8_t> melted(field_chunk);
        std::vector<double> whole_m(n, 0.0), melted_m(n, 0.0), above(n, 0.0);
        for (std::size_t l = 0; l < film.layers.size(); ++l) {
          const FilmLayer& layer = film.layers[l];
          layer.dry_m.read(chunk, dry.data());
          if (layer.provenance.origin == Origin::original) {
            layer.melted.read(chunk, melted.data());
            for (std::size_t i = 0; i < n; ++i) {
              if (!(dry[i] > 0)) continue;
              const double gone = melted[i] / 255.0;
              whole_m[i] += dry[i] * (1 - gone);
              melted_m[i] += dry[i] * gone;
              above[i] = 0;  // what lies between two original coats does not hide the upper one
            }
          } else {
            layer.solvent_m.read(chunk, solvent.data());
            for (std::size_t i = 0; i < n; ++i)
              if (dry[i] > 0) above[i] += hiding[l].optical_depth(double{dry[i]} + solvent[i]);
          }
        }
        Bins bins;
        for (std::size_t i = 0; i < n; ++i) {
          const double area = areas[begin + i];
          bins.dissolved_m3 += melted_m[i] * area;
          if (whole_m[i] < ghost_m) continue;
          const bool buried = above[i] > hides;
          (buried ? bins.buried_m2 : bins.visible_m2) += area;
          (buried ? bins.buried_m3 : bins.visible_m3) += whole_m[i] * area;
        }
        return bins;
      },
      sum);
}

Figure bin(const char* name, double value, Quantity quantity, const char* law) {
  Figure f;
  f.name = name, f.value = value, f.quantity = quantity, f.law = law, f.source = "kubelka1948";
  f.kind = Kind::estimate;
  f.inputs = {
      {"not counted as kept when thinner than", ghost_m, Quantity::film_thickness, Kind::estimate, ""},
      {"covered when less light gets through than", hiding_transmission, Quantity::fraction, Kind::estimate, ""}};
  return f;
}

}  // namespace

KeptReading original_kept(const Film& now, const Film& before, const ViewContext& view_context) {
  const Bins kept = bins_of(now, view_context), then = bins_of(before, view_context);
  KeptReading reading;
  reading.visible_area = bin("original finish in sight", kept.visible_m2, Quantity::area,
                             "area where enough original coat is left and no opaque coat covers it");
  reading.buried_area = bin("original finish covered by an opaque coat", kept.buried_m2, Quantity::area,
                            "area where enough original coat is left and an opaque coat covers it");
  reading.visible_volume = bin("original finish in sight", kept.visible_m3, Quantity::film_volume,
                               "sum of dry film x (1 - melted share) x area, where in sight");
  reading.buried_volume = bin("original finish covered by an opaque coat", kept.buried_m3, Quantity::film_volume,
                              "sum of dry film x (1 - melted share) x area, where covered");
  reading.dissolved_volume = bin("original finish melted into new", kept.dissolved_m3, Quantity::film_volume,
                                 "sum of dry film x melted share x area");
  const double original_m3 = then.visible_m3 + then.buried_m3;
  reading.kept_fraction =
      bin("original finish kept", (kept.visible_m3 + kept.buried_m3) / original_m3, Quantity::fraction,
          original_m3 > 0 ? "(in sight + covered) now / (in sight + covered) before the work, by volume"
                          : "there was no original finish before the work");
  reading.kept_fraction.inputs.push_back(
      {"in sight and covered now", kept.visible_m3 + kept.buried_m3, Quantity::film_volume, Kind::computed, ""});
  reading.kept_fraction.inputs.push_back(
      {"in sight and covered before", original_m3, Quantity::film_volume, Kind::computed, ""});
  return reading;
}

}  // namespace witnessline::view

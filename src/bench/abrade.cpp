#include "bench/abrade.h"

#include <fmt/format.h>

#include <atomic>

namespace witnessline::bench {

Result<MassBalance> abrade(StepContext& context, const std::vector<float>& weights, const CutDepth& depth, Wood wood) {
  const Result<std::vector<Paint>> paints = context.paints();
  if (!paints) return paints.errors();
  const std::span<const float> areas = context.body.areas_m2();
  const MassBalance books = over_columns(context.film(), weights, [&](Columns& columns, MassBalance& sums) {
    for (std::size_t i = 0; i < columns.size(); ++i) {
      const std::size_t v = columns.begin() + i;
      if (!(weights[v] > 0)) continue;
      const double area_m2 = static_cast<double>(areas[v]);
      const double depth_m = depth(v, columns, i);
      const int top = columns.exposed(i);
      if (top >= 0 && (*paints)[static_cast<std::size_t>(top)].metallic && depth_m > 0) sums.metallic_cut_m2 += area_m2;
      sums.worked_m2 += area_m2 * static_cast<double>(weights[v]);
      if (!(depth_m > 0)) continue;
      if (wood == Wood::is_kept)
        columns.cut_to_wood(i, depth_m, area_m2, sums);
      else
        columns.cut(i, depth_m, area_m2, sums);
    }
  });
  context.keep(books, books.coats.size());
  if (const double wood_m = books.worked_m2 > 0 ? books.wood_cut_m3 / books.worked_m2 : 0.0; wood_m > 50e-6)
    context.note(Severity::caution, fmt::format("takes {} of wood, on average over what is worked on",
                                                show(wood_m, Quantity::film_thickness)));
  context.warn_of_dust(books, *paints, weights);
  return books;
}

EdgeGain::EdgeGain(const std::vector<float>& weights, const Body& body, double edge_factor)
    : curvature_per_m_(body.curvature_max()), factor_(edge_factor) {
  struct Sums {
    double area = 0, gained = 0;
  };
  const std::span<const float> areas = body.areas_m2();
  const Sums sums = reduce_chunks(
      weights.size(), field_chunk, Sums{},
      [&](std::size_t begin, std::size_t end) {
        Sums s;
        for (std::size_t v = begin; v < end; ++v) {
          if (!(weights[v] > 0)) continue;
          const double a = static_cast<double>(weights[v]) * static_cast<double>(areas[v]);
          s.area += a;
          s.gained += a * (1.0 + (factor_ - 1.0) * edge_share(static_cast<double>(curvature_per_m_[v])));
        }
        return s;
      },
      [](Sums a, const Sums& b) {
        return Sums{a.area + b.area, a.gained + b.gained};
      });
  // Rounded to 2^-30, so that the order in which vertices are summed does not reach the film.
  if (sums.gained > 0) scale_ = std::nearbyint(sums.area / sums.gained * 0x1p30) * 0x1p-30;
}

namespace {
constexpr double height_step_m = 1e-13;  // whole steps add up the same in any order
}

BlockLevel::BlockLevel(const Film& film, const Body& body, const std::vector<float>& weights, double reach_m)
    : body_(body), per_m_(1.0 / reach_m), height_m_(body.size()) {
  const std::span<const Vec3> places = body.positions();
  struct Box {
    long low[3] = {1l << 60, 1l << 60, 1l << 60}, high[3] = {-(1l << 60), -(1l << 60), -(1l << 60)};
  };
  const auto cell = [&](Vec3 p, int a) {
    return static_cast<long>(std::floor(static_cast<double>(a == 0 ? p.x : a == 1 ? p.y : p.z) * per_m_));
  };
  const Box box = reduce_chunks(
      body.size(), field_chunk, Box{},
      [&](std::size_t begin, std::size_t end) {
        Box b;
        for (std::size_t v = begin; v < end; ++v)
          for (int a = 0; a < 3 && weights[v] > 0; ++a) {
            const long c = cell(places[v], a);
            b.low[a] = std::min(b.low[a], c), b.high[a] = std::max(b.high[a], c);
          }
        return b;
      },
      [](Box a, const Box& b) {
        for (int i = 0; i < 3; ++i) a.low[i] = std::min(a.low[i], b.low[i]), a.high[i] = std::max(a.high[i], b.high[i]);
        return a;
      });
  std::size_t total = 1;
  for (int a = 0; a < 3; ++a) {
    low_[a] = box.low[a] - 1;
    count_[a] = box.high[a] - box.low[a] + 3;
    total *= static_cast<std::size_t>(count_[a]);
  }
  std::vector<std::atomic<std::int64_t>> sum(total), n(total);
  for_chunks(body.size(), field_chunk, [&](std::size_t begin, std::size_t end) {
    const auto reached = [](float w) { return w > 0; };
    if (std::none_of(weights.begin() + static_cast<long>(begin), weights.begin() + static_cast<long>(end), reached))
      return;
    const Columns columns(film, begin, end);
    for (std::size_t v = begin; v < end; ++v) {
      if (!(weights[v] > 0)) continue;
      height_m_[v] = static_cast<float>(columns.thickness_from(0, v - begin) - columns.wood_cut_m(v - begin));
      const long at[3] = {cell(places[v], 0) - low_[0], cell(places[v], 1) - low_[1], cell(places[v], 2) - low_[2]};
      const auto node = static_cast<std::size_t>((at[2] * count_[1] + at[1]) * count_[0] + at[0]);
      sum[node].fetch_add(std::llround(static_cast<double>(height_m_[v]) / height_step_m), std::memory_order_relaxed);
      n[node].fetch_add(1, std::memory_order_relaxed);
    }
  });
  mean_.resize(total);
  n_.resize(total);
  for (std::size_t i = 0; i < total; ++i) {
    n_[i] = n[i].load();
    mean_[i] = n_[i] > 0 ? static_cast<double>(sum[i].load()) / static_cast<double>(n_[i]) * height_step_m : 0.0;
  }
}

double BlockLevel::above(std::size_t v) const {
  const Vec3 place = body_.positions()[v];
  const double p[3] = {static_cast<double>(place.x) * per_m_ - 0.5, static_cast<double>(place.y) * per_m_ - 0.5,
                       static_cast<double>(place.z) * per_m_ - 0.5};
  long cell[3];
  double t[3];
  for (int a = 0; a < 3; ++a) {
    const double low = std::floor(p[a]);
    cell[a] = static_cast<long>(low) - low_[a];
    t[a] = p[a] - low;
  }
  double sum = 0, weight = 0;
  for (int corner = 0; corner < 8; ++corner) {
    double w = 1;
    long at[3];
    for (int a = 0; a < 3; ++a) {
      const int up = (corner >> a) & 1;
      at[a] = cell[a] + up;
      w *= up ? t[a] : 1.0 - t[a];
    }
    const auto node = static_cast<std::size_t>((at[2] * count_[1] + at[1]) * count_[0] + at[0]);
    if (n_[node] == 0) continue;
    sum += w * mean_[node];
    weight += w;
  }
  return weight > 0 ? static_cast<double>(height_m_[v]) - sum / weight : 0.0;
}

}  // namespace witnessline::bench

// Readings of thickness: quantiles by region, and which coat shows where.
#include <algorithm>
#include <bit>
#include <cmath>

#include "base/parallel.h"
#include "view/readings.h"

namespace witnessline::view {
namespace {

constexpr std::size_t triangle_chunk = 8192;

std::vector<float> thickness_of(const Film& film) {
  std::vector<float> total(film.size(), 0.0f);
  for_chunks(film.size(), field_chunk, [&](std::size_t begin, std::size_t end) {
    std::vector<float> dry(field_chunk), solvent(field_chunk);
    for (const FilmLayer& layer : film.layers) {
      layer.dry_m.read(begin / field_chunk, dry.data());
      layer.solvent_m.read(begin / field_chunk, solvent.data());
      for (std::size_t v = begin; v < end; ++v)
        if (dry[v - begin] > 0) total[v] += dry[v - begin] + solvent[v - begin];
    }
  });
  return total;
}

Figure quantile(const std::string& name, double value, const std::string& law, double area_m2) {
  Figure f;
  f.name = name, f.value = value, f.quantity = Quantity::film_thickness, f.law = law;
  f.inputs = {{"area of the region", area_m2, Quantity::area, Kind::computed, ""}};
  return f;
}

Figure area_figure(const std::string& name, double area_m2, const std::string& law) {
  Figure f;
  f.name = name, f.value = area_m2, f.quantity = Quantity::area, f.law = law;
  return f;
}

double area_of(const Body& body, const Triangle& t) {
  const auto p = body.positions();
  const double ax = double{p[t[1]].x} - p[t[0]].x, ay = double{p[t[1]].y} - p[t[0]].y,
               az = double{p[t[1]].z} - p[t[0]].z;
  const double bx = double{p[t[2]].x} - p[t[0]].x, by = double{p[t[2]].y} - p[t[0]].y,
               bz = double{p[t[2]].z} - p[t[0]].z;
  return 0.5 * std::hypot(ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx);
}

// A convex piece of a triangle, in barycentric coordinates of its second and third corner.
struct Piece {
  std::vector<std::array<double, 2>> corners;

  double share() const {  // of the triangle's area
    double twice = 0;
    for (std::size_t i = 0; i < corners.size(); ++i) {
      const auto& a = corners[i];
      const auto& b = corners[(i + 1) % corners.size()];
      twice += a[0] * b[1] - b[0] * a[1];
    }
    return std::abs(twice);
  }

  /// The part where a linear value (given at the three corners of the triangle) times `sign` is above zero.
  Piece where(const std::array<double, 3>& t, double sign) const {
    const auto at = [&](const std::array<double, 2>& c) {
      return sign * ((1 - c[0] - c[1]) * t[0] + c[0] * t[1] + c[1] * t[2]);
    };
    Piece kept;
    for (std::size_t i = 0; i < corners.size(); ++i) {
      const auto& a = corners[i];
      const auto& b = corners[(i + 1) % corners.size()];
      const double va = at(a), vb = at(b);
      if (va >= 0) kept.corners.push_back(a);
      if ((va > 0 && vb < 0) || (va < 0 && vb > 0)) {
        const double s = va / (va - vb);
        kept.corners.push_back({a[0] + s * (b[0] - a[0]), a[1] + s * (b[1] - a[1])});
      }
    }
    return kept;
  }
};

}  // namespace

std::vector<ThicknessReading> thickness_by_region(const Film& film, const ViewContext& view_context) {
  const Body& body = view_context.body;
  const std::vector<float> thickness = thickness_of(film);
  // Thickness is never negative, so its bits sort like the number; the vertex rides along in the low half.
  std::vector<std::uint64_t> sorted(film.size());
  for (std::size_t v = 0; v < film.size(); ++v)
    sorted[v] = std::uint64_t{std::bit_cast<std::uint32_t>(thickness[v])} << 32 | v;
  std::sort(sorted.begin(), sorted.end());

  constexpr std::size_t whole = region_count;
  std::array<double, region_count + 1> area{}, below{};
  const auto bits = body.region_bits();
  const auto areas = body.areas_m2();
  for (std::size_t v = 0; v < film.size(); ++v) {
    area[whole] += areas[v];
    for (unsigned left = bits[v]; left; left &= left - 1)
      area[static_cast<std::size_t>(std::countr_zero(left))] += areas[v];
  }
  constexpr std::array shares{0.0, 0.05, 0.5, 0.95};
  std::array<std::array<double, shares.size()>, region_count + 1> found{};
  std::array<std::size_t, region_count + 1> next{};
  for (const std::uint64_t entry : sorted) {
    const auto v = static_cast<std::uint32_t>(entry);
    const double t = std::bit_cast<float>(static_cast<std::uint32_t>(entry >> 32));
    for (unsigned left = bits[v] | 1u << whole; left; left &= left - 1) {
      const auto r = static_cast<std::size_t>(std::countr_zero(left));
      below[r] += areas[v];
      while (next[r] < shares.size() && below[r] >= shares[next[r]] * area[r]) found[r][next[r]++] = t;
    }
  }

  std::vector<ThicknessReading> readings;
  const auto names = words(static_cast<const Region*>(nullptr));
  for (std::size_t i = 0; i <= whole; ++i) {
    const std::size_t r = i == 0 ? whole : i - 1;
    if (!(area[r] > 0)) continue;
    const std::string name = r == whole ? "whole body" : names[r];
    ThicknessReading reading{
        name, area_figure("area of " + name, area[r], "sum of the areas of the mesh points"), {}, {}, {}, {}};
    reading.min = quantile("thinnest film, " + name, found[r][0], "smallest total of all coats at any point", area[r]);
    const auto law = [](const char* share) {
      return std::string("thickness of all coats together that ") + share +
             " of the area does not exceed; each point weighted by its area";
    };
    reading.p5 = quantile("5th percentile of the film, " + name, found[r][1], law("5%"), area[r]);
    reading.median = quantile("median film, " + name, found[r][2], law("half"), area[r]);
    reading.p95 = quantile("95th percentile of the film, " + name, found[r][3], law("95%"), area[r]);
    readings.push_back(std::move(reading));
  }
  return readings;
}

std::vector<ExposedReading> exposed(const Film& film, const ViewContext& view_context) {
  const Body& body = view_context.body;
  const std::size_t layers = film.layers.size();
  // Outermost layer left at each vertex, counted from 1; 0 is wood.
  std::vector<std::uint16_t> outermost(film.size(), 0);
  for_chunks(film.size(), field_chunk, [&](std::size_t begin, std::size_t end) {
    std::vector<float> dry(field_chunk);
    for (std::size_t l = 0; l < layers; ++l) {
      film.layers[l].dry_m.read(begin / field_chunk, dry.data());
      for (std::size_t v = begin; v < end; ++v)
        if (dry[v - begin] > 0) outermost[v] = static_cast<std::uint16_t>(l + 1);
    }
  });

  const auto triangles = body.triangles();
  const auto areas = reduce_chunks(
      triangles.size(), triangle_chunk, std::vector<double>(layers + 1, 0.0),
      [&](std::size_t begin, std::size_t end) {
        std::vector<double> sum(layers + 1, 0.0);
        for (std::size_t i = begin; i < end; ++i) {
          const Triangle& t = triangles[i];
          const double area = area_of(body, t);
          if (outermost[t[0]] == outermost[t[1]] && outermost[t[0]] == outermost[t[2]]) {
            sum[outermost[t[0]]] += area;
            continue;
          }
          Piece left{{{0, 0}, {1, 0}, {0, 1}}};
          for (std::size_t l = layers; l-- > 0 && !left.corners.empty();) {
            const auto& dry = film.layers[l].dry_m;
            const std::array<double, 3> value{dry[t[0]], dry[t[1]], dry[t[2]]};
            if (value[0] <= 0 && value[1] <= 0 && value[2] <= 0) continue;
            sum[l + 1] += area * left.where(value, 1).share();
            left = left.where(value, -1);
          }
          sum[0] += area * left.share();
        }
        return sum;
      },
      [](std::vector<double> a, const std::vector<double>& b) {
        for (std::size_t i = 0; i < a.size(); ++i) a[i] += b[i];
        return a;
      });

  const std::string law =
      "sum over the triangles of the part in which this coat's signed film, linear between the corners, is above zero "
      "and that of every coat above it is not";
  std::vector<ExposedReading> readings;
  readings.push_back({"wood", Origin::original, area_figure("bare wood", areas[0], law)});
  for (std::size_t l = 0; l < layers; ++l) {
    const Provenance& from = film.layers[l].provenance;
    const auto same = std::find_if(readings.begin() + 1, readings.end(), [&](const ExposedReading& e) {
      return e.coat == from.laid_by && e.origin == from.origin;
    });
    if (same != readings.end())
      same->area.value += areas[l + 1];
    else
      readings.push_back({from.laid_by, from.origin, area_figure(from.laid_by + " in sight", areas[l + 1], law)});
  }
  return readings;
}

}  // namespace witnessline::view

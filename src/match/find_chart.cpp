#include "match/find_chart.h"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <vector>

#include "match/even_areas.h"

namespace witnessline::match {

namespace {

constexpr int columns = 6, rows = 4;
constexpr double patch_half = 0.2;     // of the pitch: well inside the patch, whatever the width of the frame
constexpr double like_a_chart = 0.10;  // ESTIMATE: colours off by less after an affine map; anything else is off by 0.2
constexpr std::size_t fewest_seen = 10;  // patches: fewer cannot tell 12 constants of the map from chance

using Node = std::pair<int, int>;
using Encoded = std::array<std::array<double, 3>, 24>;

Encoded encoded(const ChartAim& chart) {
  Encoded colours;
  const Xyz white = white_point(Lamp::D50, Observer::deg2);
  for (std::size_t p = 0; p < 24; ++p) {
    const Rgb rgb = to_srgb(to_xyz(chart[p], Lamp::D50, Observer::deg2), white);
    colours[p] = {rgb.r, rgb.g, rgb.b};
  }
  return colours;
}

// Direct linear transform on points brought to unit size. Source: hartley2004, algorithm 4.2.
Homography fit_homography(const std::vector<std::pair<double, double>>& from, const std::vector<PixelPoint>& to) {
  const double n = static_cast<double>(to.size());
  double mx = 0, my = 0, spread = 0;
  for (const PixelPoint& p : to) mx += p.x_px / n, my += p.y_px / n;
  for (const PixelPoint& p : to) spread += std::hypot(p.x_px - mx, p.y_px - my) / n;
  const double s = spread > 0 ? 1.4 / spread : 1;
  Eigen::MatrixXd a = Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(2 * to.size()), 9);
  for (std::size_t i = 0; i < to.size(); ++i) {
    const double u = (from[i].first - 2.5) / 2, v = (from[i].second - 1.5) / 2;
    const double x = (to[i].x_px - mx) * s, y = (to[i].y_px - my) * s;
    const Eigen::Index r = static_cast<Eigen::Index>(2 * i);
    a.row(r) << u, v, 1, 0, 0, 0, -x * u, -x * v, -x;
    a.row(r + 1) << 0, 0, 0, u, v, 1, -y * u, -y * v, -y;
  }
  const Eigen::VectorXd k = Eigen::JacobiSVD<Eigen::MatrixXd>(a, Eigen::ComputeFullV).matrixV().col(8);
  Eigen::Matrix3d unit, pixels, lattice;
  unit << k(0), k(1), k(2), k(3), k(4), k(5), k(6), k(7), k(8);
  pixels << 1 / s, 0, mx, 0, 1 / s, my, 0, 0, 1;
  lattice << 0.5, 0, -1.25, 0, 0.5, -0.75, 0, 0, 1;
  const Eigen::Matrix3d h = pixels * unit * lattice;
  Homography found;
  for (int i = 0; i < 9; ++i) found.h[static_cast<std::size_t>(i)] = h(i / 3, i % 3);
  return found;
}

// A way to lay the chart on a lattice: lattice place of patch (column, row) = origin + column a + row b.
struct Laying {
  int i0 = 0, j0 = 0, ai = 0, aj = 0, bi = 0, bj = 0;
  std::pair<double, double> at(int column, int row) const {
    return {i0 + column * ai + row * bi, j0 + column * aj + row * bj};
  }
};

struct Fit {
  double misfit = 1e9;  // root mean square, encoded colours, per degree of freedom
  std::size_t seen = 0;
  Homography map;
};

// How near an affine map brings the colours seen to the chart's.
Fit colour_fit(const Image& image, const Homography& map, const Encoded& chart) {
  Fit fit;
  fit.map = map;
  std::vector<std::array<double, 3>> seen;
  std::vector<std::size_t> which;
  for (int p = 0; p < 24; ++p) {
    const PixelSample s = sample(image, map, p % columns, p / columns, patch_half);
    if (!s.inside) continue;
    seen.push_back(s.mean);
    which.push_back(static_cast<std::size_t>(p));
  }
  fit.seen = seen.size();
  if (fit.seen < fewest_seen) return fit;
  Eigen::MatrixXd a(static_cast<Eigen::Index>(seen.size()), 4), b(a.rows(), 3);
  for (std::size_t i = 0; i < seen.size(); ++i)
    for (Eigen::Index c = 0; c < 4; ++c) {
      const auto r = static_cast<Eigen::Index>(i);
      a(r, c) = c < 3 ? seen[i][static_cast<std::size_t>(c)] : 1;
      if (c < 3) b(r, c) = chart[which[i]][static_cast<std::size_t>(c)];
    }
  const Eigen::MatrixXd x = a.colPivHouseholderQr().solve(b);
  fit.misfit = std::sqrt((a * x - b).squaredNorm() / static_cast<double>(3 * seen.size() - 12));
  return fit;
}

bool mirrored(const Homography& map) {
  const PixelPoint o = map(2, 1), u = map(3, 1), v = map(2, 2);
  return (u.x_px - o.x_px) * (v.y_px - o.y_px) - (u.y_px - o.y_px) * (v.x_px - o.x_px) < 0;
}

// Areas grown into a lattice from a first one and its neighbours to two sides.
class Lattice {
 public:
  Lattice(const std::vector<EvenArea>& areas, std::size_t first, std::size_t along, std::size_t across)
      : areas_(areas) {
    const auto step = [&](std::size_t to) {
      return PixelPoint{areas[to].centre.x_px - areas[first].centre.x_px,
                        areas[to].centre.y_px - areas[first].centre.y_px};
    };
    add({0, 0}, first, step(along), step(across));
    for (std::size_t next = 0; next < order_.size(); ++next) grow(order_[next]);
  }
  const std::map<Node, std::size_t>& nodes() const { return nodes_; }

 private:
  struct Local {
    Node node;
    PixelPoint u, v;
  };
  void add(Node node, std::size_t area, PixelPoint u, PixelPoint v) {
    nodes_[node] = area;
    taken_.push_back(area);
    order_.push_back({node, u, v});
  }
  void grow(const Local from) {
    const EvenArea& here = areas_[nodes_.at(from.node)];
    for (const auto& [di, dj] : {Node{1, 0}, Node{-1, 0}, Node{0, 1}, Node{0, -1}}) {
      const Node node{from.node.first + di, from.node.second + dj};
      if (nodes_.contains(node) || std::abs(node.first) > 6 || std::abs(node.second) > 6) continue;
      const PixelPoint step = di ? from.u : from.v;
      const int sign = di + dj;
      const double pitch_px = std::hypot(step.x_px, step.y_px);
      std::optional<std::size_t> nearest;
      double least = 0.25 * pitch_px;
      for (std::size_t a = 0; a < areas_.size(); ++a) {
        const double ratio = areas_[a].area_px / here.area_px;
        const double off = std::hypot(areas_[a].centre.x_px - here.centre.x_px - sign * step.x_px,
                                      areas_[a].centre.y_px - here.centre.y_px - sign * step.y_px);
        if (off < least && ratio > 0.5 && ratio < 2 && std::find(taken_.begin(), taken_.end(), a) == taken_.end())
          nearest = a, least = off;
      }
      if (!nearest) continue;
      const PixelPoint taken{sign * (areas_[*nearest].centre.x_px - here.centre.x_px),
                             sign * (areas_[*nearest].centre.y_px - here.centre.y_px)};
      add(node, *nearest, di ? taken : from.u, di ? from.v : taken);
    }
  }
  const std::vector<EvenArea>& areas_;
  std::map<Node, std::size_t> nodes_;
  std::vector<std::size_t> taken_;
  std::vector<Local> order_;
};

// All ways to lay the chart so that it covers the lattice's nodes.
std::vector<Laying> layings(const std::map<Node, std::size_t>& nodes) {
  int i_low = 99, i_high = -99, j_low = 99, j_high = -99;
  for (const auto& [node, area] : nodes) {
    i_low = std::min(i_low, node.first), i_high = std::max(i_high, node.first);
    j_low = std::min(j_low, node.second), j_high = std::max(j_high, node.second);
  }
  std::vector<Laying> all;
  for (const auto& [width, height] : {Node{columns, rows}, Node{rows, columns}})
    for (int i = std::min(i_low, i_high - width + 1); i <= std::max(i_low, i_high - width + 1); ++i)
      for (int j = std::min(j_low, j_high - height + 1); j <= std::max(j_low, j_high - height + 1); ++j)
        for (int flip = 0; flip < 4; ++flip) {
          const int fi = flip & 1, fj = flip >> 1;
          Laying l;
          l.i0 = fi ? i + width - 1 : i, l.j0 = fj ? j + height - 1 : j;
          const int si = fi ? -1 : 1, sj = fj ? -1 : 1;
          if (width == columns)
            l.ai = si, l.bj = sj;
          else
            l.aj = sj, l.bi = si;
          all.push_back(l);
        }
  return all;
}

// The laying's homography, fitted to the centres of the areas it covers.
Homography laid(const Laying& l, const std::map<Node, std::size_t>& nodes, const std::vector<EvenArea>& areas) {
  std::vector<std::pair<double, double>> from;
  std::vector<PixelPoint> to;
  for (int row = -8; row < rows + 8; ++row)
    for (int column = -8; column < columns + 8; ++column) {
      const auto [i, j] = l.at(column, row);
      const auto found = nodes.find({static_cast<int>(i), static_cast<int>(j)});
      if (found == nodes.end()) continue;
      from.emplace_back(column, row);
      to.push_back(areas[found->second].centre);
    }
  return fit_homography(from, to);
}

struct Best {
  Fit first, rival;  // the rival lays the chart otherwise: its patch 1 lies elsewhere
  void take(const Fit& fit) {
    const auto apart = [](const Fit& a, const Fit& b) {
      const PixelPoint p = a.map(0, 0), q = b.map(0, 0), r = a.map(5, 3);
      return std::hypot(p.x_px - q.x_px, p.y_px - q.y_px) > 0.1 * std::hypot(p.x_px - r.x_px, p.y_px - r.y_px);
    };
    if (fit.misfit < first.misfit) {
      if (first.misfit < 1e8 && apart(fit, first)) rival = first;
      first = fit;
    } else if (fit.misfit < rival.misfit && apart(fit, first)) {
      rival = fit;
    }
  }
};

// Under perspective an area's centre of gravity is not the image of its middle; by how much, for a patch of the usual
// width (0.8 of the pitch).
PixelPoint off_middle(const Homography& map, double column, double row) {
  constexpr double half = 0.4;
  const std::array<PixelPoint, 4> q{map(column - half, row - half), map(column + half, row - half),
                                    map(column + half, row + half), map(column - half, row + half)};
  double area_px = 0, x = 0, y = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    const PixelPoint &a = q[i], &b = q[(i + 1) % 4];
    const double cross = a.x_px * b.y_px - b.x_px * a.y_px;
    area_px += cross / 2, x += (a.x_px + b.x_px) * cross / 6, y += (a.y_px + b.y_px) * cross / 6;
  }
  const PixelPoint middle = map(column, row);
  return {x / area_px - middle.x_px, y / area_px - middle.y_px};
}

Homography refined(Homography map, const std::vector<EvenArea>& areas) {
  for (int round = 0; round < 3; ++round) {
    std::vector<std::pair<double, double>> from;
    std::vector<PixelPoint> to;
    for (int p = 0; p < 24; ++p) {
      const PixelPoint at = map(p % columns, p / columns), beside = map(p % columns + 1, p / columns);
      const double pitch_px = std::hypot(beside.x_px - at.x_px, beside.y_px - at.y_px);
      for (const EvenArea& a : areas)
        if (std::hypot(a.centre.x_px - at.x_px, a.centre.y_px - at.y_px) < 0.15 * pitch_px &&
            a.area_px < 2 * pitch_px * pitch_px && a.area_px > 0.2 * pitch_px * pitch_px) {
          from.emplace_back(p % columns, p / columns);
          const PixelPoint off = off_middle(map, p % columns, p / columns);
          to.push_back({a.centre.x_px - off.x_px, a.centre.y_px - off.y_px});
          break;
        }
    }
    if (to.size() < 8) return map;
    map = fit_homography(from, to);
  }
  return map;
}

Error mirrored_picture(const std::string& file) {
  return {"the picture is mirrored: the chart's patches run the wrong way round",
          {file, 0, 0, "photo"},
          "a picture as the camera took it",
          "turn mirroring off (front cameras do it) and take it again"};
}

void look_from(std::size_t seed, const std::vector<EvenArea>& areas, const Image& image, const Encoded& chart,
               std::vector<bool>& settled, Best& best) {
  std::vector<std::pair<double, std::size_t>> near;
  for (std::size_t a = 0; a < areas.size(); ++a) {
    const double off =
        std::hypot(areas[a].centre.x_px - areas[seed].centre.x_px, areas[a].centre.y_px - areas[seed].centre.y_px);
    const double ratio = areas[a].area_px / areas[seed].area_px;
    if (a != seed && off < 2.5 * std::sqrt(areas[seed].area_px) && ratio > 0.5 && ratio < 2) near.emplace_back(off, a);
  }
  std::sort(near.begin(), near.end());
  if (near.size() > 6) near.resize(6);
  for (const auto& [b_off, b] : near)
    for (const auto& [c_off, c] : near) {
      const PixelPoint o = areas[seed].centre, p = areas[b].centre, q = areas[c].centre;
      const double turn =
          ((p.x_px - o.x_px) * (q.y_px - o.y_px) - (p.y_px - o.y_px) * (q.x_px - o.x_px)) / (b_off * c_off);
      if (turn < 0.7 || b_off > 2 * c_off || c_off > 2 * b_off) continue;
      const Lattice lattice(areas, seed, b, c);
      if (lattice.nodes().size() < 8) continue;
      for (const Laying& l : layings(lattice.nodes()))
        best.take(colour_fit(image, laid(l, lattice.nodes(), areas), chart));
      for (const auto& [node, area] : lattice.nodes()) settled[area] = true;
      if (lattice.nodes().size() >= 12) return;
    }
}

}  // namespace

PixelSample sample(const Image& image, const PixelPoint& centre, double radius_px) {
  const Homography square{{radius_px, 0, centre.x_px, 0, radius_px, centre.y_px, 0, 0, 1}};
  return sample(image, square, 0, 0, 1);
}

PixelSample sample(const Image& image, const Homography& map, double column, double row, double half) {
  PixelSample s;
  const PixelPoint from = map(column - half, row - half), to = map(column + half, row + half);
  const int steps = std::clamp(static_cast<int>(std::hypot(to.x_px - from.x_px, to.y_px - from.y_px) / 1.4), 3, 60);
  std::array<double, 3> squares{};
  for (int j = 0; j < steps; ++j)
    for (int i = 0; i < steps; ++i) {
      const PixelPoint p = map(column + half * ((2.0 * i + 1) / steps - 1), row + half * ((2.0 * j + 1) / steps - 1));
      if (!(p.x_px > -0.5 && p.y_px > -0.5 && p.x_px < image.width - 0.5 && p.y_px < image.height - 0.5)) {
        s.inside = false;
        return s;
      }
      const auto at = 3 * (static_cast<std::size_t>(std::lround(p.y_px)) * static_cast<std::size_t>(image.width) +
                           static_cast<std::size_t>(std::lround(p.x_px)));
      int high = 0, low = 255;
      for (std::size_t c = 0; c < 3; ++c) {
        const int value = image.rgb[at + c];
        high = std::max(high, value), low = std::min(low, value);
        s.mean[c] += value / 255.0;
        squares[c] += value / 255.0 * (value / 255.0);
      }
      s.clipped_high_frac += high >= 254;
      s.clipped_low_frac += low <= 0;
    }
  const double n = static_cast<double>(steps * steps);
  s.clipped_high_frac /= n, s.clipped_low_frac /= n;
  for (std::size_t c = 0; c < 3; ++c) {
    s.mean[c] /= n;
    s.sd[c] = std::sqrt(std::max(0.0, squares[c] / n - s.mean[c] * s.mean[c]));
  }
  return s;
}

Result<Homography> find_chart(const Image& image, const ChartAim& aim, const std::string& file) {
  const Encoded chart = encoded(aim);
  Best best;
  std::vector<EvenArea> best_areas;
  for (const double steepest : {8.0, 14.0, 24.0, 40.0}) {
    const std::vector<EvenArea> areas = even_areas(image, steepest);
    const double before = best.first.misfit;
    std::vector<bool> settled(areas.size(), false);
    for (std::size_t seed = 0; seed < areas.size(); ++seed)
      if (!settled[seed]) look_from(seed, areas, image, chart, settled, best);
    if (best.first.misfit < before) best_areas = areas;
  }
  const Place where{file, 0, 0, "photo"};
  if (!(best.first.misfit < like_a_chart))
    return Error{"no 24-patch chart is found in the picture", where, "the whole chart, sharp enough to see its patches",
                 "take the picture again with the chart flat beside the work, or give the centres of its four corner "
                 "patches (corners)"};
  if (mirrored(best.first.map)) return mirrored_picture(file);
  if (best.first.seen < 24)
    return Error{
        fmt::format("the chart is partly outside the picture: {} of its 24 patches are in it", best.first.seen), where,
        "the whole chart in the picture", "take the picture again"};
  if (best.rival.misfit < 1.3 * best.first.misfit)
    return Error{"the chart fits the picture equally well in two positions", where, "patches that can be told apart",
                 "take the picture again in better light, or give the centres of its four corner patches (corners)"};
  return refined(best.first.map, best_areas);
}

Result<Homography> chart_at(const Image& image, const ChartAim& aim, const std::array<PixelPoint, 4>& corners,
                            const std::string& file) {
  const Place where{file, 0, 0, "corners"};
  double turning = 0, least = 1e18;
  for (std::size_t i = 0; i < 4; ++i) {
    const PixelPoint &p = corners[i], &q = corners[(i + 1) % 4], &r = corners[(i + 2) % 4];
    if (!(p.x_px >= 0 && p.y_px >= 0 && p.x_px < image.width && p.y_px < image.height))
      return Error{fmt::format("corner {} lies outside the picture", i + 1), where,
                   fmt::format("0 to {} and 0 to {}", image.width - 1, image.height - 1),
                   "a chart partly outside cannot be used: take the picture again"};
    const double turn = (q.x_px - p.x_px) * (r.y_px - q.y_px) - (q.y_px - p.y_px) * (r.x_px - q.x_px);
    if (i == 0) turning = turn;
    least = std::min(least, turn * turning > 0 ? std::abs(turn) : 0.0);
  }
  if (!(least > 100))
    return Error{"the four corners do not go round the chart", where,
                 "centres of the four corner patches in order round the chart",
                 "give them in the order round the chart"};
  const Encoded chart = encoded(aim);
  Best best;
  const std::array<std::pair<double, double>, 4> lattice{{{0, 0}, {5, 0}, {5, 3}, {0, 3}}};
  for (std::size_t first = 0; first < 4; ++first)
    for (const bool back : {false, true}) {
      std::vector<std::pair<double, double>> from;
      for (std::size_t i = 0; i < 4; ++i) from.push_back(lattice[(first + (back ? 4 - i : i)) % 4]);
      best.take(colour_fit(image, fit_homography(from, {corners.begin(), corners.end()}), chart));
    }
  if (!(best.first.misfit < like_a_chart) || best.first.seen < 24)
    return Error{"the area between the corners is not the chart", where, "centres of the chart's four corner patches",
                 "the dark brown, blue-green, black and white patches; give their centres again"};
  if (mirrored(best.first.map)) return mirrored_picture(file);
  return best.first.map;
}

}  // namespace witnessline::match

#include "view/fittings.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <numbers>

#include "view/fitting_solids.h"

namespace witnessline::view {
namespace {

constexpr double mm = 1e-3;
enum Stuff : std::uint8_t { nickel, dark_wood, bone, black, string_steel, pale_wood, pearl, hollow };
const std::vector<FittingStuff>& all_stuffs() {
  static const std::vector<FittingStuff> stuffs{{{0.02, 0.02, 0.02}, {0.60, 0.57, 0.52}, 0.05},        // nickel
                                                {{0.026, 0.019, 0.015}, {0.010, 0.010, 0.010}, 0.25},  // dark wood
                                                {{0.72, 0.66, 0.52}, {0.045, 0.045, 0.045}, 0.06},     // bone
                                                {{0.012, 0.012, 0.013}, {0.045, 0.045, 0.045}, 0.03},  // black
                                                {{0.03, 0.03, 0.03}, {0.45, 0.42, 0.36}, 0.12},        // string steel
                                                {{0.42, 0.27, 0.13}, {0.045, 0.045, 0.045}, 0.08},     // pale wood
                                                {{0.62, 0.62, 0.58}, {0.08, 0.08, 0.08}, 0.05},        // pearl
                                                {{0.004, 0.003, 0.003}, {0, 0, 0}, 0.5}};              // hollow
  return stuffs;
}

struct Pocket {
  double low_x = 1e9, high_x = -1e9, low_y = 1e9, high_y = -1e9, floor_z = 1e9;
  double middle_x() const { return (low_x + high_x) / 2; }
  double middle_y() const { return (low_y + high_y) / 2; }
};

/// Pockets of the front: cavity vertices on its side, joined over the mesh.
std::vector<Pocket> pockets_of(const Body& body) {
  const auto positions = body.positions();
  std::vector<std::uint32_t> root(body.size());
  for (std::uint32_t v = 0; v < root.size(); ++v) root[v] = v;
  const std::function<std::uint32_t(std::uint32_t)> find = [&](std::uint32_t v) {
    while (root[v] != v) v = root[v] = root[root[v]];
    return v;
  };
  const auto in = [&](std::uint32_t v) { return body.in(v, Region::cavity); };
  for (const Triangle& t : body.triangles())
    for (int i = 0; i < 3; ++i) {
      const std::uint32_t a = t[static_cast<std::size_t>(i)], b = t[static_cast<std::size_t>((i + 1) % 3)];
      if (in(a) && in(b)) root[find(a)] = find(b);
    }
  std::map<std::uint32_t, Pocket> by_root;
  for (std::uint32_t v = 0; v < root.size(); ++v) {
    if (!in(v)) continue;
    Pocket& p = by_root[find(v)];
    const Vec3 at = positions[v];
    p.low_x = std::min<double>(p.low_x, at.x), p.high_x = std::max<double>(p.high_x, at.x);
    p.low_y = std::min<double>(p.low_y, at.y), p.high_y = std::max<double>(p.high_y, at.y);
    p.floor_z = std::min<double>(p.floor_z, at.z);
  }
  std::vector<Pocket> pockets;
  for (const auto& [v, p] : by_root)
    if (p.high_x - p.low_x > 12 * mm && p.high_y - p.low_y > 8 * mm) pockets.push_back(p);
  std::sort(pockets.begin(), pockets.end(),
            [](const Pocket& a, const Pocket& b) { return a.middle_y() < b.middle_y(); });
  return pockets;
}

/// A capsule about a patch's middle line, anticlockwise; x turned about for what is seen from behind.
std::vector<Vec2d> outline_of(const Patch& patch, double x_sign) {
  const Vec2d a{x_sign * patch.x_m, patch.y_m},
      b{x_sign * patch.to_x_m.value_or(patch.x_m), patch.to_y_m.value_or(patch.y_m)};
  const double along = std::atan2(b.y - a.y, b.x - a.x);
  std::vector<Vec2d> out;
  constexpr int half = 20;
  for (const auto& [end, from] :
       {std::pair{b, along - std::numbers::pi / 2}, std::pair{a, along + std::numbers::pi / 2}})
    for (int i = 0; i <= half; ++i) {
      const double turn = from + std::numbers::pi * i / half;
      out.push_back({end.x + patch.radius_m * std::cos(turn), end.y + patch.radius_m * std::sin(turn)});
    }
  return out;
}

/// A sheet over what a part covers: flat, on the highest place under it.
void lay_sheet(SolidMaker& solids, const Body& body, const ListedPart& part, const Patch& patch) {
  const bool back = patch.face == "back";
  const Frame frame = back ? Frame{{}, {-1, 0, 0}, {0, 1, 0}, {0, 0, -1}} : Frame{};
  const std::vector<Vec2d> outline = outline_of(patch, back ? -1 : 1);
  Vec2d middle;
  for (const Vec2d p : outline) middle = middle + (1.0 / static_cast<double>(outline.size())) * p;
  double high = -1e9, low = 1e9;
  for (const Vec2d p : outline)
    for (const double share : {0.0, 0.35, 0.7, 0.98}) {
      const Vec2d q = middle + share * (p - middle);
      const Ray ray{static_cast<Vec3>(frame.out(q.x, q.y, 1)), static_cast<Vec3>(-1.0 * frame.z)};
      const Hit hit = body.cast({&ray, 1}).front();
      if (hit.missed()) continue;
      const double z = 1 - double{hit.distance};
      high = std::max(high, z), low = std::min(low, z);
    }
  if (high < low) return;
  const bool is_cover = part.name.find("cover") != std::string::npos || part.name.find("plate") != std::string::npos;
  constexpr double sheet = 2.2 * mm;  // ESTIMATE
  solids.raise(frame, outline, high - 0.3 * mm, high + sheet, 0.6 * mm, is_cover ? nickel : black);
  solids.mesh.feet.back().low_m = low - 1 * mm;  // whatever lies under it, arched or routed
}

constexpr std::array placed_words{"neck",    "pickup", "bridge", "tailpiece", "plate",
                                  "control", "tuner",  "string", "strap"};

}  // namespace

bool has_place(const ListedPart& part) {
  return !part.covers.empty() || std::any_of(placed_words.begin(), placed_words.end(), [&](const char* word) {
    return part.name.find(word) != std::string::npos;
  });
}

FittingMesh default_fittings(const Body& body, std::span<const ListedPart> parts, int strings) {
  const auto listed = [&](const char* word) {
    return std::any_of(parts.begin(), parts.end(),
                       [&](const ListedPart& part) { return part.name.find(word) != std::string::npos; });
  };
  SolidMaker solids;
  solids.mesh.stuffs = all_stuffs();
  Box3 box;
  for (const Vec3 p : body.positions()) box.add(p);
  const auto front_z = [&](double x, double y) {
    const Ray down{{static_cast<float>(x), static_cast<float>(y), static_cast<float>(box.high.z + 0.1)}, {0, 0, -1}};
    const Hit hit = body.cast({&down, 1}).front();
    return hit.missed() ? box.high.z : box.high.z + 0.1 - double{hit.distance};
  };
  const double size_y = box.high.y - box.low.y;
  const std::vector<Pocket> pockets = pockets_of(body);

  // The neck: where the body narrows to a stub at its upper end, or in a pocket that opens there.
  double stub_half = 0;
  for (const Vec3 p : body.positions())
    if (p.y > box.high.y - 6 * mm) stub_half = std::max(stub_half, std::abs(double{p.x}));
  const Pocket* neck_pocket = nullptr;
  const Pocket* hole = nullptr;
  const auto over_body = [&](double x, double y) {
    const Ray down{{static_cast<float>(x), static_cast<float>(y), static_cast<float>(box.high.z + 0.1)}, {0, 0, -1}};
    return !body.cast({&down, 1}).front().missed();
  };
  std::vector<const Pocket*> pickups;
  const Pocket* controls = nullptr;
  for (const Pocket& p : pockets) {
    const bool central = std::abs(p.middle_x()) < 18 * mm;
    if (central && !over_body(p.middle_x(), p.high_y + 8 * mm))
      neck_pocket = &p;
    else if (central && listed("pickup"))
      pickups.push_back(&p);
    else if (central)
      hole = &p;
    else if (!controls || p.high_x - p.low_x > controls->high_x - controls->low_x)
      controls = &p;
  }
  const double size_x = box.high.x - box.low.x;
  const bool has_own_neck = size_y > 2.5 * size_x;  // neck and head out of the same plank
  const bool has_stub = !has_own_neck && stub_half > 15 * mm && stub_half < 45 * mm;
  const bool has_neck = has_stub || (neck_pocket && listed("neck"));
  const double board_half = has_stub      ? stub_half - 1.5 * mm
                            : neck_pocket ? (neck_pocket->high_x - neck_pocket->low_x) / 2 - 1.5 * mm
                                          : 0;
  const double far_y = box.high.y + 1.2 * size_y;
  double board_y = 0, board_z = 0;
  if (has_neck) {
    board_y = has_stub ? box.high.y - 0.16 * size_y : neck_pocket->low_y - 12 * mm;
    const double under = has_stub ? std::max(front_z(0, board_y), front_z(0, box.high.y - 4 * mm))
                                  : front_z(neck_pocket->high_x + 12 * mm, neck_pocket->middle_y());
    board_z = under + (has_stub ? 6 * mm : 13 * mm);
    const double taper = 0.80;  // over its own length beyond the picture
    const auto board = [&](double inset, double y0) {
      const double h = board_half - inset;
      return std::vector<Vec2d>{{-h, y0}, {h, y0}, {taper * h, far_y}, {-taper * h, far_y}};
    };
    if (!has_stub)
      solids.raise({}, board(0, neck_pocket->low_y + 1.5 * mm), neck_pocket->floor_z, board_z - 5 * mm, 0.8 * mm,
                   pale_wood);
    if (has_stub)
      solids.raise({}, board(0, box.high.y + 0.2 * mm), board_z - 24 * mm, board_z - 5.5 * mm, 0.8 * mm, pale_wood);
    solids.raise({}, board(0, board_y), board_z - 5.5 * mm, board_z, 0.7 * mm, dark_wood);
    // Frets by the twelfth root of two, from a bridge set by the body below.
    const double bridge_y = pickups.empty() ? box.low.y + 0.36 * size_y : pickups.front()->low_y - 42 * mm;
    const double octave_y = has_stub ? box.high.y + 0.02 * size_y : board_y + 0.16 * size_y;
    const double scale = 2 * (octave_y - bridge_y);
    for (int fret = 8; fret <= 24; ++fret) {
      const double y = bridge_y + scale * std::pow(2.0, -fret / 12.0);
      if (y < board_y + 4 * mm || y > far_y - 10 * mm) continue;
      const double half = board_half * (1 - (1 - taper) * (y - board_y) / (far_y - board_y)) - 0.8 * mm;
      solids.rod({-half, y, board_z + 0.2 * mm}, {half, y, board_z + 0.2 * mm}, 1.1 * mm, nickel, 10);
      if (fret == 12 || fret == 9 || fret == 15 || fret == 17) {
        const double before = bridge_y + scale * std::pow(2.0, -(fret - 1) / 12.0);
        if ((y + before) / 2 > board_y + 5 * mm)
          solids.raise({{0, (y + before) / 2, 0}}, circle(3 * mm), board_z - 0.5 * mm, board_z + 0.12 * mm, 0.05 * mm,
                       pearl);
      }
    }
    // Bridge, what holds the strings, and the strings.
    const double bridge_z = front_z(0, bridge_y), saddle_z = std::max(bridge_z + 9 * mm, board_z + 4 * mm);
    const double spread = (pickups.empty() ? 0.84 : 0.92) * board_half;
    const bool tail = listed("tailpiece") || pickups.empty();
    const double tail_y = tail ? box.low.y + 0.13 * size_y : bridge_y - 18 * mm;
    if (tail) {
      solids.raise({{0, bridge_y, 0}}, rounded_box(spread + 26 * mm, 6 * mm, 5.5 * mm), bridge_z - 3 * mm,
                   bridge_z + 4 * mm, 2 * mm, dark_wood);
      solids.raise({{0, bridge_y, 0}}, rounded_box(spread + 9 * mm, 4 * mm, 3.5 * mm), bridge_z, saddle_z - 1 * mm,
                   2 * mm, dark_wood);
      solids.rod({-spread - 5 * mm, bridge_y, saddle_z - 1.2 * mm}, {spread + 5 * mm, bridge_y, saddle_z - 1.2 * mm},
                 1.5 * mm, bone, 12);
      const double low_z = front_z(0, tail_y), edge_z = front_z(0, box.low.y + 6 * mm);
      const double lift = std::atan2(low_z + 6 * mm - edge_z, tail_y - box.low.y);
      const double half_y = (tail_y - box.low.y) / 2 + 2 * mm;
      const Frame plate{{0, (tail_y + box.low.y - 2 * mm) / 2, (low_z + 6 * mm + edge_z) / 2},
                        {1, 0, 0},
                        {0, std::cos(lift), std::sin(lift)},
                        {0, -std::sin(lift), std::cos(lift)}};
      // A narrow strap from the tail end that widens to the bar the strings hook into.
      const double narrow = 0.45 * spread, wide = spread + 3 * mm;
      for (const auto& [from, to, low, high] :
           {std::array{narrow, 0.9 * narrow, -1.0, 0.3}, std::array{0.9 * narrow, wide, 0.3, 0.75}})
        solids.raise(plate, {{-from, low * half_y}, {from, low * half_y}, {to, high * half_y}, {-to, high * half_y}},
                     0.5 * mm, 2.5 * mm, 0.5 * mm, nickel);
      const Frame bar{plate.out(0, 0.82 * half_y, 0), plate.x, plate.y, plate.z};
      solids.raise(bar, rounded_box(wide + 2 * mm, 5 * mm, 4.5 * mm), 0, 8 * mm, 3 * mm, nickel);
    } else {
      solids.raise({{0, bridge_y - 8 * mm, 0}}, rounded_box(spread + 12 * mm, 22 * mm, 3 * mm), bridge_z - 1 * mm,
                   bridge_z + 2.5 * mm, 1 * mm, nickel);
      for (int s = 0; s < strings; ++s) {
        const double x = spread * (2.0 * s / std::max(1, strings - 1) - 1);
        solids.rod({x - 5 * mm, bridge_y, saddle_z - 4.2 * mm}, {x + 5 * mm, bridge_y, saddle_z - 4.2 * mm}, 4 * mm,
                   nickel, 16);
      }
      solids.raise({{0, bridge_y - 28 * mm, 0}}, rounded_box(spread + 12 * mm, 2 * mm, 1.5 * mm), bridge_z,
                   bridge_z + 10 * mm, 1 * mm, nickel);
    }
    const bool paired = strings == 8;
    const int courses = paired ? 4 : strings;
    for (int s = 0; s < strings; ++s) {
      const int course = paired ? s / 2 : s;
      const double apart = paired ? (s % 2 ? 1.1 : -1.1) * mm : 0;
      const double across_share = courses > 1 ? 2.0 * course / (courses - 1) - 1 : 0;
      const double x = spread * across_share + apart, far_x = taper * 0.84 * board_half * across_share + apart;
      const double radius = (strings == 4 ? 1.05 - 0.22 * course : 0.42 - 0.07 * course) * mm;
      const double start_z = tail ? front_z(0, tail_y) + 11 * mm : bridge_z + 6 * mm;
      solids.rod({x, tail ? tail_y - 4 * mm : bridge_y - 28 * mm, start_z}, {x, bridge_y, saddle_z}, radius,
                 string_steel, 6);
      solids.rod({x, bridge_y, saddle_z}, {far_x, far_y, board_z + 3 * mm}, radius, string_steel, 6);
    }
  }
  if (hole && listed("sound") && hole->high_x - hole->low_x > 40 * mm) {
    // A recess that stands for a sound hole is dark inside.
    std::vector<Vec2d> round = circle(1.0, 64);
    for (Vec2d& p : round)
      p = {p.x * ((hole->high_x - hole->low_x) / 2 - 1.5 * mm), p.y * ((hole->high_y - hole->low_y) / 2 - 1.5 * mm)};
    solids.raise({{hole->middle_x(), hole->middle_y(), 0}}, round, hole->floor_z - 1 * mm, hole->floor_z + 1.2 * mm,
                 0.01 * mm, hollow);
  }
  if (listed("pickup"))
    for (const Pocket* p : pickups) {
      const double half_x = (p->high_x - p->low_x) / 2 - 1.2 * mm, half_y = (p->high_y - p->low_y) / 2 - 1.2 * mm;
      const double z = front_z(p->high_x + 8 * mm, p->middle_y());
      const Frame at{{p->middle_x(), p->middle_y(), 0}};
      const double radius = std::min({half_x, half_y, 6 * mm});
      solids.raise(at, rounded_box(half_x, half_y, radius), p->floor_z, z + 5 * mm, 1.5 * mm, black);
      const int poles = has_neck ? strings : 6;
      for (int s = 0; s < poles; ++s) {
        const double x = 0.78 * half_x * (2.0 * s / std::max(1, poles - 1) - 1);
        solids.raise({{p->middle_x() + x, p->middle_y(), 0}}, circle(std::min(3.0 * mm, 0.4 * half_y), 20), z,
                     z + 5.7 * mm, 0.4 * mm, nickel);
      }
    }
  if (controls && (listed("plate") || listed("control"))) {
    double margin = 6 * mm;
    const auto fits = [&](double by) {
      for (const double x : {controls->low_x - by, controls->high_x + by})
        for (const double y : {controls->low_y - by, controls->middle_y(), controls->high_y + by})
          if (!over_body(x, y)) return false;
      return true;
    };
    while (margin > 1 * mm && !fits(margin + 4 * mm)) margin -= 1 * mm;
    const double half_x = (controls->high_x - controls->low_x) / 2 + margin,
                 half_y = (controls->high_y - controls->low_y) / 2 + margin;
    const double z = front_z(controls->low_x - 10 * mm, controls->middle_y());
    const Frame at{{controls->middle_x(), controls->middle_y(), 0}};
    solids.raise(at, rounded_box(half_x, half_y, std::min({half_x, half_y, 10 * mm})), z - 1 * mm, z + 1.6 * mm,
                 0.7 * mm, nickel);
    const bool long_y = half_y > half_x;
    for (const double share : {-0.5, 0.15}) {
      const Frame knob{{controls->middle_x() + (long_y ? 0 : share * half_x),
                        controls->middle_y() + (long_y ? share * half_y : 0), 0}};
      solids.raise(knob, circle(9 * mm, 40), z + 2.5 * mm, z + 15 * mm, 1.5 * mm, nickel);
    }
  }
  for (const ListedPart& part : parts)
    for (const Patch& patch : part.covers)
      if (patch.face != "sides") lay_sheet(solids, body, part, patch);
  // Strap buttons only where a neck says that the instrument is held.
  if (has_neck) {
    const double mid_z = (box.low.z + box.high.z) / 2;
    const Frame tail_end{{0, box.low.y + 0.5 * mm, mid_z}, {1, 0, 0}, {0, 0, 1}, {0, -1, 0}};
    solids.raise(tail_end, circle(4 * mm), -1 * mm, 7 * mm, 1 * mm, nickel);
    solids.raise(tail_end, circle(7 * mm), 7 * mm, 10.5 * mm, 1.5 * mm, nickel);
  }
  return std::move(solids.mesh);
}

}  // namespace witnessline::view

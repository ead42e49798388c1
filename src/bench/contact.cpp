#include "bench/contact.h"

#include <fmt/format.h>

#include <cmath>

#include "base/parallel.h"

namespace witnessline::bench {

namespace {

struct Spot {
  std::uint32_t vertex;
  double a_m, b_m, gap_m, cosine, area_m2;
};

/// How far the thing's face lies behind its foremost point; negative: past its rim.
double rise_m(const ContactBody& c, double a_m, double b_m) {
  const auto rim = [&](double at_m, double half_m) {  // a rounded end
    const double over_m = std::abs(at_m) - (half_m - c.height_m);
    if (over_m <= 0) return 0.0;
    return over_m < c.height_m ? c.height_m - std::sqrt(c.height_m * c.height_m - over_m * over_m) : -1.0;
  };
  switch (c.shape) {
    case ContactShape::cylinder: {
      if (std::abs(a_m) > c.half_length_m || std::abs(b_m) >= c.height_m) return -1;
      return c.height_m - std::sqrt(c.height_m * c.height_m - b_m * b_m);
    }
    case ContactShape::hull: {
      const double x = a_m / c.half_length_m, y = b_m / c.half_width_m, r = x * x + y * y;
      return r < 1 ? c.height_m * (1 - std::sqrt(1 - r)) : -1;
    }
    case ContactShape::plate:
    case ContactShape::strip:
      break;
  }
  const double along_m = rim(a_m, c.half_length_m), across_m = rim(b_m, c.half_width_m);
  return along_m < 0 || across_m < 0 ? -1 : along_m + across_m;
}

/// Sums in whole steps, of a 2^40th of the load for forces: the same in any order of the vertices.
class Steps {
 public:
  explicit Steps(double per) : per_(0x1p40 / per) {}
  void add(double v) { sum_ += static_cast<std::int64_t>(v * per_); }
  double value() const { return static_cast<double>(sum_) / per_; }

 private:
  double per_;
  std::int64_t sum_ = 0;
};

/// Energy of the springs less the work of the load, its slope and its curvature in (delta, t1, t2).
struct Balance {
  double energy_J = 0;
  std::array<double, 3> slope{};
  std::array<std::array<double, 3>, 3> curvature{};
};

Balance balance(const ContactBody& c, const std::vector<Spot>& spots, const std::array<double, 3>& x) {
  const double k = c.foundation_Pa_m;
  Steps energy(c.load_N), f0(c.load_N), f1(c.load_N), f2(c.load_N);
  // A spring rate of load over 1 mm is an ordinary one.
  const double rate = 1e3 * c.load_N;
  std::array<Steps, 6> h{Steps(rate), Steps(rate), Steps(rate), Steps(rate), Steps(rate), Steps(rate)};
  for (const Spot& s : spots) {
    const double w = x[0] + x[1] * s.a_m + x[2] * s.b_m - s.gap_m;
    if (!(w > 0)) continue;
    const double ka = k * s.cosine * s.cosine * s.area_m2, f = ka * w;
    energy.add(0.5 * f * w), f0.add(f);
    h[0].add(ka);
    if (c.pivot_N_m <= 0) continue;
    f1.add(f * s.a_m), f2.add(f * s.b_m);
    h[1].add(ka * s.a_m), h[2].add(ka * s.b_m), h[3].add(ka * s.a_m * s.a_m);
    h[4].add(ka * s.a_m * s.b_m), h[5].add(ka * s.b_m * s.b_m);
  }
  Balance out;
  const double p = c.pivot_N_m;
  out.energy_J = energy.value() + 0.5 * p * (x[1] * x[1] + x[2] * x[2]) - c.load_N * x[0];
  out.slope = {f0.value() - c.load_N, f1.value() + p * x[1], f2.value() + p * x[2]};
  const double h0 = h[0].value(), h1 = h[1].value(), h2 = h[2].value(), h4 = h[4].value();
  out.curvature = {{{h0, h1, h2}, {h1, h[3].value() + p, h4}, {h2, h4, h[5].value() + p}}};
  return out;
}

/// Step of Newton's method; the curvature is positive definite once anything touches.
std::array<double, 3> newton_step(const Balance& at, bool tilts) {
  const auto& h = at.curvature;
  const auto& g = at.slope;
  if (!tilts) return {-g[0] / h[0][0], 0, 0};
  // Elimination of a symmetric system of three.
  const double l1 = h[1][0] / h[0][0], l2 = h[2][0] / h[0][0];
  const double d1 = h[1][1] - l1 * h[0][1], m = h[2][1] - l2 * h[0][1], l3 = m / d1;
  const double d2 = h[2][2] - l2 * h[0][2] - l3 * m;
  const double y0 = -g[0], y1 = -g[1] - l1 * y0, y2 = -g[2] - l2 * y0 - l3 * y1;
  const double x2 = y2 / d2, x1 = (y1 - m * x2) / d1, x0 = (y0 - h[0][1] * x1 - h[0][2] * x2) / h[0][0];
  return {x0, x1, x2};
}

/// Where springs and load balance, by Newton's method on the convex energy; false: nowhere found.
bool solve(const ContactBody& c, const std::vector<Spot>& spots, double start_m, std::array<double, 3>& x) {
  const bool tilts = c.pivot_N_m > 0;
  x = {start_m, 0, 0};
  Balance at = balance(c, spots, x);
  const double turn_N_m = c.load_N * 1e-2;  // a moment is small against the load on a lever of 10 mm
  for (int round = 0; round < 100; ++round) {
    constexpr double small = 1e-8;
    if (std::abs(at.slope[0]) < small * c.load_N && (!tilts || std::hypot(at.slope[1], at.slope[2]) < small * turn_N_m))
      return true;
    if (!(at.curvature[0][0] > 0)) return false;
    const auto step = newton_step(at, tilts);
    double share = 1;
    for (int halved = 0; halved < 30; ++halved, share *= 0.5) {
      const std::array<double, 3> next{x[0] + share * step[0], x[1] + share * step[1], x[2] + share * step[2]};
      const Balance there = balance(c, spots, next);
      // The energy is known to a 2^40th of the load times a metre: below that any step is as good.
      if (there.energy_J > at.energy_J + 1e-10 * c.load_N || !(there.curvature[0][0] > 0)) continue;
      x = next, at = there;
      break;
    }
    if (share < 1e-8) break;  // no step is better than where it is
  }
  return std::abs(at.slope[0]) < 1e-4 * c.load_N;
}

struct Frame {
  Vec3d origin, along, across, push;
};

Frame frame_of(const Posture& p) {
  const Vec3d push = unit_of(p.push);
  const Vec3d along = unit_of(p.along - dot(p.along, push) * push, across(push));
  return {p.at, along, cross(push, along), push};
}

/// Balls round every few vertices, so that what is far from a thing is passed over together.
struct Balls {
  static constexpr std::size_t each = 128;
  struct Ball {
    Vec3d middle;
    double radius_m;
    Vec3d facing;    ///< mean normal
    double opening;  ///< sine of how far a normal leans from it; 1: anyhow
  };
  explicit Balls(const Body& body) : all((body.size() + each - 1) / each) {
    const auto places = body.positions(), normals = body.normals();
    for_chunks(body.size(), each, [&](std::size_t begin, std::size_t end) {
      Box3 box;
      for (std::size_t v = begin; v < end; ++v) box.add(places[v]);
      const Vec3d middle = 0.5 * (box.low + box.high);
      double radius_m = 0;
      for (std::size_t v = begin; v < end; ++v) radius_m = std::max(radius_m, length(Vec3d(places[v]) - middle));
      Vec3d sum{0, 0, 0};
      for (std::size_t v = begin; v < end; ++v) sum += Vec3d(normals[v]);
      const Vec3d facing = unit_of(sum);
      double least = 1;
      for (std::size_t v = begin; v < end; ++v) least = std::min(least, dot(Vec3d(normals[v]), facing));
      const double opening = least > 0 ? std::sqrt(std::max(0.0, 1 - least * least)) : 1.0;
      all[begin / each] = {middle, radius_m, facing, opening + 1e-6};
    });
  }
  std::vector<Ball> all;
};

/// Vertices before the thing whose gap is at most `within_m` beyond the least, and how far out those left away lie.
struct Before {
  std::vector<Spot> spots;
  double least_m = 1e300, most_m = -1e300;  ///< gaps
  double far_a_m = 0, far_b_m = 0;          ///< of all that lies before it
};
Before spots_before(const ContactBody& c, const Frame& f, const Body& body, const Balls& balls, double within_m) {
  Before out;
  const auto places = body.positions(), normals = body.normals();
  const auto areas = body.areas_m2();
  const double half_across_m = c.shape == ContactShape::cylinder ? c.height_m : c.half_width_m;
  for (std::size_t n = 0; n < balls.all.size(); ++n) {
    const auto& [middle, radius_m, facing, opening] = balls.all[n];
    if (dot(facing, f.push) > opening) continue;  // all of it looks away
    const Vec3d to = middle - f.origin;
    if (std::abs(dot(to, f.along)) > c.half_length_m + radius_m ||
        std::abs(dot(to, f.across)) > half_across_m + radius_m)
      continue;
    if (dot(to, f.push) - radius_m > out.least_m + within_m) {
      out.far_a_m = std::max(out.far_a_m, std::min(c.half_length_m, std::abs(dot(to, f.along)) + radius_m));
      out.far_b_m = std::max(out.far_b_m, std::min(half_across_m, std::abs(dot(to, f.across)) + radius_m));
      continue;
    }
    for (std::size_t v = n * Balls::each; v < std::min(body.size(), (n + 1) * Balls::each); ++v) {
      Spot s;
      s.cosine = -dot(Vec3d(normals[v]), f.push);
      if (!(s.cosine > 0)) continue;
      const Vec3d d = Vec3d(places[v]) - f.origin;
      s.a_m = dot(d, f.along), s.b_m = dot(d, f.across);
      if (std::abs(s.a_m) > c.half_length_m || std::abs(s.b_m) > half_across_m) continue;
      const double rise = rise_m(c, s.a_m, s.b_m);
      if (rise < 0) continue;
      s.gap_m = dot(d, f.push) + rise;
      out.far_a_m = std::max(out.far_a_m, std::abs(s.a_m)), out.far_b_m = std::max(out.far_b_m, std::abs(s.b_m));
      if (s.gap_m > out.least_m + within_m) continue;
      s.vertex = static_cast<std::uint32_t>(v);
      s.area_m2 = static_cast<double>(areas[v]);
      out.least_m = std::min(out.least_m, s.gap_m);
      out.spots.push_back(s);
    }
  }
  std::erase_if(out.spots, [&](const Spot& one) { return one.gap_m > out.least_m + within_m; });
  for (const Spot& s : out.spots) out.most_m = std::max(out.most_m, s.gap_m);
  return out;
}

Pressed pressed(const ContactBody& c, const Posture& posture, const Body& body, const Balls& balls) {
  expects(c.load_N > 0 && c.foundation_Pa_m > 0, "a thing that touches has a load and a stiffness");
  const Frame f = frame_of(posture);
  Pressed out;
  std::array<double, 3> x{};
  Before before;
  // A thing sinks in a little way; what lies further back is looked at only where it could be reached.
  for (double within_m = 0.01;; within_m *= 4) {
    before = spots_before(c, f, body, balls, within_m);
    if (before.spots.empty() || (c.reach_m > 0 && before.least_m > c.reach_m)) return out;
    // From the deep side the load is a convex function of the depth, and Newton's method comes down to it from there.
    if (!solve(c, before.spots, before.most_m + 1e-4, x)) return out;
    const double deepest_m = x[0] + std::abs(x[1]) * before.far_a_m + std::abs(x[2]) * before.far_b_m;
    if (deepest_m - before.least_m <= within_m || within_m > 1) break;
  }
  out.held = true;
  out.approach_m = x[0] - before.least_m;
  out.tilt_rad = {x[1], x[2]};
  Steps area(1e-2);
  for (const Spot& s : before.spots) {
    const double w = x[0] + x[1] * s.a_m + x[2] * s.b_m - s.gap_m;
    if (!(w > 0)) continue;
    const double pressure = c.foundation_Pa_m * w * s.cosine;
    out.vertex.push_back(s.vertex);
    out.pressure_Pa.push_back(static_cast<float>(pressure));
    out.peak_Pa = std::max(out.peak_Pa, pressure);
    area.add(s.area_m2);
  }
  out.area_m2 = area.value();
  return out;
}

}  // namespace

Pressed press(const ContactBody& c, const Posture& posture, const Body& body) {
  return pressed(c, posture, body, Balls(body));
}

std::vector<Pressed> press_all(const std::vector<Pressing>& pressings, const Body& body) {
  const Balls balls(body);
  std::vector<Pressed> all(pressings.size());
  for_chunks(pressings.size(), 1, [&](std::size_t i, std::size_t) {
    all[i] = pressed(*pressings[i].contact_body, pressings[i].posture, body, balls);
  });
  return all;
}

double time_against_s(const Life& life, Touch by) {
  double sum_s = 0;
  for (const TouchTime& t : life.touches) sum_s += t.by == by ? t.time_s : 0.0;
  return sum_s;
}

namespace {

/// How it was taken to be held, and the hours that come to nothing so.
std::vector<Note> notes_on_holding(const Life& life) {
  std::vector<Note> notes;
  bool touched = false;
  for (const TouchTime& t : life.touches) {
    if (!(t.time_s > 0)) continue;
    touched = true;
    const auto& things = contact_bodies(life.held);
    if (std::any_of(things.begin(), things.end(), [&](const ContactBody& c) { return c.by == t.by; })) continue;
    std::string name = words(static_cast<const Touch*>(nullptr))[static_cast<std::size_t>(t.by)];
    std::replace(name.begin(), name.end(), '_', ' ');
    notes.push_back({Severity::information,
                     fmt::format("{:.0f} h against '{}' wear nothing: played {}, it does not touch", t.time_s / 3600,
                                 name, as_held(life)),
                     ""});
  }
  if (touched)
    notes.insert(notes.begin(), {Severity::information,
                                 fmt::format("worn as played {}{}", as_held(life),
                                             life.hand == Hand::unstated || life.held == Hold::unstated
                                                 ? ": what is usual, where a life does not say (`hand`, `held`)"
                                                 : ""),
                                 ""});
  return notes;
}

}  // namespace

ContactField contact_field(const Life& life, const Body& body, Key key, std::span<const Shelter> shelter) {
  expects(shelter.empty() || shelter.size() == body.size(), "shelter is given for every vertex");
  ContactField field;
  field.dry_Pa_m.assign(body.size(), 0.0f);
  field.sweat_Pa_m = field.hard_Pa_m = field.dry_Pa_m;
  field.most.assign(body.size(), 255);
  field.notes = notes_on_holding(life);
  const std::vector<Pressing> jobs = pressings(life, body, key);
  const std::vector<Pressed> all = press_all(jobs, body);

  // Touch by touch, so that the one that did most is known; postures in their order, so sums have one order.
  std::vector<float> of_touch(body.size()), best(body.size());
  for (std::size_t first = 0; first < jobs.size();) {
    const Touch by = jobs[first].contact_body->by;
    std::size_t end = first;
    std::fill(of_touch.begin(), of_touch.end(), 0.0f);
    while (end < jobs.size() && jobs[end].contact_body->by == by) {
      const ContactBody& c = *jobs[end].contact_body;
      Contact contact{by, c.name, time_against_s(life, by), 0, 0, 0, 0};
      contact.slid_m = c.speed_m_s * contact.time_s;
      int held = 0;
      const std::size_t begin = end;
      for (; end < jobs.size() && jobs[end].contact_body == &c; ++end) held += all[end].held ? 1 : 0;
      const double each = held ? c.wear_number * contact.slid_m / held : 0;
      std::vector<float>& sum = c.sweaty ? field.sweat_Pa_m : field.dry_Pa_m;
      for (std::size_t i = begin; i < end; ++i) {
        const Pressed& p = all[i];
        if (!p.held) continue;
        contact.area_m2 += p.area_m2 / held, contact.peak_Pa += p.peak_Pa / held;
        for (std::size_t n = 0; n < p.vertex.size(); ++n) {
          if (!shelter.empty() && shelter[p.vertex[n]] != Shelter::open) continue;
          const auto rub = static_cast<float>(each * static_cast<double>(p.pressure_Pa[n]));
          sum[p.vertex[n]] += rub;
          of_touch[p.vertex[n]] += rub;
          if (c.hard) field.hard_Pa_m[p.vertex[n]] += rub;
        }
      }
      contact.mean_Pa = contact.area_m2 > 0 ? c.load_N / contact.area_m2 : 0;
      if (held == 0)
        field.notes.push_back(
            {Severity::information, fmt::format("{}: finds nothing of this body to touch", c.name), ""});
      field.contacts.push_back(std::move(contact));
    }
    for (std::size_t v = 0; v < body.size(); ++v)
      if (of_touch[v] > best[v]) best[v] = of_touch[v], field.most[v] = static_cast<std::uint8_t>(by);
    first = end;
  }
  return field;
}

}  // namespace witnessline::bench

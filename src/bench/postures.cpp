// What touches an instrument and how it is held. Every figure here is an ESTIMATE: docs/estimates.md says how sure each
// is and what moves with it.
#include <cmath>
#include <functional>
#include <limits>

#include "bench/contact.h"
#include "bench/wear_unknowns.h"

namespace witnessline::bench {

namespace {

/// The body's outline as a player sees it: its box, and how far it reaches to either side at a height.
class Silhouette {
 public:
  /// `mirrored`: as the right-handed player's image in a mirror sees it.
  Silhouette(const Body& body, bool mirrored) {
    const auto seen = [&](Vec3 p) { return mirrored ? Vec3{-p.x, p.y, p.z} : p; };
    for (const Vec3 p : body.positions()) box_.add(seen(p));
    bass_.assign(bins, std::numeric_limits<double>::infinity());
    treble_.assign(bins, -std::numeric_limits<double>::infinity());
    for (const Vec3 at : body.positions()) {
      const Vec3 p = seen(at);
      double& bass = bass_[bin(static_cast<double>(p.y))];
      double& treble = treble_[bin(static_cast<double>(p.y))];
      bass = std::min(bass, static_cast<double>(p.x)), treble = std::max(treble, static_cast<double>(p.x));
    }
  }
  double front_m() const { return box_.high.z; }
  double back_m() const { return box_.low.z; }
  double middle_m() const { return 0.5 * (box_.low.z + box_.high.z); }
  /// A share of the length, from the tail end.
  double along_m(double share) const { return box_.low.y + share * (box_.high.y - box_.low.y); }
  double length_m() const { return box_.high.y - box_.low.y; }
  double bass_m(double y_m) const { return bass_[bin(y_m)]; }
  double treble_m(double y_m) const { return treble_[bin(y_m)]; }
  double widest_m() const { return std::max(-box_.low.x, box_.high.x); }

  /// The place furthest towards the neck on one side (bass: -1, treble: 1), well off the middle.
  Vec3d shoulder(double side) const {
    for (std::size_t i = bins; i-- > 0;) {
      const double reach_m = side < 0 ? -bass_[i] : treble_[i];
      if (reach_m > 0.25 * widest_m())
        return {0.9 * side * reach_m, along_m((static_cast<double>(i) + 0.5) / bins), middle_m()};
    }
    return {0, box_.high.y, middle_m()};
  }
  /// How far up the wide part goes that lies on a lap: a neck and head out of the same plank are left out.
  double wide_m() const {
    for (std::size_t i = bins; i-- > 0;)
      if (std::max(-bass_[i], treble_[i]) > 0.75 * widest_m()) return (static_cast<double>(i) + 1) / bins * length_m();
    return length_m();
  }
  /// Height of the narrowest place of the treble side between the bouts.
  double treble_waist_m() const {
    double best_m = along_m(0.5), least_m = std::numeric_limits<double>::infinity();
    for (std::size_t i = bins * 4 / 10; i <= bins * 65 / 100; ++i)
      if (treble_[i] > 0 && treble_[i] < least_m - 1e-4)
        least_m = treble_[i], best_m = along_m((static_cast<double>(i) + 0.5) / bins);
    return best_m;
  }

 private:
  static constexpr std::size_t bins = 60;
  std::size_t bin(double y_m) const {
    const double share = (y_m - box_.low.y) / std::max(1e-9, box_.high.y - box_.low.y);
    return static_cast<std::size_t>(std::clamp(share * bins, 0.0, bins - 1.0));
  }
  Box3 box_;
  std::vector<double> bass_, treble_;
};

/// One draw of a posture: standard normals by name.
class Draw {
 public:
  explicit Draw(Key key) : key_(key) {}
  double operator()(std::string_view what) const { return std::clamp(normal(key_.with(what)), -2.5, 2.5); }

 private:
  Key key_;
};

constexpr double deg = 0.017453292519943295;

Vec3d turned(double x, double y, double angle_rad) {
  return {x * std::cos(angle_rad) - y * std::sin(angle_rad), x * std::sin(angle_rad) + y * std::cos(angle_rad), 0};
}

using Place = std::function<Posture(const Silhouette&, const Draw&)>;

struct Held {
  ContactBody contact_body;
  Place place;
};
Posture mirrored(Posture p) {
  p.at.x = -p.at.x, p.push.x = -p.push.x, p.along.x = -p.along.x;
  return p;
}

ContactBody contact_body(Touch by, std::string name, ContactShape shape, double half_length_m, double half_width_m,
                         double height_m) {
  ContactBody c;
  c.by = by, c.name = std::move(name), c.shape = shape;
  c.half_length_m = half_length_m, c.half_width_m = half_width_m, c.height_m = height_m;
  return c;
}
struct Bed {
  double foundation_Pa_m, load_N, pivot_N_m, speed_m_s, wear_number;
  int draws = 24;
  double reach_m = 0;
};
ContactBody on(ContactBody c, Bed bed, bool sweaty = false, bool hard = false) {
  c.foundation_Pa_m = bed.foundation_Pa_m, c.load_N = bed.load_N, c.pivot_N_m = bed.pivot_N_m;
  c.speed_m_s = bed.speed_m_s, c.sweaty = sweaty, c.hard = hard, c.draws = bed.draws;
  c.wear_number = bed.wear_number * wear_unknown(wear_of(c.by, hard)).value;
  c.reach_m = bed.reach_m;
  return c;
}

// Archard's K against a coat: published orders run from 1e-5 to 1e-3 (rabinowicz1995, from memory, for smooth hard
// things); skin and cloth are put at the soft end of that and below. Practice then moves each (wear_unknowns.h).
constexpr double skin = 1e-5, cloth = 3e-6, plush = 1.5e-6, leather = 1e-5, metal = 1e-4, nail = 4e-5, foam = 1e-5;

// Strings keep the picking hand up: it reaches into no pocket (reach).
void hands(std::vector<Held>& all) {
  all.push_back({on(contact_body(Touch::forearm, "forearm", ContactShape::cylinder, 0.11, 0.045, 0.045),
                    {1.5e6, 8, 0, 0.02, skin, 32}, true),
                 [](const Silhouette& o, const Draw& d) {
                   const double y = o.along_m(0.30) + 0.055 * o.length_m() * d("along");
                   const Vec3d at{o.bass_m(y), y, o.front_m()};
                   const Vec3d hand{0.015 * d("hand"), o.along_m(0.45) + 0.06 * o.length_m() * d("hand along"),
                                    o.front_m() + 0.025 + 0.01 * d("hand up")};
                   const double lean = (35 + 8 * d("lean")) * deg;
                   const Vec3d along = unit_of(hand - at), push{std::sin(lean), 0, -std::cos(lean)};
                   return Posture{at, unit_of(push - dot(push, along) * along), along};
                 }});
  all.push_back({on(contact_body(Touch::picking_hand, "heel of the hand", ContactShape::hull, 0.035, 0.022, 0.025),
                    {1.5e6, 2, 0, 0.02, skin, 48, 0.010}, true),
                 [](const Silhouette& o, const Draw& d) {
                   return Posture{
                       {0.02 + 0.012 * d("across"), o.along_m(0.33) + 0.025 * o.length_m() * d("along"), o.front_m()},
                       {0, 0, -1},
                       turned(1, 0, (40 + 12 * d("turn")) * deg)};
                 }});
  all.push_back({on(contact_body(Touch::picking_hand, "strokes", ContactShape::hull, 0.012, 0.006, 0.006),
                    {4e6, 0.4, 0, 0.01, nail, 384, 0.006}, false, true),
                 [](const Silhouette& o, const Draw& d) {
                   return Posture{
                       {0.034 + 0.014 * d("across"), o.along_m(0.52) + 0.05 * o.length_m() * d("along"), o.front_m()},
                       {0, 0, -1},
                       turned(1, 0, 15 * d("turn") * deg)};
                 }});
  all.push_back({on(contact_body(Touch::fretting_hand, "palm at the shoulder", ContactShape::hull, 0.04, 0.028, 0.03),
                    {1.5e6, 4, 0, 0.003, skin}, true),  // up there for about a seventh of its hours
                 [](const Silhouette& o, const Draw& d) {
                   const Vec3d at = o.shoulder(1);
                   return Posture{{at.x, at.y - 0.01 + 0.01 * d("along"), at.z + 0.008 * d("up")},
                                  unit_of({-0.5 + 0.15 * d("lean"), -0.8, 0}),
                                  {0, 0, 1}};
                 }});
}

void body_of_the_player(std::vector<Held>& all) {
  all.push_back({on(contact_body(Touch::buckle, "buckle", ContactShape::plate, 0.030, 0.022, 0.006),
                    {3e6, 5, 0.1, 0.008, metal, 96}, false, true),
                 [](const Silhouette& o, const Draw& d) {
                   return Posture{{0.030 * d("across"), o.along_m(0.47) + 0.06 * o.length_m() * d("along"), o.back_m()},
                                  unit_of({0.15 * d("lean"), 0.15 * d("lean along"), 1}),
                                  turned(1, 0, 20 * d("turn") * deg)};
                 }});
  all.push_back(
      {on(contact_body(Touch::thigh, "thigh", ContactShape::cylinder, 0.14, 0.08, 0.08), {8e5, 20, 0, 0.004, cloth}),
       [](const Silhouette& o, const Draw& d) {
         const double y = o.treble_waist_m() + 0.025 * o.length_m() * d("along");
         return Posture{{o.treble_m(y), y, o.middle_m()},
                        unit_of({-1, 0.1 * d("lean"), 0.06 * d("tilt")}),
                        unit_of({0.1 * d("tip"), 0.15 * d("turn"), 1})};
       }});
  all.push_back(
      {on(contact_body(Touch::chest, "chest", ContactShape::hull, 0.18, 0.14, 0.09), {3e5, 12, 2, 0.006, cloth}),
       [](const Silhouette& o, const Draw& d) {
         const double y = o.along_m(0.55) + 0.04 * o.length_m() * d("along");
         const double lean = (22 + 8 * d("lean")) * deg;
         return Posture{{0.6 * o.bass_m(y), y, o.back_m()}, {std::sin(lean), 0, std::cos(lean)}, {0, 1, 0}};
       }});
}

void strap(std::vector<Held>& all) {
  const Bed end{4e6, 12, 0.5, 0.002, leather}, band{2e6, 4, 0.3, 0.004, leather};
  all.push_back(
      {on(contact_body(Touch::strap_tail, "strap's end at the tail", ContactShape::strip, 0.028, 0.022, 0.004), end),
       [](const Silhouette& o, const Draw& d) {
         return Posture{{-0.006 + 0.006 * d("across"), o.along_m(0), o.middle_m() + 0.003 * d("up")},
                        {0, 1, 0},
                        turned(1, 0, 0) + Vec3d{0, 0, 0.25 * d("turn")}};
       }});
  all.push_back(
      {on(contact_body(Touch::strap_tail, "strap over the tail's back edge", ContactShape::strip, 0.05, 0.022, 0.004),
          band),
       [](const Silhouette& o, const Draw& d) {
         return Posture{{-0.03 + 0.01 * d("across"), o.along_m(0.02), o.back_m()},
                        unit_of({0, 0.6 + 0.15 * d("lean"), 1}),
                        unit_of({-1, 0.35 + 0.1 * d("turn"), 0})};
       }});
  all.push_back(
      {on(contact_body(Touch::strap_neck, "strap's end at the neck", ContactShape::strip, 0.028, 0.022, 0.004), end),
       [](const Silhouette& o, const Draw& d) {
         const Vec3d tip = o.shoulder(-1);
         return Posture{{tip.x + 0.006 * d("across"), tip.y, tip.z + 0.003 * d("up")},
                        unit_of({0.2 * d("lean"), -1, 0}),
                        Vec3d{1, 0, 0.25 * d("turn")}};
       }});
  all.push_back({on(contact_body(Touch::strap_neck, "strap over the shoulder's back edge", ContactShape::strip, 0.05,
                                 0.022, 0.004),
                    band),
                 [](const Silhouette& o, const Draw& d) {
                   const Vec3d tip = o.shoulder(-1);
                   return Posture{{tip.x + 0.008 * d("across"), tip.y - 0.02, o.back_m()},
                                  unit_of({0.25 + 0.1 * d("lean"), -0.5 + 0.15 * d("lean along"), 1}),
                                  unit_of({-0.5 + 0.2 * d("turn"), 1, 0})};
                 }});
}

// Flat across the thighs: tail end at the playing hand, face up, the bass side to the player. No strap, no forearm over
// the edge, no chest; the hand that stops the strings holds a bar and touches strings alone.
void flat_on_the_lap(std::vector<Held>& all) {
  for (const double side : {-1.0, 1.0})
    all.push_back({on(contact_body(Touch::thigh, side < 0 ? "thigh under the tail" : "thigh under the neck",
                                   ContactShape::cylinder, 0.2, 0.08, 0.08),
                      {8e5, 15, 0, 0.004, cloth}),
                   [side](const Silhouette& o, const Draw& d) {
                     const double apart_m = std::min(0.16, 0.3 * o.length_m()) + 0.015 * d("apart");
                     return Posture{{0, o.along_m(0.38) + side * apart_m + 0.03 * d("along"), o.back_m()},
                                    unit_of({0.08 * d("lean"), 0.05 * d("tip"), 1}),
                                    unit_of({1, side * 0.15 + 0.08 * d("turn"), 0.06 * d("slope")})};
                   }});
  all.push_back({on(contact_body(Touch::thigh, "lap at the near edge", ContactShape::hull, 0.14, 0.09, 0.07),
                    {3e5, 6, 2, 0.004, cloth}),
                 [](const Silhouette& o, const Draw& d) {
                   const double y = o.along_m(0) + 0.5 * o.wide_m() + 0.05 * o.length_m() * d("along");
                   return Posture{{o.bass_m(y), y, o.back_m() + 0.006 * d("up")},
                                  unit_of({1, 0.08 * d("turn"), 0.35 + 0.1 * d("lean")}),
                                  {0, 1, 0}};
                 }});
  all.push_back({on(contact_body(Touch::picking_hand, "palm by the bridge", ContactShape::hull, 0.035, 0.022, 0.025),
                    {1.5e6, 2, 0, 0.02, skin, 48, 0.010}, true),
                 [](const Silhouette& o, const Draw& d) {
                   return Posture{{-0.015 + 0.012 * d("across"), o.along_m(0) + (0.25 + 0.05 * d("along")) * o.wide_m(),
                                   o.front_m()},
                                  {0, 0, -1},
                                  turned(1, 0, (30 + 12 * d("turn")) * deg)};
                 }});
  all.push_back({on(contact_body(Touch::picking_hand, "thumb and picks", ContactShape::hull, 0.012, 0.006, 0.006),
                    {4e6, 0.4, 0, 0.01, nail, 384, 0.006}, false, true),
                 [](const Silhouette& o, const Draw& d) {
                   return Posture{
                       // over the strings, 50 mm wide
                       {0.013 * d("across"), o.along_m(0) + (0.45 + 0.08 * d("along")) * o.wide_m(), o.front_m()},
                       {0, 0, -1},
                       turned(1, 0, 15 * d("turn") * deg)};
                 }});
}

void at_rest(std::vector<Held>& all) {
  const ContactBody wide = contact_body(Touch::case_lining, "", ContactShape::plate, 0.5, 0.5, 0.01);
  const auto lining = [&](const char* name, double load_N, Vec3d push, Vec3d along) {
    ContactBody c = on(wide, {push.z != 0 ? 3e5 : 8e5, load_N, 8, 0.004, plush});
    c.name = name;
    c.draws = 4;  // wide and soft: more would say the same
    all.push_back({c, [push, along](const Silhouette& o, const Draw& d) {
                     return Posture{{0.02 * d("across"), o.along_m(0.5) + 0.02 * d("along"), o.middle_m()},
                                    unit_of(push + Vec3d{0.05 * d("lean"), 0.05 * d("lean along"), 0.05 * d("tip")}),
                                    along};
                   }});
  };
  lining("case bed", 25, {0, 0, 1}, {0, 1, 0});
  lining("case lid", 6, {0, 0, -1}, {0, 1, 0});
  lining("case wall, bass side", 6, {1, 0, 0}, {0, 1, 0});
  lining("case wall, treble side", 6, {-1, 0, 0}, {0, 1, 0});
  lining("case wall, tail", 8, {0, 1, 0}, {1, 0, 0});
  for (const double side : {-1.0, 1.0})
    all.push_back({on(contact_body(Touch::stand, side < 0 ? "stand, bass foot" : "stand, treble foot",
                                   ContactShape::cylinder, 0.035, 0.011, 0.011),
                      {4e6, 15, 0, 2e-4, foam}),
                   [side](const Silhouette& o, const Draw& d) {
                     return Posture{{side * (0.07 + 0.006 * d("across")), o.along_m(0), o.middle_m() + 0.004 * d("up")},
                                    unit_of({-side * 0.2, 1, 0.1 + 0.04 * d("lean")}),
                                    unit_of({0.08 * d("turn"), 0, 1})};
                   }});
}

std::vector<Held> touching(Hold hold) {
  std::vector<Held> list;
  if (hold == Hold::flat) {
    flat_on_the_lap(list);
  } else {
    hands(list);
    body_of_the_player(list);
    strap(list);
    std::erase_if(list, [&](const Held& h) {
      const Touch by = h.contact_body.by;
      return hold == Hold::strap ? by == Touch::thigh
                                 : hold == Hold::lap && (by == Touch::strap_tail || by == Touch::strap_neck);
    });
  }
  at_rest(list);
  // Touch by touch: what one of them does is summed in one go.
  std::stable_sort(list.begin(), list.end(),
                   [](const Held& a, const Held& b) { return a.contact_body.by < b.contact_body.by; });
  return list;
}

constexpr std::size_t holds = words(static_cast<const Hold*>(nullptr)).size();
const std::vector<Held>& held(Hold hold) {
  static const std::array<std::vector<Held>, holds> all = [] {
    std::array<std::vector<Held>, holds> each;
    for (std::size_t h = 0; h < holds; ++h) each[h] = touching(static_cast<Hold>(h));
    return each;
  }();
  return all[static_cast<std::size_t>(hold)];
}

}  // namespace

const std::vector<ContactBody>& contact_bodies(Hold hold) {
  static const std::array<std::vector<ContactBody>, holds> all = [] {
    std::array<std::vector<ContactBody>, holds> each;
    for (std::size_t h = 0; h < holds; ++h)
      for (const Held& one : held(static_cast<Hold>(h))) each[h].push_back(one.contact_body);
    return each;
  }();
  return all[static_cast<std::size_t>(hold)];
}

std::vector<Pressing> pressings(const Life& life, const Body& body, Key key) {
  const bool left = life.hand == Hand::left;
  const Silhouette outline(body, left);
  const std::vector<Held>& things = held(life.held);
  std::vector<Pressing> all;
  for (std::size_t n = 0; n < things.size(); ++n) {
    const ContactBody& c = contact_bodies(life.held)[n];
    if (!(time_against_s(life, c.by) > 0)) continue;
    for (int i = 0; i < c.draws; ++i) {
      const Posture p = things[n].place(outline, Draw(key.with(c.name).with(static_cast<std::uint64_t>(i))));
      all.push_back({&c, left ? mirrored(p) : p});
    }
  }
  return all;
}

std::string as_held(const Life& life) {
  const std::string hand = life.hand == Hand::left ? "left-handed" : "right-handed";
  switch (life.held) {
    case Hold::strap:
      return hand + ", on a strap";
    case Hold::lap:
      return hand + ", upright on the lap";
    case Hold::flat:
      return hand + ", flat across the thighs";
    case Hold::unstated:
      break;
  }
  return hand + ", upright, on the lap or a strap";
}

}  // namespace witnessline::bench

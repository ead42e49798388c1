#include "bench/check_growth.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <unordered_map>

#include "base/parallel.h"
#include "bench/noise.h"
#include "bench/surface_walk.h"

namespace witnessline::bench {

namespace {

constexpr double step_m = 1e-3;
constexpr double longest_m = 0.4;         // each way: further is not followed
constexpr double spread_log = 0.25;       // of toughness from place to place (ESTIMATE)
constexpr double spread_m = 0.012;        // over this (ESTIMATE)
constexpr double fine_spread_log = 0.12;  // and finer (ESTIMATE)
constexpr double fine_spread_m = 0.0035;
constexpr double look_m = 0.003;      // how far a tip feels for weak places (ESTIMATE)
constexpr double turning_m = 0.004;   // way in which it turns to where it is driven (ESTIMATE)
constexpr double crosses_from = 2.5;  // drive over toughness (ESTIMATE)
constexpr int gone_round = 40;        // steps after which it may meet itself
constexpr double joins_m = 3e-3;      // coming round, so near its own path it joins it (ESTIMATE)
constexpr double thinnest_m = 3e-6;   // less film than this does not check (ESTIMATE)

double most(const ByGrain& run) { return std::max(run.along, run.across); }

/// Pieces of checks, found by place.
class Pieces {
 public:
  struct Piece {
    Vec3d from, to;
    std::uint32_t check;
    int order = 0;  ///< steps from its starter, one way counted below nought
  };
  void add(const Piece& piece) { cells_[cell(0.5 * (piece.from + piece.to))].push_back(piece); }
  /// Visits every piece within about 2 mm of a place.
  template <class Visit>
  void near(Vec3d place, const Visit& visit) const {
    const long x = at(place.x), y = at(place.y), z = at(place.z);
    for (long dz = -1; dz <= 1; ++dz)
      for (long dy = -1; dy <= 1; ++dy)
        for (long dx = -1; dx <= 1; ++dx)
          if (const auto found = cells_.find(key(x + dx, y + dy, z + dz)); found != cells_.end())
            for (const Piece& piece : found->second) visit(piece);
  }

 private:
  static constexpr double cell_m = 2e-3;
  static long at(double v) { return std::lround(v / cell_m); }
  static std::uint64_t key(long x, long y, long z) {
    const auto part = [](long v) { return static_cast<std::uint64_t>(v + (1 << 20)) & 0x1fffff; };
    return (part(x) << 42) | (part(y) << 21) | part(z);
  }
  static std::uint64_t cell(Vec3d p) { return key(at(p.x), at(p.y), at(p.z)); }
  std::unordered_map<std::uint64_t, std::vector<Piece>> cells_;
};

/// Where a step meets a piece, as a share of the step; above 1: it does not.
double meeting(Vec3d from, Vec3d to, Vec3d normal, const Pieces::Piece& piece) {
  const Vec3d e = to - from, f = piece.to - piece.from, between = piece.from - from;
  constexpr double sheet_m = 0.7e-3;  // beyond, it lies on another face
  if (std::abs(dot(between, normal)) > sheet_m) return 2;
  const double crossed = dot(cross(e, f), normal);
  if (std::abs(crossed) < 1e-14) return 2;
  const double mine = dot(cross(between, f), normal) / crossed, its = dot(cross(between, e), normal) / crossed;
  return mine >= 0 && mine <= 1 && its >= 0 && its <= 1 ? mine : 2;
}

/// One way of one check.
struct Way {
  std::vector<SurfacePoint> path;
  double across_grain_m = 0, along_grain_m = 0;
  Stop stop = Stop::arrest;
  int crossings = 0;

  void add(const Walker& at, double gone_m, double to_grain) {
    path.push_back(at.at);
    (to_grain < 0.5 ? across_grain_m : along_grain_m) += gone_m;
  }
};

class Growing {
 public:
  Growing(const Body& body, Key key, const std::function<DrivenPlace(SurfacePoint)>& driven)
      : body_(body),
        walk_(body),
        coarse_(key.with("toughness"), spread_m, body),
        fine_(key.with("fine toughness"), fine_spread_m, body),
        driven_(driven) {}

  double toughness_log(Vec3d place) const {
    const Vec3 p = static_cast<Vec3>(place);
    return spread_log * coarse_(p) + fine_spread_log * fine_(p);
  }
  Vec3d grain_at(SurfacePoint at) const {
    const Triangle& t = body_.triangles()[at.triangle];
    const double u = static_cast<double>(at.u), v = static_cast<double>(at.v);
    const Vec3d first = body_.grain()[t[0]];
    const auto alike = [&](std::uint32_t vertex) {
      const Vec3d g = body_.grain()[vertex];
      return dot(g, first) < 0 ? -1.0 * g : g;
    };
    return (1 - u - v) * first + u * alike(t[1]) + v * alike(t[2]);
  }
  /// Toughness counted in: above 1 it runs.
  double over(const DrivenPlace& here, double energy_over, Vec3d place) const {
    return energy_over * here.reach * here.reach * std::exp(-toughness_log(place));
  }

  /// `lift`: of the drive, of a check that runs as others were found to; 0: as it is driven.
  Way grow(const Starter& from, bool opens_along, double sense, std::uint32_t check, double lift = 0) {
    Way way;
    Walker walker = walk_.stand(from.at, nominal(from.at, opens_along, sense, nullptr));
    double run_m = 0;
    int order = 0;
    Vec3d looked = walker.ahead;
    while (true) {
      if (from.line_m > 0 && run_m >= from.line_m) return way;
      if (run_m >= longest_m) return way.stop = Stop::followed, way;
      const DrivenPlace here = driven_(walker.at);
      if (here.drive.depth_m < thinnest_m) return way.stop = Stop::film_gone, way;
      const Vec3d straight = nominal(walker.at, opens_along, sense, &looked);
      const Vec3d n = walk_.normal(walker.at.triangle), left = cross(n, straight);
      // Angle off the straight way; towards `left` is positive.
      double off = std::atan2(dot(walker.ahead, left), dot(walker.ahead, straight));
      off += turn(here, walker.place, straight, left, off, opens_along && lift <= 0);
      off = std::clamp(off, -1.2, 1.2);
      walker.ahead = std::cos(off) * straight + std::sin(off) * left;
      const double c = std::cos(off), to_grain = opens_along ? 1 - c * c : c * c;
      const ByGrain run = here.drive.run();
      const double energy = lift > 0 ? lift * most(run) : run.along + (run.across - run.along) * to_grain;
      const double drive = over(here, energy, walker.place) * shadowed(here.drive, walker, check, to_grain < 0.5);
      if (drive < 1) return way;
      const Vec3d before = walker.place;
      const SurfacePoint at = walker.at;
      looked = walker.ahead;
      if (!walk_.go(walker, step_m)) return way;
      run_m += step_m;
      double met = 2;
      bool closes = false, alike = false;
      pieces_.near(before, [&](const Pieces::Piece& piece) {
        if (piece.check != check) {
          const double at_share = meeting(before, walker.place, n, piece);
          if (at_share >= met) return;
          met = at_share, alike = std::abs(dot(unit_of(piece.to - piece.from), looked)) > 0.7;
        } else
          closes |= std::abs(piece.order - order) > gone_round && length(piece.to - walker.place) < joins_m;
      });
      if (closes) return way.stop = Stop::met, way;
      if (met <= 1) {
        if (drive < crosses_from && (lift <= 0 || alike)) {  // found ones that lie so close have crossed the others
          Walker last = walk_.stand(at, looked);
          walk_.go(last, met * step_m);
          way.add(last, met * step_m, to_grain);
          return way.stop = Stop::met, way;
        }
        ++way.crossings;
      }
      way.add(walker, step_m, to_grain);
      pieces_.add({before, walker.place, check, order});
      order += sense < 0 ? -1 : 1;
    }
  }
  void keep(const Body& body, const Mark& mark) {
    for (std::size_t i = 0; i + 1 < mark.path.size(); ++i)
      pieces_.add({body.position(mark.path[i]), body.position(mark.path[i + 1]), 0});
  }

 private:
  /// The way the family runs here; on along `looked` where given.
  Vec3d nominal(SurfacePoint at, bool opens_along, double sense, const Vec3d* looked) const {
    const Vec3d n = walk_.normal(at.triangle), g = grain_at(at);
    const Vec3d flat = unit_of(g - dot(g, n) * n, across(n));
    const Vec3d way = opens_along ? cross(n, flat) : flat;
    if (looked) return dot(way, *looked) < 0 ? -1.0 * way : way;
    return sense * way;
  }
  double turn(const DrivenPlace& here, Vec3d place, Vec3d straight, Vec3d left, double off, bool opens_along) const {
    constexpr double feel = 0.3;  // radians each way
    const auto weak = [&](double a) {
      return -toughness_log(place + look_m * (std::cos(a) * straight + std::sin(a) * left));
    };
    const auto pull = [&](double a) { return 2 * std::log(std::max(1e-6, here.drive.pull_at(a))); };
    // Across the grain it keeps at right angles to the pull; along it the wood's own lines hold it (ESTIMATE: 3).
    const double held = opens_along ? (pull(off + feel) - pull(off - feel)) / (2 * feel) : -3 * off;
    return step_m / turning_m * (held + (weak(off + feel) - weak(off - feel)) / (2 * feel));
  }
  /// Share of its drive that other checks beside it leave a check.
  double shadowed(const CheckDrive& drive, const Walker& walker, std::uint32_t check, bool opens_along) const {
    const double stress_Pa = opens_along ? drive.stress_Pa.along : drive.stress_Pa.across;
    if (!(stress_Pa > 0)) return 1;
    const double shadow_m = (opens_along ? drive.energy_J_m2.along : drive.energy_J_m2.across) *
                            drive.film.plane_strain_Pa() / (stress_Pa * stress_Pa);
    double least = 1;
    pieces_.near(walker.place, [&](const Pieces::Piece& piece) {
      if (piece.check == check) return;
      const Vec3d along = unit_of(piece.to - piece.from);
      if (std::abs(dot(along, walker.ahead)) < 0.8) return;
      const Vec3d off = walker.place - piece.from;
      const double ahead = dot(off, along);
      if (ahead < 0 || ahead > length(piece.to - piece.from)) return;
      least = std::min(least, share_in_array(length(off - ahead * along) / shadow_m));
    });
    return least;
  }

  const Body& body_;
  SurfaceWalk walk_;
  SmoothNoise coarse_, fine_;
  const std::function<DrivenPlace(SurfacePoint)>& driven_;
  Pieces pieces_;
};

/// A starter and how hard it is driven, and how hard a check that runs there is.
struct Started {
  const Starter* from;
  bool opens_along;
  double drive, run;
};

/// What of an old check under newer film opens again.
void reopen(const Mark& old, const Growing& growing, const Body& body,
            const std::function<DrivenPlace(SurfacePoint)>& driven, const std::string& made_by, Grown& grown) {
  if (old.path.size() < 2) return;
  std::vector<DrivenPlace> along;
  double deep_m = 0;
  for (const SurfacePoint& at : old.path) {
    along.push_back(driven(at));
    deep_m += along.back().drive.depth_m / static_cast<double>(old.path.size());
  }
  const double was_m = static_cast<double>(old.depth_m);
  if (deep_m < 1.15 * was_m + 10e-6) return;
  Mark mark{MarkKind::check, {}, 0, 0, made_by};
  const auto close = [&] {
    if (mark.path.size() > 1) grown.marks.push_back(mark), ++grown.reopened;
    mark.path.clear();
  };
  for (std::size_t i = 0; i < old.path.size(); ++i) {
    const CheckDrive& drive = along[i].drive;
    const std::size_t a = i > 0 ? i - 1 : 0, b = std::min(i + 1, old.path.size() - 1);
    const Vec3d way = Vec3d(body.position(old.path[b])) - Vec3d(body.position(old.path[a]));
    const bool opens_along = std::abs(dot(unit_of(way), unit_of(growing.grain_at(old.path[i])))) < 0.7;
    const bool opens = drive.depth_m > 0 && growing.over(along[i], drive.from_flaw(was_m / drive.depth_m, opens_along),
                                                         body.position(old.path[i])) >= 1;
    if (!opens) {
      close();
      continue;
    }
    if (mark.path.empty()) {
      mark.depth_m = static_cast<float>(drive.depth_m);
      mark.width_m = static_cast<float>(
          opening_m(opens_along ? drive.stress_Pa.along : drive.stress_Pa.across, drive.depth_m, drive.film));
    } else {
      grown.reopened_m += length(Vec3d(body.position(old.path[i])) - Vec3d(body.position(mark.path.back())));
    }
    mark.path.push_back(old.path[i]);
  }
  close();
}

std::vector<Started> started(const Growing& growing, const Body& body, const std::vector<Starter>& starters,
                             const std::function<DrivenPlace(SurfacePoint)>& driven) {
  std::vector<Started> all(starters.size());
  for_chunks(starters.size(), 256, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      const Starter& s = starters[i];
      const DrivenPlace here = driven(s.at);
      const CheckDrive& drive = here.drive;
      const bool opens_along = s.line_m <= 0 && drive.spot_opens_along();
      const bool any = drive.depth_m >= thinnest_m && here.reach > 0;
      const double flaw =
          any ? drive.from_flaw(s.depth_m > 0 ? s.depth_m / drive.depth_m : s.depth_share, opens_along) : 0;
      all[i] = {&s, opens_along, growing.over(here, flaw, body.position(s.at)), any ? most(drive.run()) : 0};
    }
  });
  return all;
}

/// Opens starters in the shares found, and how much harder than it is driven a check must run to run as those did:
/// half again what half the starters' film resists (ESTIMATE, 1.2 to 2), so that weak and tough places still end it.
double lift_of(std::vector<Started>& all, const CheckPattern& found) {
  constexpr double runs_at = 1.5;
  std::erase_if(all, [&](Started& s) {
    if (s.from->line_m <= 0) s.opens_along = uniform(s.from->key.with("as found")) < found.share_across();
    return !(s.run > 0) || (s.opens_along ? found.across_per_m : found.along_per_m) <= 0;
  });
  if (all.empty()) return 0;
  const auto middle = all.begin() + static_cast<std::ptrdiff_t>(all.size() / 2);
  std::nth_element(all.begin(), middle, all.end(), [](const Started& a, const Started& b) { return a.run < b.run; });
  return runs_at / middle->run;
}

}  // namespace

double hardest_start(const Body& body, const std::vector<Starter>& starters, Key key,
                     const std::function<DrivenPlace(SurfacePoint)>& driven) {
  double most = 0;
  for (const Started& s : started(Growing(body, key, driven), body, starters, driven)) most = std::max(most, s.drive);
  return most;
}

Grown grow_checks(const Body& body, const Film& film, const std::vector<Starter>& starters, Key key,
                  const std::string& made_by, const std::function<DrivenPlace(SurfacePoint)>& driven,
                  const CheckPattern& found, double area_m2) {
  Grown grown;
  Growing growing(body, key, driven);
  for (const Mark& mark : *film.marks)
    if (mark.kind == MarkKind::check) growing.keep(body, mark);
  for (const Mark& mark : *film.marks)
    if (mark.kind == MarkKind::check) reopen(mark, growing, body, driven, made_by, grown);

  std::vector<Started> all = started(growing, body, starters, driven);
  const auto open = std::count_if(all.begin(), all.end(), [](const Started& s) { return s.drive >= 1; });
  grown.as_found = found.per_m() > 0 && open >= static_cast<std::ptrdiff_t>(too_few_checks);
  const double lift = grown.as_found ? lift_of(all, found) : 0;
  if (!grown.as_found) std::erase_if(all, [](const Started& s) { return !(s.drive >= 1); });
  std::sort(all.begin(), all.end(), [](const Started& a, const Started& b) {
    return a.drive != b.drive ? a.drive > b.drive : a.from->key.bits < b.from->key.bits;
  });

  std::uint32_t check = 0;
  for (const Started& start : all) {
    ++check;
    if (grown.as_found && (start.opens_along ? grown.across_grain_m >= found.across_per_m * area_m2
                                             : grown.along_grain_m >= found.along_per_m * area_m2))
      continue;
    const Way back = growing.grow(*start.from, start.opens_along, -1, check, lift);
    const Way on = growing.grow(*start.from, start.opens_along, 1, check, lift);
    if (back.path.empty() && on.path.empty()) continue;
    Mark mark{MarkKind::check, {back.path.rbegin(), back.path.rend()}, 0, 0, made_by};
    mark.path.push_back(start.from->at);
    mark.path.insert(mark.path.end(), on.path.begin(), on.path.end());
    grown.across_grain_m += back.across_grain_m + on.across_grain_m;
    grown.along_grain_m += back.along_grain_m + on.along_grain_m;
    const CheckDrive& here = driven(start.from->at).drive;
    mark.depth_m = static_cast<float>(here.depth_m);
    mark.width_m = static_cast<float>(
        opening_m(start.opens_along ? here.stress_Pa.along : here.stress_Pa.across, here.depth_m, here.film));
    const Triangle& t = body.triangles()[start.from->at.triangle];
    mark.grime_kg_m2 = film.grime_kg_m2[t[0]];
    grown.crossings += back.crossings + on.crossings;
    ++grown.ends[static_cast<int>(back.stop)], ++grown.ends[static_cast<int>(on.stop)];
    grown.marks.push_back(std::move(mark));
  }
  return grown;
}

}  // namespace witnessline::bench

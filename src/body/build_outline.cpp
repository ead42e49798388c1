#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "base/parallel.h"
#include "body/build.h"
#include "body/carved.h"
#include "body/centreline.h"
#include "body/curvature.h"
#include "body/svg.h"

namespace witnessline::body {
namespace {

/// From the page to the body frame: a turn in quarters, then a shift.
struct Turn {
  int quarters = 0;
  Vec2d shift;
  Vec2d operator()(Vec2d p) const {
    for (int i = 0; i < quarters; ++i) p = {-p.y, p.x};
    return p + shift;
  }
  Loop operator()(Loop loop) const {
    for (Cubic& c : loop)
      for (Vec2d& p : c) p = (*this)(p);
    return loop;
  }
};

struct Spread {
  Vec2d low{1e300, 1e300}, high{-1e300, -1e300}, centroid;
  std::vector<Vec2d> points;
};
Spread spread_of(const Loop& loop) {
  Spread s;
  constexpr int pieces = 16;
  for (const Cubic& c : loop)
    for (int i = 0; i < pieces; ++i) s.points.push_back(point_on(c, i / double(pieces)));
  double area = 0;
  for (std::size_t i = 0; i < s.points.size(); ++i) {
    const Vec2d a = s.points[i], b = s.points[(i + 1) % s.points.size()];
    s.low = {std::min(s.low.x, a.x), std::min(s.low.y, a.y)};
    s.high = {std::max(s.high.x, a.x), std::max(s.high.y, a.y)};
    area += cross(a, b);
    s.centroid = s.centroid + cross(a, b) * (a + b);
  }
  s.centroid = (1 / (3 * area)) * s.centroid;
  return s;
}

Turn turn_of(const Tracing& tracing, const std::string& file, std::vector<Note>& notes) {
  Turn turn;
  Spread s = spread_of(tracing.outline.loop);
  if (s.high.x - s.low.x > 1.1 * (s.high.y - s.low.y)) {
    turn.quarters = 1;
    s = spread_of(turn(tracing.outline.loop));
  }
  // Most of the wood lies towards the tail.
  const double length_m = s.high.y - s.low.y;
  const double lean = s.centroid.y - 0.5 * (s.low.y + s.high.y);
  if (lean > 0.005 * length_m) {
    turn.quarters += 2;
    s = spread_of(turn(tracing.outline.loop));
  } else if (lean > -0.005 * length_m) {
    notes.push_back({Severity::information,
                     fmt::format("{}: both ends look alike; the neck is assumed to be {}", file,
                                 turn.quarters ? "to the left of the page" : "at the top of the page"),
                     "body"});
  }
  std::vector<std::array<Vec2d, 2>> lines;
  for (std::size_t i = 0; i < s.points.size(); ++i) lines.push_back({s.points[i], s.points[(i + 1) % s.points.size()]});
  double middle = centreline_x(lines, s.low.y, s.high.y);
  for (const TracedPath& path : tracing.others)
    if (path.id.find("neck") != std::string::npos) {  // a neck pocket says where the centreline runs
      const Spread pocket = spread_of(turn(path.loop));
      middle = 0.5 * (pocket.low.x + pocket.high.x);
    }
  turn.shift = {-middle, -s.low.y};
  return turn;
}

constexpr std::size_t most_cavities = 200;
constexpr double through_slack_m = 0.5e-3;  // a body's thickness is measured no closer

/// The cavities of a body that can be cut, each with its number in the job, from 1; and what is wrong with the others.
struct Cavities {
  std::vector<std::pair<Loop, CavitySpec>> cut;
  std::vector<std::size_t> number;
  std::vector<Error> errors;
};

/// A cavity that lies off the body or is far larger; before anything is made of it, since it may be given any size.
std::optional<Error> off_or_huge(const Loop& cavity, const Spread& body, std::string key) {
  Spread s;  // of the control points, which bound the curves
  for (const Cubic& c : cavity)
    for (const Vec2d p : c) {
      s.low = {std::min(s.low.x, p.x), std::min(s.low.y, p.y)};
      s.high = {std::max(s.high.x, p.x), std::max(s.high.y, p.y)};
    }
  const Vec2d middle = 0.5 * (s.low + s.high), size = body.high - body.low;
  if (s.low.x > body.high.x || s.high.x < body.low.x || s.low.y > body.high.y || s.high.y < body.low.y)
    return Error{fmt::format("this cavity is off the body: its middle is at x {:.0f} mm, y {:.0f} mm", middle.x * 1e3,
                             middle.y * 1e3),
                 {"", 0, 0, std::move(key)},
                 fmt::format("x {:.0f} to {:.0f} mm, y {:.0f} to {:.0f} mm", body.low.x * 1e3, body.high.x * 1e3,
                             body.low.y * 1e3, body.high.y * 1e3),
                 "x counts from the centreline, y from the tail"};
  if (s.high.x - s.low.x > 2 * size.x || s.high.y - s.low.y > 2 * size.y)
    return Error{"this cavity is more than twice as large as the body",
                 {"", 0, 0, std::move(key)},
                 fmt::format("less than {:.0f} by {:.0f} mm", size.x * 1e3, size.y * 1e3),
                 ""};
  return std::nullopt;
}

Cavities cavities_of(const BodySpec& spec, const Tracing& traced, const Turn& turn, const Spread& body,
                     const std::string& file) {
  Cavities all;
  if (spec.cavities.size() > most_cavities) {
    all.errors.push_back({fmt::format("the body has {} cavities", spec.cavities.size()),
                          {"", 0, 0, "body.cavities"},
                          fmt::format("at most {}", most_cavities),
                          ""});
    return all;
  }
  std::vector<std::string> ids;
  for (const TracedPath& path : traced.others) ids.push_back(path.id);
  for (std::size_t i = 0; i < spec.cavities.size(); ++i) {
    const CavitySpec& c = spec.cavities[i];
    const std::string key = fmt::format("body.cavities[{}]", i + 1);
    const auto at = std::find(ids.begin(), ids.end(), c.path);
    if (!c.path.empty() && at == ids.end()) {
      all.errors.push_back({fmt::format("the drawing {} has no path '{}'", file, c.path),
                            {"", 0, 0, key + ".path"},
                            ids.empty() ? "" : fmt::format("one of {}", fmt::join(ids, ", ")),
                            did_you_mean(c.path, ids)});
      continue;
    }
    Loop loop = c.path.empty() ? circle_loop({c.x_m, c.y_m}, c.radius_m)
                               : turn(traced.others[static_cast<std::size_t>(at - ids.begin())].loop);
    if (auto error = off_or_huge(loop, body, key))
      all.errors.push_back(std::move(*error));
    else
      all.cut.emplace_back(std::move(loop), c), all.number.push_back(i + 1);
  }
  return all;
}

std::vector<Error> faults_of(const CarvedBody& shape, const BodySpec& spec, const Loop& outline,
                             const Cavities& cavities) {
  std::vector<Error> errors = cavities.errors;
  const auto fault = [&](std::string key, std::string what, std::string fix) {
    errors.push_back({std::move(what), {"", 0, 0, "body." + std::move(key)}, "", std::move(fix)});
  };
  if (spec.thickness_m < 2 * spec.edge_radius_m)
    fault("edge_radius_mm",
          fmt::format("two edges rounded to {:.1f} mm do not fit on sides {:.1f} mm high", spec.edge_radius_m * 1e3,
                      spec.thickness_m * 1e3),
          "use a smaller radius, or make the sides higher");
  for (std::size_t i = 0; i < spec.contours.size(); ++i)
    if (spec.contours[i].depth_m > spec.thickness_m - 2 * spec.edge_radius_m)
      fault(fmt::format("contours[{}].depth_mm", i + 1), "the contour is too deep for this body",
            fmt::format("at most {:.1f} mm", (spec.thickness_m - 2 * spec.edge_radius_m) * 1e3));
  for (std::size_t i = 0; i < cavities.cut.size(); ++i) {
    const auto& [loop, cavity] = cavities.cut[i];
    const Spread s = spread_of(loop);
    const double thickness_m = shape.thickness_m(0.5 * (s.low + s.high)), depth_m = cavity.depth_m;
    if (depth_m > thickness_m + through_slack_m)
      fault(fmt::format("cavities[{}].depth_mm", cavities.number[i]),
            fmt::format("the cavity is {:.1f} mm deep, but the body is {:.1f} mm thick there", depth_m * 1e3,
                        thickness_m * 1e3),
            fmt::format("check the depth; for a hole right through write {:.1f}", thickness_m * 1e3));
  }
  if (!errors.empty()) return errors;
  for (const Cubic& c : outline) {
    const double left = shape.side_height_m(c[0], false) + shape.side_height_m(c[0], true);
    if (left < 2 * spec.edge_radius_m) {
      fault("contours",
            fmt::format("contours of both faces leave {:.1f} mm of wood at x {:.0f} mm, y {:.0f} mm", left * 1e3,
                        c[0].x * 1e3, c[0].y * 1e3),
            "make them shallower or set them apart");
      break;
    }
  }
  return errors;
}

}  // namespace

Result<BuiltBody> body_from_outline(const BodySpec& spec, const std::string& bytes, const std::string& file,
                                    const std::vector<SurveyFact>& survey, const StopCheck& stop) {
  Result<Tracing> traced = read_tracing(bytes, file);
  if (!traced) return traced.errors();
  std::vector<Note> notes = std::move(traced->notes);
  const Turn turn = turn_of(*traced, file, notes);
  const Loop outline = turn(traced->outline.loop);
  const Spread spread = spread_of(outline);
  const double length_m = std::max(spread.high.x - spread.low.x, spread.high.y - spread.low.y);
  if (length_m < shortest_body_m || length_m > longest_body_m)
    return Error{fmt::format("the outline is {:.3g} mm long: not the size of an instrument", length_m * 1e3),
                 {file, traced->outline.line, 0, "path " + traced->outline.id},
                 fmt::format("{:.0f} to {:.0f} mm", shortest_body_m * 1e3, longest_body_m * 1e3),
                 "check the drawing's width and viewBox: inches or points may have been taken for mm"};

  note_on_length(length_m, file, notes);

  const Cavities cavities = cavities_of(spec, *traced, turn, spread, file);
  if (stopped(stop)) return broken_off();
  const CarvedBody shape(spec, outline, cavities.cut);
  if (std::vector<Error> errors = faults_of(shape, spec, outline, cavities); !errors.empty()) return errors;
  if (spec.edge_radius_m < spec.pitch_m)
    notes.push_back(
        {Severity::information,
         fmt::format("edges of {:.1f} mm radius are finer than the mesh pitch of {:.1f} mm and are drawn rounder",
                     spec.edge_radius_m * 1e3, spec.pitch_m * 1e3),
         "body"});
  Result<SurfaceMesh> surface = surface_of(shape, spec.pitch_m, notes, stop);
  if (!surface) {
    std::vector<Error> errors = surface.errors();
    for (Error& e : errors) e.where = {file, 0, 0, "body"};
    return errors;
  }

  auto data = std::make_shared<Body::Data>();
  data->pitch_m = spec.pitch_m;
  data->triangles = std::move(surface->triangles);
  const std::size_t n = surface->points.size();
  data->positions.resize(n);
  for (std::size_t i = 0; i < n; ++i) data->positions[i] = static_cast<Vec3>(surface->points[i]);
  curvature_of_shape(shape, surface->points, *data);

  Dressing dressing;
  dressing.known.bits.assign(n, 0);
  dressing.known.cavity_in_back.assign(n, 0);
  dressing.piece.resize(n);
  dressing.edge_radius_m = std::max(dressing.edge_radius_m, 2 * spec.edge_radius_m);
  for_chunks(n, 1024, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      const Making making = shape.making_at(surface->points[i]);
      std::uint16_t& bits = dressing.known.bits[i];
      if (making.contour) bits |= bit_of(Region::contour);
      if (making.cavity) bits |= bit_of(Region::cavity);
      if (making.binding) bits |= bit_of(Region::binding);
      dressing.known.cavity_in_back[i] = making.cavity_in_back;
      dressing.piece[i] = making.binding                        ? WoodPiece::binding
                          : making.piece == Making::Piece::top  ? WoodPiece::top
                          : making.piece == Making::Piece::back ? WoodPiece::back
                                                                : WoodPiece::sides;
    }
  });
  Body body = dressed(std::move(data), spec, dressing, survey);
  return BuiltBody{std::move(body), std::move(notes)};
}

}  // namespace witnessline::body

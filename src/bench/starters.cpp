#include "bench/starters.h"

#include <array>
#include <numbers>

#include "bench/laws.h"
#include "body/vec.h"

namespace witnessline::bench {

namespace {

/// Where lines meet the surface, the hits of one line in order along it.
struct LineHit {
  std::size_t line, order;
  SurfacePoint at;
};

std::vector<LineHit> hits_of(std::vector<Ray> rays, const Body& body) {
  std::vector<LineHit> all;
  std::vector<std::size_t> line(rays.size()), order(rays.size());
  for (std::size_t i = 0; i < rays.size(); ++i) line[i] = i;
  while (!rays.empty()) {
    const std::vector<Hit> hits = body.cast(rays);
    std::size_t kept = 0;
    for (std::size_t i = 0; i < rays.size(); ++i) {
      if (hits[i].missed()) continue;
      all.push_back({line[i], order[i], hits[i].at});
      constexpr double past_m = 20e-6;
      const Vec3d d = rays[i].direction;
      rays[kept] = {static_cast<Vec3>(Vec3d(body.position(hits[i].at)) + past_m * d), rays[i].direction};
      line[kept] = line[i], order[kept] = order[i] + 1, ++kept;
    }
    rays.resize(kept);
  }
  return all;
}

/// A ball round every instrument, in steps, so that another mesh of the same body gets the same lines.
struct Ball {
  Vec3d centre{0, 0.25, 0};
  double radius_m = 0.5;
};
Ball ball_round(const Body& body) {
  Ball ball;
  double most_m = 0;
  for (const Vec3& p : body.positions()) most_m = std::max(most_m, length(Vec3d(p) - ball.centre));
  while (ball.radius_m < 1.02 * most_m) ball.radius_m *= 1.25;
  return ball;
}

Ray line_through(const Ball& ball, Key key) {
  const double z = 2 * uniform(key.with(1)) - 1, turn = 2 * std::numbers::pi * uniform(key.with(2));
  const double flat = std::sqrt(1 - z * z);
  const Vec3d d{flat * std::cos(turn), flat * std::sin(turn), z};
  const double r = ball.radius_m * std::sqrt(uniform(key.with(3))), at = 2 * std::numbers::pi * uniform(key.with(4));
  const Vec3d side = across(d), up = cross(d, side);
  const Vec3d from = ball.centre + (r * std::cos(at)) * side + (r * std::sin(at)) * up - (2 * ball.radius_m) * d;
  return {static_cast<Vec3>(from), static_cast<Vec3>(d)};
}

double exponential(double mean, Key key) { return -mean * std::log(uniform(key)); }

}  // namespace

std::vector<Starter> starters_on(const Body& body, const Film& film,
                                 const std::vector<std::shared_ptr<const Material>>& woods,
                                 const std::vector<Seam>& seams, Key key) {
  std::vector<Starter> starters;
  const Ball ball = ball_round(body);
  constexpr double most_per_m2 = edge_crowding_factor * flaws_per_m2 + std::max(ridges_per_m2, pores_per_m2);
  // A line meets a piece of surface of area A inside the ball with A / (2 pi R^2) on average.
  const double lines = 2 * std::numbers::pi * ball.radius_m * ball.radius_m * most_per_m2;
  std::vector<Ray> rays(static_cast<std::size_t>(lines));
  for (std::size_t i = 0; i < rays.size(); ++i) rays[i] = line_through(ball, key.with("line").with(i));
  for (const LineHit& hit : hits_of(std::move(rays), body)) {
    const Key at = key.with("hit").with(hit.line).with(hit.order);
    const std::uint32_t v = body.triangles()[hit.at.triangle][0];
    const double edge = edge_share(static_cast<double>(body.curvature_max()[v]));
    const double flaws = flaws_per_m2 * (1 + (edge_crowding_factor - 1) * edge) / most_per_m2;
    const std::shared_ptr<const Material>& wood = woods.at(body.wood_of()[v]);
    const bool ridges = wood && wood->conifer;
    const double texture =
        std::max(ridges ? ridges_per_m2 : 0.0, pores_per_m2 * static_cast<double>(film.open_pore[v]));
    const double drawn = uniform(at.with(1));
    if (drawn < flaws) {
      const bool on_edge = edge > 0.5;
      starters.push_back({hit.at, on_edge ? StarterKind::edge : StarterKind::flaw,
                          exponential(on_edge ? edge_depth_share : flaw_depth_share, at.with(2)), 0, 0, at});
    } else if (drawn < flaws + texture / most_per_m2) {
      starters.push_back({hit.at, StarterKind::texture, 0,
                          exponential(ridges ? ridge_depth_m : pore_depth_m, at.with(2)),
                          exponential(texture_line_m, at.with(3)), at});
    }
  }

  std::vector<Ray> onto;
  std::vector<Key> keys;
  for (std::size_t s = 0; s < seams.size(); ++s) {
    const float out = seams[s].face == SeamFace::back ? -1.0f : 1.0f;
    Key at = key.with("seam").with(s);
    for (double y_m = -0.2; y_m < 1.4; y_m += 0.004 + exponential(0.012, at)) {
      at = at.with(1);
      onto.push_back({{static_cast<float>(seams[s].x_m), static_cast<float>(y_m), out}, {0, 0, -out}});
      keys.push_back(at);
    }
  }
  const std::vector<Hit> hits = body.cast(onto);
  for (std::size_t i = 0; i < hits.size(); ++i)
    if (!hits[i].missed())
      starters.push_back({hits[i].at, StarterKind::seam, 0.6 + 0.4 * uniform(keys[i].with(2)), 0,
                          exponential(seam_line_m, keys[i].with(3)), keys[i]});

  std::vector<Vec3> dings;
  for (const Mark& mark : *film.marks)
    if (!mark.path.empty() && (mark.kind == MarkKind::ding || mark.kind == MarkKind::chip))
      dings.push_back(body.position(mark.path[mark.path.size() / 2]));
  for (const SurveyFact& fact : body.survey())
    if (fact.fact == Fact::dent || fact.fact == Fact::fill || fact.fact == Fact::loose_patch)
      dings.push_back(fact.centre);
  const std::vector<SurfacePoint> at = body.nearest(dings);
  for (std::size_t i = 0; i < at.size(); ++i) {
    const Key from = key.with("ding").at(static_cast<double>(dings[i].x), static_cast<double>(dings[i].y),
                                         static_cast<double>(dings[i].z));
    starters.push_back({at[i], StarterKind::ding, 0.7, 0, 0, from});
  }
  return starters;
}

}  // namespace witnessline::bench

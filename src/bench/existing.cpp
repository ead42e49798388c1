#include "bench/existing.h"

#include <fmt/format.h>

#include <cmath>
#include <set>

#include "bench/step_context.h"

namespace witnessline::bench {

namespace {

/// Open pores and dents the survey found.
void add_survey(Film& film, const Body& body) {
  std::vector<Mark> marks;
  for (const SurveyFact& fact : body.survey()) {
    if (fact.fact == Fact::open_pores)
      change(film.open_pore, [&](std::size_t v, float before) {
        const Vec3 p = body.positions()[v];
        const double d = std::hypot(static_cast<double>(p.x - fact.centre.x), static_cast<double>(p.y - fact.centre.y),
                                    static_cast<double>(p.z - fact.centre.z));
        return d < fact.radius_m ? std::max(before, 0.2f) : before;  // ESTIMATE: a fifth of ring-porous wood
      });
    if (fact.fact == Fact::dent)
      marks.push_back({MarkKind::ding, body.nearest({&fact.centre, 1}), static_cast<float>(2.0 * fact.radius_m),
                       static_cast<float>(fact.depth_m), fmt::format("survey: {}", fact.remark)});
  }
  if (!marks.empty()) film.marks = std::make_shared<const std::vector<Mark>>(std::move(marks));
}

}  // namespace

Result<Film> existing_film(const std::vector<ExistingCoat>& coats, const Bench& bench, double grime_kg_m2) {
  Film film = bare_film(bench.body);
  const std::size_t n = bench.body.size();
  double oldest_lx_s = 0;
  for (const ExistingCoat& coat : coats) oldest_lx_s = std::max(oldest_lx_s, coat.light_lx_s);
  film.light_lx_s = Field<float>(n, static_cast<float>(oldest_lx_s));

  std::vector<Error> faults;
  std::set<std::string> names{"wood"};
  const auto fault = [&](const ExistingCoat& coat, const char* member, std::string what, std::string expected,
                         std::string fix) {
    faults.push_back({std::move(what),
                      {"", 0, 0, fmt::format("coats.{}.{}", coat.name, member)},
                      std::move(expected),
                      std::move(fix)});
  };
  std::vector<char> coated(n);
  for (const ExistingCoat& coat : coats) {
    if (coat.name.empty() || !names.insert(coat.name).second)
      fault(coat, "name", fmt::format("'{}' cannot name this coat", coat.name), "a name no other coat has",
            "rename it");
    if (!(coat.thickness_m >= 0) || !(coat.spread_m >= 0) || !std::isfinite(coat.thickness_m + coat.spread_m))
      fault(coat, "thickness_um", "the thickness or its spread is negative or not a number", "0 um or more",
            "measure it");
    const Result<Paint> paint = paint_of(coat.mixture, bench, fmt::format("coats.{}.mixture", coat.name));
    if (!paint) faults.insert(faults.end(), paint.errors().begin(), paint.errors().end());
    const Result<std::vector<float>> weights = weights_of(coat.where, bench.body);
    if (!weights)
      for (Error e : weights.errors()) {
        e.where.key = fmt::format("coats.{}.where{}{}", coat.name, e.where.key.empty() ? "" : ".", e.where.key);
        faults.push_back(std::move(e));
      }
    if (!faults.empty()) continue;

    const std::size_t layer = layer_for(film, paint->mixture, {coat.origin, coat.name});
    film.layers[layer].light_at_lay = Field<float>(n, static_cast<float>(oldest_lx_s - coat.light_lx_s));
    const SmoothNoise uneven(Key{bench.seed}.with("existing").with(coat.name), 0.030, bench.body);
    constexpr double usual_wet_m = 90e-6;
    const std::span<const Vec3> places = bench.body.positions();
    const std::span<const float> curvature = bench.body.curvature_max();
    change(film.layers[layer].dry_m, [&](std::size_t v, float) {
      const double w = static_cast<double>((*weights)[v]);
      if (!(w > 0)) return 0.0f;
      const double whole_m = coat.thickness_m + (coat.spread_m > 0 ? coat.spread_m * uneven(places[v]) : 0.0);
      const double here_m = std::max(0.0, whole_m) * w * edge_pull(usual_wet_m, static_cast<double>(curvature[v]));
      if (here_m > 0) coated[v] = 1;
      return static_cast<float>(here_m);
    });
  }
  if (!faults.empty()) return faults;
  constexpr double old_roughness_m = 0.07e-6, old_scratch_m = 1e-6;  // ESTIMATE: handled, wiped, lightly scratched
  change(film.roughness_m,
         [&](std::size_t v, float) { return static_cast<float>(coated[v] ? old_roughness_m : 1e-6); });
  change(film.scratch_m, [&](std::size_t v, float) { return static_cast<float>(coated[v] ? old_scratch_m : 0.0); });
  change(film.grime_kg_m2, [&](std::size_t v, float) { return static_cast<float>(coated[v] ? grime_kg_m2 : 0.0); });
  add_survey(film, bench.body);
  return film;
}

}  // namespace witnessline::bench

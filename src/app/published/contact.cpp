#include <cmath>
#include <map>

#include "app/practice/wear.h"
#include "app/published/published.h"
#include "bench/knocks.h"
#include "bench/wearing.h"
#include "body/body_data.h"

namespace witnessline::app {

namespace {

/// A flat face, 200 mm square, looking out of the front.
const Body& flat() {
  static const Body held = [] {
    constexpr std::uint32_t n = 201;
    constexpr double pitch_m = 1e-3;
    auto data = std::make_shared<Body::Data>();
    for (std::uint32_t j = 0; j < n; ++j)
      for (std::uint32_t i = 0; i < n; ++i) {
        data->positions.push_back({static_cast<float>(pitch_m * (static_cast<double>(i) - 100)),
                                   static_cast<float>(pitch_m * (static_cast<double>(j) - 100)), 0});
        const double edge = (i % (n - 1) == 0 ? 0.5 : 1.0) * (j % (n - 1) == 0 ? 0.5 : 1.0);
        data->areas_m2.push_back(static_cast<float>(edge * pitch_m * pitch_m));
      }
    for (std::uint32_t j = 0; j + 1 < n; ++j)
      for (std::uint32_t i = 0; i + 1 < n; ++i) {
        const std::uint32_t v = j * n + i;
        data->triangles.push_back({v, v + 1, v + n + 1});
        data->triangles.push_back({v, v + n + 1, v + n});
      }
    data->normals.assign(n * n, Vec3{0, 0, 1});
    data->grain.assign(n * n, Vec3{0, 1, 0});
    data->curvature_min.assign(n * n, 0.0f);
    data->curvature_max = data->curvature_min;
    data->wood_of.assign(n * n, 0);
    data->woods = {"spruce"};
    data->region_bits.assign(n * n, 1);
    data->pitch_m = pitch_m;
    data->settle();
    return Body(data);
  }();
  return held;
}

Pressed on_flat(ContactShape shape, double half_length_m, double half_width_m, double height_m, double k_Pa_m,
                double load_N) {
  ContactBody c;
  c.shape = shape, c.half_length_m = half_length_m, c.half_width_m = half_width_m, c.height_m = height_m;
  c.foundation_Pa_m = k_Pa_m, c.load_N = load_N;
  return press(c, {{0, 0, 0}, {0, 0, -1}, {1, 0, 0}}, flat());
}
Pressed sphere(const Numbers& in) {
  const double r_m = 1e-3 * in["R_mm"];
  return on_flat(ContactShape::hull, r_m, r_m, r_m, 1e6 * in["k_MPa_m"], in["load_N"]);
}
Pressed cylinder(const Numbers& in) {
  return on_flat(ContactShape::cylinder, 0.0501, 0, 1e-3 * in["R_mm"], 1e6 * in["k_MPa_m"], in["load_N_m"] * 0.101);
}

void add_foundation_checks(Registry& registry) {
  const std::vector<std::string> ball{"R_mm", "k_MPa_m", "load_N"}, line{"R_mm", "k_MPa_m", "load_N_m"};
  registry.add("foundation_sphere_approach", ball, [](const Numbers& in) { return 1e3 * sphere(in).approach_m; });
  registry.add("foundation_sphere_halfwidth", ball,
               [](const Numbers& in) { return 1e3 * std::sqrt(sphere(in).area_m2 / M_PI); });
  registry.add("foundation_cylinder_approach", line, [](const Numbers& in) { return 1e3 * cylinder(in).approach_m; });
  registry.add("foundation_plate_approach", {"k_MPa_m", "load_N", "side_mm"}, [](const Numbers& in) {
    // Half a row is given up at each rim, so that the rows touched make up the side.
    const double half_m = 0.5e-3 * in["side_mm"] - 0.25e-3;
    return 1e3 * on_flat(ContactShape::plate, half_m, half_m, 1e-6, 1e6 * in["k_MPa_m"], in["load_N"]).approach_m *
           std::pow((std::floor(half_m * 1e3) * 2 + 1) / in["side_mm"], 2);
  });
  // Hertz: P = 4 E* a^3 / (3 R); a line: P = pi E* a^2 / (4 R). The E* that would carry our load on our width.
  registry.add("foundation_over_hertz_sphere", ball, [](const Numbers& in) {
    const double a_m = std::sqrt(sphere(in).area_m2 / M_PI), r_m = 1e-3 * in["R_mm"];
    const double e_Pa = 3 * in["load_N"] * r_m / (4 * a_m * a_m * a_m);
    return 1e6 * in["k_MPa_m"] * a_m / e_Pa;
  });
  registry.add("foundation_over_hertz_line", line, [](const Numbers& in) {
    const double r_m = 1e-3 * in["R_mm"];
    const double a_m = std::sqrt(2 * r_m * cylinder(in).approach_m),
                 e_Pa = 4 * in["load_N_m"] * r_m / (M_PI * a_m * a_m);
    return 1e6 * in["k_MPa_m"] * a_m / e_Pa;
  });
  registry.add("hertz_area_share_sphere", ball, [](const Numbers& in) {
    const Pressed p = sphere(in);
    return M_PI * 1e-3 * in["R_mm"] * p.approach_m / p.area_m2;
  });
}

void add_archard_checks(Registry& registry) {
  registry.add("archard_volume", {"K", "F_N", "s_m", "H_MPa"}, [](const Numbers& in) {
    constexpr double area_m2 = 1e-4;  // of any area: depth x area
    return 1e9 * area_m2 * archard_depth_m(in["K"] * in["F_N"] / area_m2 * in["s_m"], 1e6 * in["H_MPa"]);
  });
  registry.add("archard_depth", {"K", "pressure_kPa", "s_m", "H_MPa"}, [](const Numbers& in) {
    return 1e6 * archard_depth_m(in["K"] * 1e3 * in["pressure_kPa"] * in["s_m"], 1e6 * in["H_MPa"]);
  });
}

/// How much more is rubbed at a place of a slab body than beside it, as practice compares them.
Result<std::map<std::string, double>> slab_ratios() {
  const Result<Body> slab = plain_slab(5e-3);
  if (!slab) return slab.errors();
  const Body& body = *slab;
  Life life;
  for (std::size_t t = 0; t < words(static_cast<const Touch*>(nullptr)).size(); ++t)
    life.touches.push_back({static_cast<Touch>(t), 3.6e6});
  const ContactField field = contact_field(life, body, Key{5});
  const KnockField knocks = knock_field(body, Key{5});
  Box3 box;
  for (const Vec3 p : body.positions()) box.add(p);
  const auto up = [&](double share) { return box.low.y + share * (box.high.y - box.low.y); };
  const auto mean = [&](const auto& in) {
    double sum = 0, area_m2 = 0;
    for (std::size_t v = 0; v < body.size(); ++v) {
      if (!in(v, Vec3d(body.positions()[v]))) continue;
      const double a_m2 = static_cast<double>(body.areas_m2()[v]);
      sum += a_m2 * static_cast<double>(field.dry_Pa_m[v] + field.sweat_Pa_m[v]), area_m2 += a_m2;
    }
    return sum / area_m2;
  };
  const auto on = [&](std::size_t v, Region r) { return body.in(v, r); };
  const double arm_m = up(0.30), middle_m = up(0.47);
  double knocked = 0, edges_m2 = 0;
  for (std::size_t v = 0; v < body.size(); ++v)
    if (on(v, Region::edge)) {
      const double a_m2 = static_cast<double>(body.areas_m2()[v]);
      knocked += a_m2 * static_cast<double>(knocks.per_m2[v]), edges_m2 += a_m2;
    }
  return std::map<std::string, double>{
      {"slab: edge under the forearm", mean([&](std::size_t v, Vec3d p) {
                                         return on(v, Region::edge) && p.x < 0 && p.z > 0 &&
                                                std::abs(p.y - arm_m) < 0.05;
                                       }) / mean([&](std::size_t v, Vec3d p) {
                                         return on(v, Region::front) && p.x > 0.06 && std::abs(p.y - arm_m) < 0.05;
                                       })},
      {"slab: middle of the back",
       mean([&](std::size_t v, Vec3d p) {
         return on(v, Region::back) && std::abs(p.x) < 0.04 && std::abs(p.y - middle_m) < 0.04;
       }) / mean([&](std::size_t v, Vec3d p) { return on(v, Region::back) && p.x > 0.07; })},
      {"slab: round the tail button", mean([&](std::size_t, Vec3d p) {
                                        return p.y < box.low.y + 0.004 && std::abs(p.x) < 0.03;
                                      }) / mean([&](std::size_t v, Vec3d) { return on(v, Region::sides); })},
      {"slab: outermost edges knocked", knocked / (edges_m2 / body.area_m2())}};
}

}  // namespace

void add_contact_checks(Registry& registry) {
  add_foundation_checks(registry);
  add_archard_checks(registry);
  registry.add("wear_goes_first", [](const PublishedRow& row) -> Result<double> {
    static const Result<std::map<std::string, double>> ratios = slab_ratios();
    if (!ratios) return ratios.errors();
    const auto in = numbers(row, {"more_than"});
    if (!in) return in.errors();
    const auto ratio = ratios->find(row.subject);
    if (ratio == ratios->end()) return Error{"no such comparison", {row.file, row.line, 0, row.quantity}, "", ""};
    return ratio->second > (*in)["more_than"] ? 1.0 : 0.0;
  });
}

}  // namespace witnessline::app

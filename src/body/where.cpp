#include "body/where.h"

#include <fmt/format.h>

#include <algorithm>
#include <sstream>

#include "base/parallel.h"
#include "body/off_body.h"
#include "body/regions.h"
#include "body/surface_distance.h"

namespace witnessline::body {
namespace {

constexpr std::size_t chunk = 4096;

std::vector<std::string> region_words() {
  std::vector<std::string> out;
  for (const char* word : words(static_cast<const Region*>(nullptr))) out.emplace_back(word);
  return out;
}

/// "front treble" as bits that must all be set; faults are added to `errors`.
std::uint16_t mask_of(const std::string& entry, const std::string& key, const Body& body, std::vector<Error>& errors) {
  static const std::vector<std::string> known = region_words();
  std::uint16_t mask = 0;
  std::istringstream in(entry);
  for (std::string word; in >> word;) {
    const auto at = std::find(known.begin(), known.end(), word);
    if (at == known.end()) {
      errors.push_back({fmt::format("'{}' is not a region", word),
                        {"", 0, 0, key},
                        fmt::format("region words: {}", fmt::join(known, ", ")),
                        did_you_mean(word, known)});
      continue;
    }
    const auto region = static_cast<Region>(at - known.begin());
    if (!body.has(region)) {
      std::vector<std::string> present;
      for (int k = 0; k < region_count; ++k)
        if (body.has(static_cast<Region>(k))) present.push_back(known[static_cast<std::size_t>(k)]);
      errors.push_back({fmt::format("this body has no region '{}'", word),
                        {"", 0, 0, key},
                        fmt::format("one of {}", fmt::join(present, ", ")),
                        "name a region it has, or use a patch"});
    }
    mask |= bit_of(region);
  }
  if (mask == 0 && errors.empty())
    errors.push_back(
        {"an entry names no region", {"", 0, 0, key}, "words such as \"front treble\"", "fill it or take it out"});
  return mask;
}

double eased(double t) {
  t = std::clamp(t, 0.0, 1.0);
  return t * t * (3 - 2 * t);
}
/// Weight at a signed distance from an edge that fades over `fade_m`, half of it on each side.
double faded(double distance_m, double fade_m) {
  return fade_m > 0 ? eased(0.5 - distance_m / fade_m) : distance_m <= 0 ? 1.0 : 0.0;
}

bool on_face(const Body& body, std::size_t i, const std::string& face) {
  if (face == "sides") return body.in(i, Region::sides) || body.in(i, Region::edge);
  if (body.in(i, Region::sides)) return false;
  if (body.in(i, Region::edge)) return (body.normals()[i].z > 0) == (face == "front");
  return body.in(i, face == "front" ? Region::front : Region::back);
}

/// A patch with its ends where the face is: on the sides, the nearest place of the rim.
struct Laid {
  const Patch* patch;
  double ax, ay, bx, by;
  double beyond(Vec3 p) const {  // straight distance in the plane of the face, less the radius
    const double dx = bx - ax, dy = by - ay, size = dx * dx + dy * dy;
    const double t = size > 0 ? std::clamp(((p.x - ax) * dx + (p.y - ay) * dy) / size, 0.0, 1.0) : 0.0;
    return std::hypot(p.x - ax - t * dx, p.y - ay - t * dy) - patch->radius_m;
  }
};
Laid laid(const Patch& patch, const Body& body) {
  Laid out{&patch, patch.x_m, patch.y_m, patch.to_x_m.value_or(patch.x_m), patch.to_y_m.value_or(patch.y_m)};
  if (patch.face != "sides") return out;
  const auto to_rim = [&](double& x, double& y) {
    double best = 1e300, bx = x, by = y;
    for (std::size_t i = 0; i < body.size(); ++i) {
      if (!body.in(i, Region::sides)) continue;
      const Vec3 p = body.positions()[i];
      const double d = std::hypot(p.x - x, p.y - y);
      if (d < best) best = d, bx = p.x, by = p.y;
    }
    x = bx, y = by;
  };
  to_rim(out.ax, out.ay), to_rim(out.bx, out.by);
  return out;
}

}  // namespace

Result<std::vector<float>> weights_of(const Where& where, const Body& body) {
  std::vector<Error> errors;
  std::vector<std::uint16_t> on, except;
  for (std::size_t i = 0; i < where.on.size(); ++i)
    on.push_back(mask_of(where.on[i], fmt::format("on[{}]", i + 1), body, errors));
  for (std::size_t i = 0; i < where.except.size(); ++i)
    except.push_back(mask_of(where.except[i], fmt::format("except[{}]", i + 1), body, errors));
  const std::vector<std::string> faces{"front", "back", "sides"};
  for (std::size_t i = 0; i < where.patches.size(); ++i) {
    const Patch& p = where.patches[i];
    const std::string key = fmt::format("patches[{}]", i + 1);
    if (std::find(faces.begin(), faces.end(), p.face) == faces.end()) {
      errors.push_back({fmt::format("'{}' is not a face", p.face),
                        {"", 0, 0, key + ".face"},
                        "front, back or sides",
                        did_you_mean(p.face, faces)});
    }
    const double sum = p.x_m + p.y_m + p.radius_m + p.to_x_m.value_or(0) + p.to_y_m.value_or(0);
    if (!std::isfinite(sum) || p.radius_m <= 0)
      errors.push_back(
          {"the patch has no place or no radius", {"", 0, 0, key}, "x_mm, y_mm and a radius_mm above 0", ""});
    if (p.to_x_m.has_value() != p.to_y_m.has_value())
      errors.push_back({"a long patch needs both to_x_mm and to_y_mm", {"", 0, 0, key}, "", "give the other one too"});
  }
  if (!(where.fade_m >= 0) || where.fade_m > 10)
    errors.push_back({"fade_mm is out of range", {"", 0, 0, "fade_mm"}, "0 to 500 mm", ""});
  if (!errors.empty()) return errors;
  for (std::size_t i = 0; i < where.patches.size(); ++i)
    if (auto error = off_body(where.patches[i], body, fmt::format("patches[{}]", i + 1)))
      errors.push_back(std::move(*error));
  if (!errors.empty()) return errors;

  const std::size_t n = body.size();
  std::vector<float> weights(n, 1.0f);
  if (!on.empty() || !except.empty()) {
    std::vector<std::uint8_t> inside(n);
    bool some_in = false, some_out = false;
    for (std::size_t i = 0; i < n; ++i) {
      const std::uint16_t bits = body.region_bits()[i];
      const auto all_of = [bits](std::uint16_t mask) { return (bits & mask) == mask; };
      inside[i] = (on.empty() || std::any_of(on.begin(), on.end(), all_of)) &&
                  std::none_of(except.begin(), except.end(), all_of);
      (inside[i] ? some_in : some_out) = true;
    }
    if (where.fade_m > 0 && some_in && some_out) {
      const std::vector<float> beyond = distance_over_surface(body, inside, where.fade_m);
      // A fade does not run down into a pocket that is not named.
      for (std::size_t i = 0; i < n; ++i)
        weights[i] = static_cast<float>(faded(beyond[i], body.in(i, Region::cavity) ? 0 : where.fade_m));
    } else {
      for (std::size_t i = 0; i < n; ++i) weights[i] = inside[i];
    }
  }
  if (!where.patches.empty()) {
    std::vector<Laid> patches;
    for (const Patch& p : where.patches) patches.push_back(laid(p, body));
    for_chunks(n, chunk, [&](std::size_t begin, std::size_t end) {
      for (std::size_t i = begin; i < end; ++i) {
        double most = 0;
        for (const Laid& p : patches)
          if (on_face(body, i, p.patch->face))
            most = std::max(most, faded(p.beyond(body.positions()[i]), body.in(i, Region::cavity) ? 0 : where.fade_m));
        weights[i] *= static_cast<float>(most);
      }
    });
  }
  return weights;
}

double area_under(std::span<const float> weights, const Body& body) {
  expects(weights.size() == body.size(), "one weight a vertex");
  double sum = 0;
  for (std::size_t i = 0; i < weights.size(); ++i) sum += double(weights[i]) * body.areas_m2()[i];
  return sum;
}

}  // namespace witnessline::body

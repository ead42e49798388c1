// Random numbers by key: the same key gives the same draw, whatever the thread, order or vertex numbering.
#pragma once

#include <cmath>
#include <cstdint>
#include <string_view>

#include "base/modules.h"

namespace witnessline::base {

/// Mixes 64 bits well (the finaliser of SplitMix64: Steele, Lea, Flood 2014, "Fast splittable pseudorandom number
/// generators").
constexpr std::uint64_t mixed(std::uint64_t x) {
  x += 0x9e3779b97f4a7c15ull;
  x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9ull;
  x = (x ^ (x >> 27)) * 0x94d049bb133111ebull;
  return x ^ (x >> 31);
}

/// A key built up from whatever identifies a draw: seed, step id, quantised position, index.
struct Key {
  std::uint64_t bits = 0;
  constexpr Key with(std::uint64_t part) const { return {mixed(bits ^ mixed(part))}; }
  constexpr Key with(std::string_view word) const {
    std::uint64_t h = 0xcbf29ce484222325ull;
    for (const char c : word) h = (h ^ static_cast<unsigned char>(c)) * 0x100000001b3ull;
    return with(h);
  }
  /// Position quantised to 10 um, so that vertex order and numbering do not matter.
  Key at(double x_m, double y_m, double z_m) const {
    const auto step = [](double v) { return static_cast<std::uint64_t>(std::llround(v * 1e5)); };
    return with(step(x_m)).with(step(y_m)).with(step(z_m));
  }
};

/// Uniform on (0, 1).
constexpr double uniform(Key key) { return (static_cast<double>(mixed(key.bits) >> 11) + 0.5) * 0x1.0p-53; }

/// Standard normal (Box-Muller on two uniforms of the key).
inline double normal(Key key) {
  return std::sqrt(-2.0 * std::log(uniform(key.with(1)))) * std::cos(6.283185307179586 * uniform(key.with(2)));
}

}  // namespace witnessline::base

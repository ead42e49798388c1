// The one exponential of the kernel, and how its loops are compiled. Files that use it need -O3 -fno-math-errno
// -fno-trapping-math, see CMakeLists.txt.
#pragma once

#include <bit>
#include <cstdint>

#include "base/modules.h"

// One clone for each generation of processors, chosen when the program is loaded. Sanitisers start too late for that.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__) && \
    !defined(__SANITIZE_THREAD__)
#define PER_CPU __attribute__((target_clones("default", "arch=x86-64-v3", "arch=x86-64-v4")))
#else
#define PER_CPU
#endif
#define ALWAYS_INLINE inline __attribute__((always_inline))

namespace witnessline::optics {

// 1 - exp(-u) for u >= 0, relative error below 2e-7 (tests/unit/optics): exp(-u) = 2^-k (1 + p(s)), |s| <= ln 2 / 2, so
// for small u the answer is -p(s), which has no constant term to cancel.
ALWAYS_INLINE float absorbed(float u) {
  constexpr float log2_e = 1.44269504f, ln2_high = 0.693359375f, ln2_low = -2.12194440e-4f;
  const float clipped = u < 80.0f ? u : 80.0f;
  // Adding and taking away 1.5 x 2^23 rounds to the nearest whole number.
  constexpr float rounder = 12582912.0f;
  const float shifted = clipped * -log2_e + rounder;
  const float k = shifted - rounder;
  const float s = (-clipped - k * ln2_high) - k * ln2_low;
  float p = 1.0f / 5040;
  p = p * s + 1.0f / 720;
  p = p * s + 1.0f / 120;
  p = p * s + 1.0f / 24;
  p = p * s + 1.0f / 6;
  p = p * s + 0.5f;
  p = p * s * s + s;
  const float scale = std::bit_cast<float>((std::bit_cast<std::int32_t>(shifted) << 23) + 0x3f800000);
  return (1.0f - scale) - scale * p;
}

}  // namespace witnessline::optics

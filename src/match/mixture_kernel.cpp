// Loops over bands and outputs that vectorise as they stand; compiled like the kernels of optics (CMakeLists.txt).
#include "match/mixture_kernel.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>

#include "base/result.h"
#include "optics/absorbed.h"

namespace witnessline::match {

namespace {

constexpr int padded = MixtureKernel::padded_bands, outs = MixtureKernel::outputs;

struct FilmOnBands {
  MixtureKernel::Bands inside, on_absorption, on_scattering;
};

// R = P / Q over a ground g: with sh = sinh t / t, ch = cosh t, both times 2 exp(-t), t = sqrt(K (K + 2 S)),
// P = S sh + g (ch - (K + S) sh), Q = (K + S) sh + ch - g S sh (kubelka1948, without a case for K, S or X of zero).
template <bool slopes>
ALWAYS_INLINE void film(const float* __restrict absorption, const float* __restrict scattering,
                        const float* __restrict ground, FilmOnBands& out) {
  for (int b = 0; b < padded; ++b) {
    const float k = absorption[b], s = scattering[b], g = ground[b], sum = k + s;
    const float m = std::max(k * (k + 2 * s), 1e-10f);
    const float t = std::sqrt(m);
    const float gone = absorbed(2 * t);
    const float sh = gone / t, ch = 2 - gone;
    const float p = s * sh + g * (ch - sum * sh);
    const float over_q = 1 / (sum * sh + ch - g * s * sh);
    const float r = p * over_q;
    out.inside.at[b] = r;
    if constexpr (slopes) {
      // d sh / d m = (ch - sh) / 2m, for a thin film by its series; d ch / d m = sh / 2.
      const float thin = (2 - 2 * t + m) * (1.0f / 6 + m * (1.0f / 60));
      const float thick = (ch - sh) / (2 * m);
      const float on_m = m < 0.02f ? thin : thick;
      const float half_sh = 0.5f * sh;
      const float sh_k = 2 * sum * on_m, ch_k = 2 * sum * half_sh, sh_s = 2 * k * on_m, ch_s = 2 * k * half_sh;
      const float p_k = s * sh_k + g * (ch_k - sh - sum * sh_k);
      const float q_k = sh + sum * sh_k + ch_k - g * s * sh_k;
      const float p_s = sh + s * sh_s + g * (ch_s - sh - sum * sh_s);
      const float q_s = sh + sum * sh_s + ch_s - g * (sh + s * sh_s);
      out.on_absorption.at[b] = (p_k - r * q_k) * over_q;
      out.on_scattering.at[b] = (p_s - r * q_s) * over_q;
    }
  }
}

// Eight outputs at once. Loops this short are unrolled before they are vectorised, so the vectors are spelt out.
using Eight = float __attribute__((vector_size(32), may_alias));
using EightWhole = std::int32_t __attribute__((vector_size(32)));
constexpr int eights = outs / 8;

ALWAYS_INLINE Eight& eight(float* at, int i) { return reinterpret_cast<Eight*>(at)[i]; }
ALWAYS_INLINE const Eight& eight(const float* at, int i) { return reinterpret_cast<const Eight*>(at)[i]; }

// CIE Lab's coordinate of X/Xn: cube root, straight below (6/29)^3. Source: cie15_2018. The root to 1e-7 of itself: a
// guess from the exponent, then Halley's rule twice.
template <bool slopes>
ALWAYS_INLINE void to_roots(const float* ratio, float* root, float* slope) {
  constexpr float knee = 216.0f / 24389, steep = 841.0f / 108;
  for (int i = 0; i < eights; ++i) {
    const Eight x = eight(ratio, i), t = x > knee ? x : x * 0 + knee;
    const EightWhole guess =
        __builtin_convertvector(__builtin_convertvector((EightWhole)t, Eight) * (1.0f / 3), EightWhole) + 709921077;
    Eight y = (Eight)guess;
    for (int round = 0; round < 2; ++round) {
      const Eight cube = y * y * y;
      y *= (cube + 2 * t) / (2 * cube + t);
    }
    eight(root, i) = x > knee ? y : steep * x + 4.0f / 29;
    if constexpr (slopes) eight(slope, i) = x > knee ? y / (3 * t) : x * 0 + steep;
  }
}

}  // namespace

struct MixtureLoops {
  using Bands = MixtureKernel::Bands;
  using Outputs = MixtureKernel::Outputs;

  struct Five {
    const float *k[most_in_recipe], *s[most_in_recipe];
    float share[most_in_recipe];
  };

  static Five five(const MixtureKernel& kernel, const std::array<std::uint8_t, most_in_recipe>& which,
                   const std::array<float, most_in_recipe>& shares) {
    Five of;
    for (std::size_t j = 0; j < most_in_recipe; ++j) {
      of.k[j] = kernel.absorption_[which[j]].at;
      of.s[j] = kernel.scattering_[which[j]].at;
      of.share[j] = shares[j];
    }
    return of;
  }

  ALWAYS_INLINE static void mix(const Five& of, Bands& k, Bands& s) {
    const float *k0 = of.k[0], *k1 = of.k[1], *k2 = of.k[2], *k3 = of.k[3], *k4 = of.k[4];
    const float *s0 = of.s[0], *s1 = of.s[1], *s2 = of.s[2], *s3 = of.s[3], *s4 = of.s[4];
    const float x0 = of.share[0], x1 = of.share[1], x2 = of.share[2], x3 = of.share[3], x4 = of.share[4];
    for (int b = 0; b < padded; ++b) {
      k.at[b] = x0 * k0[b] + x1 * k1[b] + x2 * k2[b] + x3 * k3[b] + x4 * k4[b];
      s.at[b] = x0 * s0[b] + x1 * s1[b] + x2 * s2[b] + x3 * s3[b] + x4 * s4[b];
    }
  }

  template <bool slopes>
  ALWAYS_INLINE static void see(const MixtureKernel& kernel, int aged, FilmOnBands& film, Bands& seen, Bands& on_k,
                                Bands& on_s) {
    const float* through = kernel.through_[static_cast<std::size_t>(aged)].at;
    const float outside = kernel.face_outside_, open = kernel.face_through_, inside = kernel.face_inside_;
    for (int b = 0; b < padded; ++b) {
      const float r = through[b] * film.inside.at[b];
      const float over = 1 / (1 - inside * r);
      seen.at[b] = outside + open * r * over;
      if constexpr (slopes) {
        const float slope = open * over * over * through[b];
        on_k.at[b] = slope * film.on_absorption.at[b];
        on_s.at[b] = slope * film.on_scattering.at[b];
      }
    }
  }

  ALWAYS_INLINE static void weigh(const std::array<Outputs, padded>& weights, const float* start, const float* seen,
                                  float* sums) {
    Eight low = eight(start, 0), high = eight(start, 1);
    for (std::size_t b = 0; b < bands; ++b) {
      const float r = seen[b];
      low += eight(weights[b].at, 0) * r, high += eight(weights[b].at, 1) * r;
    }
    eight(sums, 0) = low, eight(sums, 1) = high;
  }

  PER_CPU static void colour(const MixtureKernel& kernel, const Five& of, std::array<Outputs, 2>& root) {
    Bands k, s, seen, none;
    FilmOnBands on;
    mix(of, k, s);
    film<false>(k.at, s.at, kernel.ground_.at, on);
    for (int aged = 0; aged < 2; ++aged) {
      const auto a = static_cast<std::size_t>(aged);
      if (!kernel.seen_[a]) continue;
      see<false>(kernel, aged, on, seen, none, none);
      Outputs sums;
      weigh(kernel.weights_[a], kernel.offset_[a].at, seen.at, sums.at);
      to_roots<false>(sums.at, root[a].at, nullptr);
    }
  }

  // The colour, then for each of `count` colorants its slopes.
  template <int most>
  ALWAYS_INLINE static void with_slopes(const MixtureKernel& kernel, const Bands& k, const Bands& s, int count,
                                        const float* const* k_of, const float* const* s_of,
                                        MixtureKernel::Slopes<most>& out) {
    Bands seen, on_k, on_s, change;
    FilmOnBands on;
    film<true>(k.at, s.at, kernel.ground_.at, on);
    constexpr Outputs zero{};
    for (int aged = 0; aged < 2; ++aged) {
      const auto a = static_cast<std::size_t>(aged);
      if (!kernel.seen_[a]) continue;
      see<true>(kernel, aged, on, seen, on_k, on_s);
      Outputs sums, slope;
      weigh(kernel.weights_[a], kernel.offset_[a].at, seen.at, sums.at);
      to_roots<true>(sums.at, out.root[a].at, slope.at);
      for (int j = 0; j < count; ++j) {
        const float *kj = k_of[j], *sj = s_of[j];
        for (int b = 0; b < padded; ++b) change.at[b] = on_k.at[b] * kj[b] + on_s.at[b] * sj[b];
        float* on_share = out.on_share[a][static_cast<std::size_t>(j)].at;
        weigh(kernel.weights_[a], zero.at, change.at, on_share);
        for (int i = 0; i < eights; ++i) eight(on_share, i) *= eight(slope.at, i);
      }
    }
  }

  PER_CPU static void slopes(const MixtureKernel& kernel, const Five& of, MixtureKernel::Slopes<most_in_recipe>& out) {
    Bands k, s;
    mix(of, k, s);
    with_slopes<most_in_recipe>(kernel, k, s, most_in_recipe, of.k, of.s, out);
  }

  PER_CPU static void slopes_of_all(const MixtureKernel& kernel, const float* shares,
                                    MixtureKernel::Slopes<most_on_shelf>& out) {
    Bands k{}, s{};
    const float *k_of[most_on_shelf], *s_of[most_on_shelf];
    const int count = kernel.colorants();
    for (int j = 0; j < count; ++j) {
      k_of[j] = kernel.absorption_[static_cast<std::size_t>(j)].at;
      s_of[j] = kernel.scattering_[static_cast<std::size_t>(j)].at;
      for (int b = 0; b < padded; ++b) k.at[b] += shares[j] * k_of[j][b], s.at[b] += shares[j] * s_of[j][b];
    }
    with_slopes<most_on_shelf>(kernel, k, s, count, k_of, s_of, out);
  }
};

MixtureKernel::MixtureKernel(const MixtureSetting& setting) {
  expects(!setting.colorants.empty() && setting.colorants.size() <= most_on_shelf, "1 to 40 colorants");
  const auto padded_of = [](const Spectrum& from) {
    Bands to;
    for (int b = 0; b < padded_bands; ++b) to.at[b] = static_cast<float>(from[std::min(b, bands - 1)]);
    return to;
  };
  for (const ColorantDepths& c : setting.colorants)
    absorption_.push_back(padded_of(c.absorption)), scattering_.push_back(padded_of(c.scattering));
  ground_ = padded_of(setting.ground_inside);
  for (std::size_t a = 0; a < 2; ++a) through_[a] = padded_of(setting.through[a]);
  face_outside_ = static_cast<float>(setting.specular_share * setting.face.outside);
  face_through_ = static_cast<float>((1 - setting.face.outside) * (1 - setting.face.inside));
  face_inside_ = static_cast<float>(setting.face.inside);
  weights_ = {}, offset_ = {};
  std::array<int, 2> used{};
  for (const View& view : setting.views) {
    const std::size_t a = view.aged;
    expects(used[a] < most_lamps, "up to five lamps");
    const int first = 3 * used[a]++;
    seen_[a] = true;
    places_.push_back({view.aged, first});
    const Weights& w = weights(view.lamp, setting.observer);
    const Xyz white = white_point(view.lamp, setting.observer);
    for (std::size_t b = 0; b < bands; ++b) {
      weights_[a][b].at[first] = static_cast<float>(w.x[b] / white.x);
      weights_[a][b].at[first + 1] = static_cast<float>(w.y[b] / white.y);
      weights_[a][b].at[first + 2] = static_cast<float>(w.z[b] / white.z);
    }
  }
}

void MixtureKernel::set_offset(const std::vector<Xyz>& relative) {
  expects(relative.size() == places_.size(), "one offset a view");
  for (std::size_t v = 0; v < relative.size(); ++v) {
    float* at = offset_[static_cast<std::size_t>(places_[v].aged)].at + places_[v].first;
    at[0] = static_cast<float>(relative[v].x), at[1] = static_cast<float>(relative[v].y);
    at[2] = static_cast<float>(relative[v].z);
  }
}

void MixtureKernel::colour(const std::array<std::uint8_t, most_in_recipe>& which,
                           const std::array<float, most_in_recipe>& shares, std::array<Outputs, 2>& root) const {
  MixtureLoops::colour(*this, MixtureLoops::five(*this, which, shares), root);
}

void MixtureKernel::slopes(const std::array<std::uint8_t, most_in_recipe>& which,
                           const std::array<float, most_in_recipe>& shares, Slopes<most_in_recipe>& out) const {
  MixtureLoops::slopes(*this, MixtureLoops::five(*this, which, shares), out);
}

void MixtureKernel::slopes_of_all(const std::array<float, most_on_shelf>& shares, Slopes<most_on_shelf>& out) const {
  MixtureLoops::slopes_of_all(*this, shares.data(), out);
}

}  // namespace witnessline::match

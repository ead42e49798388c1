// The 64 spectra of a block under one lamp.
#include <algorithm>
#include <cmath>

#include "optics/absorbed.h"
#include "optics/reflectance.h"

namespace witnessline::optics {
namespace {

struct SingleWeights {
  std::array<float, bands> x, y, z;
};

PER_CPU void sum(const SingleWeights& w, const BlockSpectra& spectra, BlockXyz& out) {
  float* __restrict x = out.x.data();
  float* __restrict y = out.y.data();
  float* __restrict z = out.z.data();
  for (std::size_t band = 0; band < bands; ++band) {
    const float wx = w.x[band], wy = w.y[band], wz = w.z[band];
    const float* __restrict r = spectra[band].data();
    for (int i = 0; i < block; ++i) {
      x[i] += wx * r[i];
      y[i] += wy * r[i];
      z[i] += wz * r[i];
    }
  }
}

struct LampWeights {
  SingleWeights xyz, linear_srgb;
};

const LampWeights& lamp_weights(Lamp lamp, Observer observer) {
  static const auto all = [] {
    std::array<std::array<LampWeights, 2>, words(static_cast<const Lamp*>(nullptr)).size()> made;
    for (std::size_t l = 0; l < made.size(); ++l)
      for (std::size_t o = 0; o < 2; ++o) {
        const Weights& w = weights(static_cast<Lamp>(l), static_cast<Observer>(o));
        const auto m = linear_srgb_from_xyz(white_point(static_cast<Lamp>(l), static_cast<Observer>(o)));
        for (std::size_t band = 0; band < bands; ++band) {
          const auto row = [&](std::size_t i) {
            return static_cast<float>(m[i][0] * w.x[band] + m[i][1] * w.y[band] + m[i][2] * w.z[band]);
          };
          made[l][o].linear_srgb.x[band] = row(0);
          made[l][o].linear_srgb.y[band] = row(1);
          made[l][o].linear_srgb.z[band] = row(2);
          made[l][o].xyz.x[band] = static_cast<float>(w.x[band]);
          made[l][o].xyz.y[band] = static_cast<float>(w.y[band]);
          made[l][o].xyz.z[band] = static_cast<float>(w.z[band]);
        }
      }
    return made;
  }();
  return all[static_cast<std::size_t>(lamp)][static_cast<std::size_t>(observer)];
}

// Where in the table of encoded values a linear value lies.
PER_CPU void find_steps(const Lane& linear, std::array<std::int32_t, block>& step) {
  for (std::size_t i = 0; i < block; ++i)
    step[i] = static_cast<std::int32_t>(std::min(std::max(linear[i], 0.0f), 1.0f) * 4096 + 0.5f);
}

}  // namespace

BlockXyz to_xyz(const BlockSpectra& spectra, Lamp lamp, Observer observer) {
  BlockXyz sums{};
  sum(lamp_weights(lamp, observer).xyz, spectra, sums);
  return sums;
}

std::array<Lab, block> to_lab(const BlockSpectra& spectra, Lamp lamp, Observer observer) {
  const BlockXyz xyz = to_xyz(spectra, lamp, observer);
  const Xyz white = white_point(lamp, observer);
  std::array<Lab, block> labs;
  for (std::size_t i = 0; i < block; ++i) labs[i] = to_lab(Xyz{xyz.x[i], xyz.y[i], xyz.z[i]}, white);
  return labs;
}

std::array<std::array<std::uint8_t, 3>, block> to_srgb_bytes(const BlockSpectra& spectra, Lamp lamp,
                                                             Observer observer) {
  // Encoding by table: 4096 steps are finer than a byte everywhere, so a byte is at most one off.
  static const auto encoded = [] {
    std::array<std::uint8_t, 4097> table{};
    for (std::size_t i = 0; i < table.size(); ++i)
      table[i] = static_cast<std::uint8_t>(std::lround(255 * srgb_encode(static_cast<double>(i) / 4096)));
    return table;
  }();
  BlockXyz linear{};
  sum(lamp_weights(lamp, observer).linear_srgb, spectra, linear);
  std::array<std::array<std::int32_t, block>, 3> step;
  find_steps(linear.x, step[0]);
  find_steps(linear.y, step[1]);
  find_steps(linear.z, step[2]);
  std::array<std::array<std::uint8_t, 3>, block> bytes;
  for (std::size_t i = 0; i < block; ++i)
    for (std::size_t c = 0; c < 3; ++c) bytes[i][c] = encoded[static_cast<std::size_t>(step[c][i])];
  return bytes;
}

}  // namespace witnessline::optics

// The kernel: 64 columns at a time, in single precision, written so that the compiler vectorises over columns.
//
// A film over a ground, with c = S + K + sqrt(K (K + 2S)), r = S / c (its reflectance when thick) and
// E = exp(-u/2), becomes
//     R = (Rg + f (r - Rg)) / (1 + r f (r - Rg)),   f = c X (1 - exp(-u)) / u,   u = 2 X sqrt(K (K + 2S)),
// the same number as R = (Rn + (E^2 - r^2) Rg) / (1 - r^2 E^2 - Rn Rg), Rn = r (1 - E^2), E^2 = exp(-u), but without
// the differences of nearly equal numbers that spoil it in single precision as K, S or X go to zero.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/result.h"
#include "optics/absorbed.h"
#include "optics/face.h"
#include "optics/reflectance.h"

namespace witnessline::optics {
namespace {

// Optical depth of a coat at one band: the sum of a constant of each source times its amount in each column.
struct Sources {
  int count = 0;
  std::array<const float*, 4> per_m;   // [band]
  std::array<const float*, 4> amount;  // [column]
  void add(const float* constant, const float* columns) {
    per_m[static_cast<std::size_t>(count)] = constant;
    amount[static_cast<std::size_t>(count++)] = columns;
  }
};

ALWAYS_INLINE void sum(const Sources& sources, int band, float* __restrict depth) {
  const float first = sources.per_m[0][band];
  const float* amount = sources.amount[0];
  for (int i = 0; i < block; ++i) depth[i] = first * amount[i];
  for (std::size_t j = 1; j < static_cast<std::size_t>(sources.count); ++j) {
    const float constant = sources.per_m[j][band];
    const float* more = sources.amount[j];
    for (int i = 0; i < block; ++i) depth[i] += constant * more[i];
  }
}

// A coat that only absorbs: the ground times exp(-2 K X).
PER_CPU void lay_clear(const Sources& absorption, BlockSpectra& spectra) {
  for (int band = 0; band < bands; ++band) {
    alignas(64) float depth[block];
    sum(absorption, band, depth);
    float* __restrict r = spectra[static_cast<std::size_t>(band)].data();
    for (int i = 0; i < block; ++i) r[i] -= r[i] * absorbed(2 * depth[i]);
  }
}

// A coat whose K and S are the same in every column.
PER_CPU void lay_uniform(const CoatSequence::Coat& coat, const float* __restrict thickness_m, BlockSpectra& spectra) {
  for (std::size_t band = 0; band < bands; ++band) {
    float* __restrict r = spectra[band].data();
    const float decay = coat.decay[band], gain = coat.gain[band], thick = coat.thick[band];
    for (int i = 0; i < block; ++i) {
      const float pull = gain * absorbed(decay * thickness_m[i]) * (thick - r[i]);
      r[i] = (r[i] + pull) / (1 + thick * pull);
    }
  }
}

// A coat whose K and S differ from column to column: yellowed, or with some of the coat below melted into it.
PER_CPU void lay_mixed(const Sources& absorption, const Sources& scattering, BlockSpectra& spectra) {
  for (int band = 0; band < bands; ++band) {
    alignas(64) float k[block], s[block];
    sum(absorption, band, k);
    sum(scattering, band, s);
    float* __restrict r = spectra[static_cast<std::size_t>(band)].data();
    for (int i = 0; i < block; ++i) {
      const float root = std::sqrt(k[i] * (k[i] + 2 * s[i])) + 1e-12f;
      const float c = s[i] + k[i] + root;
      const float over = 1 / (c * root);
      const float thick = s[i] * root * over;
      const float pull = 0.5f * c * c * over * absorbed(2 * root) * (thick - r[i]);
      r[i] = (r[i] + pull) / (1 + thick * pull);
    }
  }
}

// The air face of each column: its two reflectances, and how much of the column has one.
struct Faces {
  alignas(64) Lane without, body, inside, surface, specular;
};

PER_CPU void through_face(const Faces& faces, BlockSpectra& spectra) {
  for (Lane& lane : spectra) {
    float* __restrict r = lane.data();
    for (std::size_t i = 0; i < block; ++i)
      r[i] = faces.surface[i] + r[i] * (faces.without[i] + faces.body[i] / (1 - faces.inside[i] * r[i]));
  }
}

PER_CPU void add_scattered(const Lane& surface, const Lane& phase_nm2, BlockSpectra& spectra) {
  for (int band = 0; band < bands; ++band) {
    const float per_nm2 = static_cast<float>(1 / (band_nm(band) * band_nm(band)));
    float* __restrict r = spectra[static_cast<std::size_t>(band)].data();
    for (std::size_t i = 0; i < block; ++i) r[i] += surface[i] * absorbed(phase_nm2[i] * per_nm2);
  }
}

bool any(const Lane& lane) {
  int found = 0;  // no early way out: the compiler vectorises this
  for (float v : lane) found |= v > 0 ? 1 : 0;
  return found != 0;
}

// Woods of the columns. Nearly always the whole block stands on one.
void fill_ground(const std::vector<std::array<float, bands>>& grounds, const std::array<std::uint8_t, block>& ground_of,
                 BlockSpectra& out) {
  int differs = 0;
  for (std::uint8_t g : ground_of) differs |= g ^ ground_of[0];
  for (std::size_t band = 0; band < bands; ++band) {
    if (differs == 0)
      out[band].fill(grounds[ground_of[0]][band]);
    else
      for (std::size_t i = 0; i < block; ++i) out[band][i] = grounds[ground_of[i]][band];
  }
}

// A coat's own film and what it hands to the coat above, each also times its yellowing.
struct Amounts {
  alignas(64) Lane own, own_yellow, up, up_yellow;
  bool yellowed = false, melted = false;
};

// All films together, and the face of the outermost.
struct Outermost {
  alignas(64) Lane thickness_m, outside, inside;
};

PER_CPU void share_out(const CoatSequence::Coat& coat, const Lane& signed_thickness_m, const Lane& yellowing,
                       const Lane& melted, Amounts& amounts, Outermost& outermost) {
  for (std::size_t i = 0; i < block; ++i) {
    const bool there = signed_thickness_m[i] > 0;
    const float thickness_m = there ? signed_thickness_m[i] : 0.0f;
    const float up = amounts.melted ? std::min(std::max(melted[i], 0.0f), 1.0f) : 0.0f;
    amounts.own[i] = thickness_m * (1 - up);
    amounts.up[i] = thickness_m * up;
    amounts.own_yellow[i] = amounts.own[i] * yellowing[i];
    amounts.up_yellow[i] = amounts.up[i] * yellowing[i];
    outermost.thickness_m[i] += thickness_m;
    outermost.outside[i] = there ? coat.face_outside : outermost.outside[i];
    outermost.inside[i] = there ? coat.face_inside : outermost.inside[i];
  }
}

PER_CPU void find_faces(float bare_outside, float bare_inside, bool specular_included, const Outermost& outermost,
                        Faces& faces) {
  constexpr auto bare_share = static_cast<float>(bare_wood_face_share);
  constexpr auto per_texture = static_cast<float>(1 / wood_texture_m);
  for (std::size_t i = 0; i < block; ++i) {
    const float wet = absorbed(outermost.thickness_m[i] * per_texture);
    const float outside = bare_outside + wet * (outermost.outside[i] - bare_outside);
    const float inside = bare_inside + wet * (outermost.inside[i] - bare_inside);
    const float share = bare_share + wet * (1 - bare_share);
    faces.without[i] = 1 - share;
    faces.inside[i] = inside;
    faces.body[i] = share * (1 - outside) * (1 - inside);
    faces.specular[i] = wet * outside;
    faces.surface[i] = bare_share * (1 - wet) * outside + (specular_included ? faces.specular[i] : 0.0f);
  }
}

}  // namespace

CoatSequence::CoatSequence(const std::vector<CoatOptics>& coats, const std::vector<Reflectance>& bare_grounds,
                           const Geometry& geometry)
    : geometry_(geometry) {
  expects(!bare_grounds.empty(), "columns stand on a ground");
  for (const CoatOptics& optics : coats) {
    Coat coat{};
    for (int band = 0; band < bands; ++band) {
      const auto b = static_cast<std::size_t>(band);
      const double k = std::max(optics.absorption_per_m[band], 0.0), s = std::max(optics.scattering_per_m[band], 0.0);
      const double root = std::sqrt(k * (k + 2 * s)), c = std::max(s + k + root, 1e-9);
      const double decay = std::max(2 * root, 1e-7 * c);
      coat.absorption[b] = static_cast<float>(k);
      coat.scattering[b] = static_cast<float>(s);
      coat.yellowing[b] = static_cast<float>(optics.yellowing_per_m[band]);
      coat.decay[b] = static_cast<float>(decay);
      coat.gain[b] = static_cast<float>(c / decay);
      coat.thick[b] = static_cast<float>(s / c);
      coat.scatters = coat.scatters || s > 0;
      coat.yellows = coat.yellows || coat.yellowing[b] > 0;
    }
    const AirFace face = air_face(optics.refractive_index, geometry.illumination_deg);
    coat.face_outside = static_cast<float>(face.outside);
    coat.face_inside = static_cast<float>(face.inside);
    coats_.push_back(coat);
  }
  const AirFace wood_face = air_face(wood_index, geometry.illumination_deg);
  bare_face_outside_ = static_cast<float>(wood_face.outside);
  bare_face_inside_ = static_cast<float>(wood_face.inside);
  for (const Reflectance& bare : bare_grounds) {
    std::array<float, bands> body{};
    std::transform(bare.at.begin(), bare.at.end(), body.begin(),
                   [&](double v) { return static_cast<float>(body_of_bare_wood(v, wood_face)); });
    grounds_.push_back(body);
  }
}

void reflectance(const CoatSequence& sequence, const ColumnBlock& columns, BlockSpectra& out) {
  const auto& coats = sequence.coats();
  expects(columns.thickness_m.size() == coats.size(), "one thickness a coat");

  fill_ground(sequence.grounds(), columns.ground_of, out);
  Amounts amounts[2];
  Outermost outermost;
  outermost.thickness_m.fill(0);
  outermost.outside.fill(sequence.bare_face_outside());
  outermost.inside.fill(sequence.bare_face_inside());
  for (std::size_t c = 0; c < coats.size(); ++c) {
    const CoatSequence::Coat& coat = coats[c];
    Amounts& now = amounts[c % 2];
    const bool has_above = c + 1 < coats.size();
    now.melted = has_above && any(columns.melted[c]);
    now.yellowed = coat.yellows && any(columns.yellowing[c]);
    share_out(coat, columns.thickness_m[c], columns.yellowing[c], columns.melted[c], now, outermost);

    Sources absorption, scattering;
    absorption.add(coat.absorption.data(), now.own.data());
    if (now.yellowed) absorption.add(coat.yellowing.data(), now.own_yellow.data());
    if (coat.scatters) scattering.add(coat.scattering.data(), now.own.data());
    const bool received = c > 0 && amounts[(c + 1) % 2].melted;
    if (received) {
      const CoatSequence::Coat& below = coats[c - 1];
      const Amounts& from = amounts[(c + 1) % 2];
      absorption.add(below.absorption.data(), from.up.data());
      if (from.yellowed) absorption.add(below.yellowing.data(), from.up_yellow.data());
      if (below.scatters) scattering.add(below.scattering.data(), from.up.data());
    }
    if (scattering.count == 0)
      lay_clear(absorption, out);
    else if (received || now.yellowed)
      lay_mixed(absorption, scattering, out);
    else
      lay_uniform(coat, now.own.data(), out);
  }

  if (any(columns.grime_kg_m2)) {
    static const std::array<float, bands> grime = [] {
      std::array<float, bands> single{};
      std::transform(grime_optics().absorption_per_m.at.begin(), grime_optics().absorption_per_m.at.end(),
                     single.begin(), [](double v) { return static_cast<float>(v); });
      return single;
    }();
    Lane amount;
    std::transform(columns.grime_kg_m2.begin(), columns.grime_kg_m2.end(), amount.begin(),
                   [](float v) { return std::max(v, 0.0f); });
    Sources absorption;
    absorption.add(grime.data(), amount.data());
    lay_clear(absorption, out);
  }

  Faces faces;
  const Geometry& geometry = sequence.geometry();
  find_faces(sequence.bare_face_outside(), sequence.bare_face_inside(), geometry.specular_included, outermost, faces);
  through_face(faces, out);
  if (!geometry.specular_included && any(columns.roughness_m)) {
    Lane phase_nm2;
    const double phase_per_m = 4e9 * std::numbers::pi * std::cos(geometry.illumination_deg * std::numbers::pi / 180);
    for (std::size_t i = 0; i < block; ++i) {
      const double phase = phase_per_m * columns.roughness_m[i];
      phase_nm2[i] = static_cast<float>(phase * phase);
    }
    add_scattered(faces.specular, phase_nm2, out);
  }
}

}  // namespace witnessline::optics

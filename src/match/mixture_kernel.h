// The colour of one mixture after another over one ground under a few lamps, as fast as the processor can.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "colour/colour.h"
#include "optics/face.h"

namespace witnessline::match {

inline constexpr int most_in_recipe = 5;
inline constexpr int most_on_shelf = 40;
inline constexpr int most_lamps = 5;

/// K and S of a colorant times the thickness of the film [1].
struct ColorantDepths {
  Spectrum absorption, scattering;
};

/// One lamp, and whether the clear above is seen as on the day or as aged.
struct View {
  Lamp lamp = Lamp::D65;
  bool aged = false;
};

/// What does not change from mixture to mixture.
struct MixtureSetting {
  std::vector<ColorantDepths> colorants;
  Spectrum ground_inside;           ///< what lies behind the face of the ground [1]
  AirFace face;                     ///< of the finished film
  double specular_share = 1;        ///< of the face's own reflection that the reading holds
  std::array<Spectrum, 2> through;  ///< of the clear above, there and back [1]: on the day, as aged
  std::vector<View> views;          ///< up to most_lamps of either kind
  Observer observer = Observer::deg10;
};

/// The colour of one mixture under every view, in the cube-root coordinates of CIE Lab: X, Y, Z of view 0, then of 1...
class MixtureKernel {
 public:
  static constexpr int padded_bands = 40, outputs = 16;
  struct alignas(64) Bands {
    float at[padded_bands];
  };
  struct alignas(64) Outputs {
    float at[outputs];
  };
  /// A colour and its slopes on the shares of the colorants asked for.
  template <int most>
  struct Slopes {
    std::array<Outputs, 2> root;  ///< on the day, as aged
    std::array<std::array<Outputs, most>, 2> on_share;
  };

  explicit MixtureKernel(const MixtureSetting&);
  int colorants() const { return static_cast<int>(absorption_.size()); }

  /// Shares by volume of up to most_in_recipe colorants; unused places hold share 0 and any colorant.
  /// Law: kubelka1948 film over a ground, saunderson1942 face, a clear that only absorbs between them. Within 3e-6 of
  /// film_optics in reflectance (tests/unit/match).
  void colour(const std::array<std::uint8_t, most_in_recipe>& which, const std::array<float, most_in_recipe>& shares,
              std::array<Outputs, 2>& root) const;
  void slopes(const std::array<std::uint8_t, most_in_recipe>& which, const std::array<float, most_in_recipe>& shares,
              Slopes<most_in_recipe>&) const;
  /// The same for the whole shelf.
  void slopes_of_all(const std::array<float, most_on_shelf>& shares, Slopes<most_on_shelf>&) const;

  /// Where view v stands: [aged][3 * place].
  struct Place {
    int aged = 0, first = 0;
  };
  const std::vector<Place>& places() const { return places_; }
  /// Added to every colour from now on, a view: what a panel read less what was predicted [XYZ over white's XYZ].
  void set_offset(const std::vector<Xyz>& relative);

 private:
  friend struct MixtureLoops;
  std::vector<Bands> absorption_, scattering_;
  Bands ground_;
  std::array<Bands, 2> through_;
  std::array<std::array<Outputs, padded_bands>, 2> weights_;
  std::array<Outputs, 2> offset_;
  std::array<bool, 2> seen_{};
  float face_outside_ = 0, face_through_ = 1, face_inside_ = 0;
  std::vector<Place> places_;
};

}  // namespace witnessline::match

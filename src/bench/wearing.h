// Wearing: how deep what a life rubbed goes into a column of coats.
#pragma once

#include <algorithm>
#include <span>
#include <vector>

#include "bench/columns.h"
#include "bench/contact.h"
#include "bench/paint.h"
#include "bench/wear_unknowns.h"

namespace witnessline::bench {

/// Depth worn [m]. Law: K p s / H; `rub_Pa_m` is K x pressure x way slid. Source: archard1953. Valid: the hardness of
/// the softer side rules, wear stays small against the thing. Departs: K and H are taken as constant.
inline double archard_depth_m(double rub_Pa_m, double hardness_Pa) { return rub_Pa_m / hardness_Pa; }

/// How a coat stands up to rubbing.
struct Resistance {
  double hardness_Pa = 150e6;
  double sweat_factor = 1;  ///< how much faster it goes where it is kept damp with sweat
};
/// ESTIMATE: indentation hardness of films by binder; what spirit and sweat soften wears two to three times as fast.
Resistance resistance_of(Binder);
/// ESTIMATE: 35 MPa at 600 kg/m3, with the square of the density (side hardness of woods goes so: fpl282 chapter 5,
/// from memory); bare wood is taken not to be softened.
Resistance resistance_of_wood(const Material* wood);

/// What practice makes of Archard's K of bare wood over that of a film under the same rubbing [1]. Skin and cloth
/// burnish and grease bare wood, where an old film is softened by sweat, crazes and flakes; a pick or a buckle crushes
/// its fibres nearly as it cuts a film. ESTIMATE (wear_unknowns.h).
struct WoodWear {
  double soft = wear_unknown(WearUnknown::wood_wear_soft).value;
  double hard = wear_unknown(WearUnknown::wood_wear_hard).value;
};

class Wearing {
 public:
  /// Errors: a coat whose paint is not known.
  static Result<Wearing> of(const Film&, const Bench&, const ContactField&, const std::string& key);

  /// Depth [m] a share of the life wears off column i of `columns`, which stands at vertex v.
  /// Law: coat by coat from the air side, each taking the share of the life that its thickness lasts; then wood, whose
  /// K is its own (WoodWear).
  double depth_m(std::size_t v, const Columns& columns, std::size_t i, double share = 1) const;
  /// Share of the life that it takes to go `depth_m` deep there; infinite where nothing touches.
  double share_to(std::size_t v, const Columns& columns, std::size_t i, double depth_m) const;

 private:
  double rate_m(const Resistance& r, std::size_t v) const {
    return archard_depth_m(
        static_cast<double>(field_->dry_Pa_m[v]) + r.sweat_factor * static_cast<double>(field_->sweat_Pa_m[v]),
        r.hardness_Pa);
  }
  double wood_rate_m(std::size_t v) const {
    const double hard = static_cast<double>(field_->hard_Pa_m[v]),
                 soft = static_cast<double>(field_->dry_Pa_m[v]) + static_cast<double>(field_->sweat_Pa_m[v]) - hard;
    return archard_depth_m(wood_.soft * std::max(0.0, soft) + wood_.hard * hard, woods_[body_wood_[v]].hardness_Pa);
  }

  WoodWear wood_;
  const ContactField* field_ = nullptr;
  std::vector<Resistance> coats_, woods_;
  std::span<const std::uint8_t> body_wood_;
};

}  // namespace witnessline::bench

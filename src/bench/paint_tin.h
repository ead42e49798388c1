// A tin of paint: what is in it and what is known of this very tin. The shelf of a job, tins tried, and every request
// that names a tin hold this one.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/describe.h"
#include "materials/material.h"

namespace witnessline::bench {

inline constexpr Unit cup_seconds{"s", 1.0};

/// A cup run out, with thinner in the tin or none.
struct CupReading {
  std::string cup;
  double run_out_s = 0, temperature_K = 0, thinner_parts_ratio = 0;
};
template <class V>
void describe(V& v, CupReading& r) {
  v(member("cup", "ford_1 to ford_5, zahn_1 to zahn_5, iso_3 to iso_6, din_4").must(), r.cup);
  v(member("run_out_s", "until the stream breaks", cup_seconds).within(1, 1000).must(), r.run_out_s);
  v(member("temperature_degC", "of the paint in the cup", unit::degC).within(5, 40).must(), r.temperature_K);
  v(member("thinner_parts", "thinner already in it, parts by volume to one of the tin").within(0, 10),
    r.thinner_parts_ratio);
}

/// A solvent and its share by volume.
struct SolventPart {
  std::string material;
  double share_frac = 0;
};
template <class V>
void describe(V& v, SolventPart& p) {
  v(member("material", "solvent, a material id").must(), p.material);
  v(member("share_pct", "by volume; all shares sum to 100", unit::pct).within(0, 100).must(), p.share_frac);
}

/// Pigment or flake in a paint.
struct Grains {
  std::string name;
  double diameter_m = 1e-6;
  std::optional<double> thickness_m;
  double density_kg_m3 = 4000;
  double volume_fraction = 0.05;
};
template <class V>
void describe(V& v, Grains& g) {
  v(member("name", "what they are").must(), g.name);
  v(member("diameter_um", "of a grain, or across a flake", unit::um).within(0.05, 500).must(), g.diameter_m);
  v(member("thickness_um", "of a flake; absent: a round grain", unit::um).within(0.01, 50), g.thickness_m);
  v(member("density_kg_m3", "of what they are made of", unit::kg_m3).within(500, 20000).must(), g.density_kg_m3);
  v(member("volume_pct", "share of the liquid by volume", unit::pct).within(0, 40), g.volume_fraction);
}

struct PaintTin {
  std::string material;     ///< material of the library or mixture of the job; with `parts` what the mixture is called
  std::vector<Part> parts;  ///< what was mixed in it
  std::string batch;
  double volume_m3 = 0;
  double price_per_litre = 0;  ///< in the shop's own currency; 0: not given
  bool irreplaceable = false;
  std::optional<double> filled_years_ago;
  std::optional<double> solids_frac;
  std::vector<CupReading> readings;
  std::vector<SolventPart> solvents;
  std::vector<Grains> grains;
};
template <class V>
void describe(V& v, PaintTin& t) {
  v(member("material", "material of the library or mixture of the job; with `parts`: what the mixture is called")
        .must(),
    t.material);
  v(member("parts", "what was mixed in it, shares of the mass that sum to 1; absent: as `material` says"), t.parts);
  v(member("batch", "tin or batch"), t.batch);
  v(member("volume_mL", "how much is in it; 0: not known", unit::mL).within(0, 100000), t.volume_m3);
  v(member("price_per_litre", "in the shop's own currency; 0: not given").within(0, 100000), t.price_per_litre);
  v(member("irreplaceable", "there will never be more"), t.irreplaceable);
  v(member("filled_years_ago", "as far as known").within(0, 150), t.filled_years_ago);
  v(member("solids_pct", "by volume, from its data sheet; absent: the library's", unit::pct).within(0, 95),
    t.solids_frac);
  v(member("readings", "cup readings as it is, and with some thinner in it: two say far more than one"), t.readings);
  v(member("solvents", "what its own solvents are, where the data sheet lists them; absent: the usual ones"),
    t.solvents);
  v(member("grains", "pigment and flake in it"), t.grains);
}

}  // namespace witnessline::bench

// The step `yellow`.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bench/step_kind.h"

namespace witnessline::bench {

/// Light yellows the clears: a dose, or that of a life.
struct Yellow {
  static constexpr std::string_view word = "yellow";
  std::optional<double> light_lx_s;  ///< dose where nothing covers the surface
  Where where;
  std::string life = {};  ///< instead of a dose: all the light of this life, by how a place is turned to the room
  std::vector<Patch> parts = {};  ///< under plates and parts: no light
  Traits traits() const {
    return Traits(Cuts::no, no_coat, Wets::no, Heats::no, Chills::no, Sheds::nothing, Tool::none, Ages::yes,
                  SurfaceEffect::none, &where, no_rest);
  }
  void vary(VariedInput&) {}
  void check(StepCheck& c) const {
    c.one_of("light_Mlx_h", light_lx_s.has_value(), "life", !life.empty());
    c.life("life", life);
    c.where("where", where);
    c.patches("parts", parts);
  }
  Headline headline(const ShowQuantity&) const { return {}; }
};
template <class V>
void describe(V& v, Yellow& s) {
  v(member("light_Mlx_h", "light dose where nothing covers the surface; or life", unit::Mlx_h).within(0, 1000),
    s.light_lx_s);
  v(member("life", "a life of the job, instead of a dose: less light falls on what is turned from the room"), s.life);
  v(member("where", "what the light reaches"), s.where);
  v(member("parts", "under plates and parts, where no light comes"), s.parts);
}

Result<StepResult> work(const Yellow&, StepContext&);

}  // namespace witnessline::bench

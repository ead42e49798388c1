// The step `clean`.
#pragma once

#include <string>

#include "bench/step_kind.h"

namespace witnessline::bench {

/// Wipe grime and polish off; spraying waits for it.
struct Clean {
  static constexpr std::string_view word = "clean";
  Where where;
  std::string with = "naphtha";  ///< cleaner or solvent in the library
  int cloths = 3;                ///< fresh cloths: wet on, dry off
  bool dry_off = true;           ///< a dry cloth follows before it flashes; false: dissolved grime dries back on
  Traits traits() const {
    return Traits(Cuts::no, no_coat, Wets::yes, Heats::no, Chills::no, Sheds::nothing, Tool::hand, Ages::no,
                  SurfaceEffect::wipes, &where, no_rest);
  }
  void vary(VariedInput&) {}
  void check(StepCheck& c) const {
    c.material("with", with, {Role::cleaner, Role::solvent});
    c.where("where", where);
  }
  Headline headline(const ShowQuantity&) const { return {std::to_string(cloths), "fresh cloths"}; }
};
template <class V>
void describe(V& v, Clean& s) {
  v(member("where", "what is cleaned"), s.where);
  v(member("with", "cleaner or solvent, a material id"), s.with);
  v(member("cloths", "fresh cloths, each wet on and dry off").within(1, 50), s.cloths);
  v(member("dry_off", "a dry cloth follows each wet one before it flashes"), s.dry_off);
}

Result<StepResult> work(const Clean&, StepContext&);

}  // namespace witnessline::bench

#include "drying/common_practice.h"

#include <fmt/format.h>

namespace witnessline::drying {

namespace {
constexpr double year_s = 365.25 * 86400;

template <class... Binders>
constexpr bool among(Binder b, Binders... these) {
  return ((b == these) || ...);
}
/// What of this paint acts on a film below.
const char* solvents_in_words(Binder fresh) {
  if (fresh == Binder::polyester) return "Polyester's styrene and hardener";
  if (fresh == Binder::two_pack_polyurethane) return "The esters and xylene of a two-pack polyurethane";
  return fresh == Binder::catalysed ? "The solvents of a catalysed lacquer" : "Lacquer solvents";
}
}  // namespace

std::optional<Practice> common_practice(Binder fresh, Binder old, double old_age_s, Role old_role) {
  using enum Binder;
  if (fresh == none || old == none) return std::nullopt;
  const bool strong = among(fresh, nitrocellulose, acrylic, catalysed, vinyl, two_pack_polyurethane);
  const bool spirit = among(fresh, shellac, spirit_varnish), oil = among(fresh, oil_varnish, alkyd, polyurethane);

  if (old_role == Role::filler && among(old, oil_varnish, alkyd) && strong)
    return Practice{Meeting::unknown,
                    "An oil paste filler takes lacquer once it is hard in the pores, after days; too soon, or flooded, "
                    "it lifts and greys."};
  if (among(old, polyurethane, two_pack_polyurethane, polyester, catalysed))
    return Practice{Meeting::sits_on_top, "Fully cured: nothing melts into it, so scuff before the next coat."};
  if (among(old, oil_varnish, alkyd)) {
    if ((strong || fresh == polyester) && old_age_s < year_s)
      return Practice{Meeting::lifts_or_crazes,
                      fmt::format("{} lift an oil or alkyd film in its first months.", solvents_in_words(fresh))};
    if (strong)
      return Practice{Meeting::unknown,
                      "Old oil and enamel films have taken lacquer without harm, and have lifted: seal with "
                      "shellac between, or try a spot."};
    if (fresh == polyester)
      return Practice{Meeting::unknown, "Polyester needs its maker's isolating coat over anything oily."};
    return Practice{Meeting::sits_on_top, "Holds on a clean, scuffed oil or alkyd film."};
  }
  if (fresh == polyester)
    return old == shellac || old == water_borne
               ? Practice{Meeting::unknown, "Polyester needs its maker's isolating coat between."}
               : Practice{Meeting::lifts_or_crazes,
                          "Do not put polyester over lacquer or spirit varnish: its styrene swells them and its "
                          "shrinking build tears them off."};
  if (among(old, shellac, spirit_varnish)) {
    if (spirit) return Practice{Meeting::bites_in, "Spirit melts spirit finishes into one."};
    if (among(fresh, polyurethane, two_pack_polyurethane))
      return Practice{Meeting::unknown, "Holds on dewaxed shellac, lets go of shellac with its wax."};
    if (old == shellac && fresh != catalysed)
      return Practice{Meeting::sits_on_top,
                      "Dewaxed shellac is the usual tie coat between finishes that do not bond to each other."};
    if (oil || fresh == water_borne) return Practice{Meeting::sits_on_top, "Holds on a scuffed spirit varnish."};
    return std::nullopt;
  }
  if (old == water_borne) {
    if (fresh == water_borne || oil) return Practice{Meeting::sits_on_top, "Holds on a clean, keyed film."};
    if (strong)
      return Practice{Meeting::unknown,
                      fmt::format("{} may craze or lift a water-borne film.", solvents_in_words(fresh))};
    return std::nullopt;
  }
  // Under it now: nitrocellulose, acrylic or vinyl.
  if (fresh == old || (among(fresh, nitrocellulose, vinyl) && among(old, nitrocellulose, vinyl)))
    return Practice{Meeting::bites_in, "Lacquer melts into lacquer of its kind."};
  if (fresh == nitrocellulose || (old == vinyl && among(fresh, acrylic, catalysed)))
    return Practice{Meeting::bites_in, "The thinner softens what is below, and the two join."};
  if (fresh == acrylic && old == nitrocellulose)
    return Practice{Meeting::lifts_or_crazes, "Acrylic lacquer over nitrocellulose lacquer crazes it sooner or later."};
  if (fresh == catalysed && old == nitrocellulose)
    return Practice{Meeting::lifts_or_crazes,
                    "Acid-cured lacquer in any build over plain lacquer wrinkles it or cracks on it."};
  if (fresh == two_pack_polyurethane)
    return Practice{
        Meeting::unknown,
        "Two-pack polyurethane has held on old lacquer and has lifted it: an isolating coat of its maker's, "
        "or a trial."};
  if (spirit || oil || fresh == water_borne) return Practice{Meeting::sits_on_top, "Holds on a clean, keyed lacquer."};
  return std::nullopt;
}

}  // namespace witnessline::drying

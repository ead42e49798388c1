#include "bench/cold.h"

#include <fmt/format.h>

#include "drying/carrier.h"

namespace witnessline::bench {

const Material* solvent_left_in(Binder binder, const Library& library) {
  // Of a carrier that differs from maker to maker the vapour of the whole blend is counted.
  const std::vector<UsualCarrier>& carriers = library.usual_carriers();
  const auto most = std::find_if(carriers.begin(), carriers.end(), [&](const UsualCarrier& one) {
    return one.binder == binder && one.volume_fraction == 1;
  });
  return most == carriers.end() ? last_to_leave(binder, library) : library.find(most->solvent);
}

std::optional<ColdRefused> why_not_cooled(const FilmToCool& film) {
  constexpr double day_s = 86400;
  if (film.age_s < youngest_cooled_s)
    return ColdRefused{
        fmt::format("the film is {:.0f} days old: it is soft and still shrinks, so cold prints and wrinkles "
                    "it rather than checks it",
                    film.age_s / day_s),
        fmt::format("let it cure {:.0f} days at least, better eight weeks", youngest_cooled_s / day_s)};
  if (!film.solvent_ratio) {
    if (film.by != ColdBy::freezer) return {};
    return ColdRefused{"how much solvent the film still holds is not known",
                       "ask `dry`, or weigh a card, and give solvent_pct"};
  }
  if (*film.solvent_ratio > cured_solvent_ratio)
    return ColdRefused{
        fmt::format("the film still holds {:.0f} % solvent{}", 100 * *film.solvent_ratio,
                    film.by == ColdBy::freezer ? ": " + freezer_words(film.solvent_kg, film.share_of_limit)
                                               : ": it is soft and would print, not check"),
        fmt::format("wait until it holds {:.0f} % at most", 100 * cured_solvent_ratio)};
  if (film.by == ColdBy::freezer && film.solvent_kg > 0 &&
      !(film.share_of_limit && *film.share_of_limit < explosive_share_most))
    return ColdRefused{freezer_words(film.solvent_kg, film.share_of_limit),
                       "wait until the film is cured, or use an unheated room"};
  return {};
}

ColdHistory history_of_cold(double to_K, int shocks, ColdBy by, double room_K, double wood_m) {
  ColdHistory past;
  past.room_K = room_K, past.coldest_K = to_K, past.shocks = shocks, past.wood_m = wood_m;
  past.core_stays_warm = by == ColdBy::duster;
  if (past.core_stays_warm) past.shock_s = 60;
  return past;
}

std::vector<Note> cold_cautions(ColdBy by, const std::string& about) {
  std::vector<Note> notes;
  const auto say = [&](Severity severity, std::string text) { notes.push_back({severity, std::move(text), about}); };
  if (by == ColdBy::freezer)
    say(Severity::danger,
        "Never a household freezer while the film holds solvent: the shut box gathers the vapour and its thermostat "
        "sparks. Fully cured only, no smell of solvent, empty of food.");
  if (by == ColdBy::duster)
    say(Severity::danger,
        "Duster gas is flammable and heavier than air: no flame, pilot light, hot lamp or spark in the room, air "
        "through it. Upside down it sprays liquid at -50 degC that freezes skin and eyes: goggles, insulating gloves.");
  say(Severity::caution,
      "Everything that comes off comes off first: strings, plates, pickups, electronics, tuners, metal parts. Water "
      "condenses in what stays, and plastic plates crack.");
  say(Severity::caution,
      "Cold and dryness open glue lines, seams, braces and bindings before they open a tough film: support the body, "
      "no shock on a loose seam or an old repair, stop at the first creak.");
  say(Severity::caution, "Goggles on: a cold film that lets go throws chips. Never flex or knock the cold body.");
  say(Severity::caution,
      "Go down in steps and look between them: a check cannot be closed again. Let it warm slowly in a closed bag, so "
      "that dew stays off the wood.");
  return notes;
}

std::string freezer_words(double solvent_kg, std::optional<double> share) {
  if (!share)
    return fmt::format(
        "{:.1f} g of solvent in a freezer of {:.0f} L: how much of its explosive limit that is cannot be worked out, "
        "so "
        "it counts as unsafe",
        solvent_kg * 1e3, freezer_m3 * 1e3);
  return fmt::format(
      "{:.1f} g of solvent in a freezer of {:.0f} L would be {:.0f} % of the explosive limit; a quarter is the most",
      solvent_kg * 1e3, freezer_m3 * 1e3, *share * 100);
}

}  // namespace witnessline::bench

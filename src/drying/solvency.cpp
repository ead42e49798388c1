#include "drying/solvency.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

namespace witnessline::drying {

namespace {

bool within(const CarrierBlend& thinner, const CarrierBlend& own) {
  return std::all_of(thinner.solvents.begin(), thinner.solvents.end(), [&](const Material* one) {
    return std::find(own.solvents.begin(), own.solvents.end(), one) != own.solvents.end();
  });
}

/// A share of the tin's own solvents is no carrier by itself: toluene is in every lacquer thinner.
bool carries_alone(const GunMix& mix) {
  if (!within(mix.thinner, mix.own)) return false;
  double main = 0;  // of the tin's solvents
  for (std::size_t i = 0; i < mix.own.solvents.size(); ++i)
    if (within({{mix.own.solvents[i]}, {1.0}}, mix.thinner)) main += mix.own.volume_fraction[i];
  constexpr double most_of_it = 0.8;  // ESTIMATE: the blend that is sold with it, not one part of that blend
  return main >= most_of_it;
}

std::optional<Judged> judged(const CarrierBlend& blend, const Material& paint) {
  const std::optional<FilmFormer> former = film_former_of(paint);
  std::vector<Note> stood_in;  // said where the blend was read
  const Result<std::vector<Volatile>> solvents = volatiles_of(blend, "", stood_in);
  if (!former || !solvents) return std::nullopt;
  return BlendJudge(*solvents, *former).of(blend.volume_fraction);
}

/// What the sphere of solubility parameters alone would say.
Staying by_sphere(const Judged& one, const Material& paint) {
  const std::optional<FilmFormer> former = film_former_of(paint);
  return staying_of(one.difference, former ? former->border_sd : 0);
}

void note_difference(const Judged& one, const Material& paint, bool own_carrier, std::vector<Note>& notes) {
  const Staying alone = by_sphere(one, paint);
  if (alone == one.staying || (!one.load && !own_carrier)) return;
  const char* why =
      own_carrier
          ? "that sphere is the film's as it dries or cures, and the paint is sold in this carrier"
          : "one sphere cannot tell an ester from an alcohol at the same distance; the published dilution ratios "
            "and what is held at the bench can";
  notes.push_back(
      {Severity::information,
       fmt::format("Solubility parameters alone would call it {} (relative energy difference {:.2f}, border "
                   "1): {}.",
                   alone == Staying::stays    ? "a solvent"
                   : alone == Staying::unsure ? "too close to call"
                                              : "no solvent",
                   one.difference, why),
       "thinner"});
}

}  // namespace

bool makers_thinner_only(Binder binder) {
  return binder == Binder::water_borne || binder == Binder::polyester || binder == Binder::catalysed ||
         binder == Binder::two_pack_polyurethane;
}

std::string reason_in_words(const Judged& one) {
  constexpr double no_true_solvent = 100;
  if (!one.load)
    return fmt::format("relative energy difference {:.2f}; above 1.1 it does not dissolve", one.difference);
  if (*one.load > no_true_solvent) return "nothing in it dissolves the resin by itself";
  return fmt::format("it is loaded to {:.0f} % of what its true solvents carry", 100 * *one.load);
}

Solvency solvency_of(const GunMix& mix) {
  Solvency found;
  const Material& paint = *mix.binds;
  if (mix.thinner.solvents.empty()) return found;
  found.own_carrier = carries_alone(mix);
  const std::optional<Judged> alone = judged(mix.thinner, paint), mixed = judged(mix.carrier, paint);
  if (alone) found.thinner = *alone;
  if (mixed) found.blend = *mixed;
  if (found.own_carrier) {
    found.thinner.staying = found.blend.staying = Staying::stays;
    if (makers_thinner_only(paint.binder))
      found.notes.push_back(
          {Severity::information,
           fmt::format("This is what carries {} in its tin: it goes in; how much, its data sheet gives.", paint.name),
           "thinner"});
    else if (mixed)
      note_difference(found.blend, paint, true, found.notes);
    return found;
  }
  if (makers_thinner_only(paint.binder)) {
    found.thinner.staying = found.blend.staying = Staying::unsure;
    found.notes.push_back(
        {Severity::caution,
         fmt::format("{} takes its maker's thinner alone: whether this one goes into it is not judged "
                     "here, and a wrong one spoils tin and cure.",
                     paint.name),
         "thinner"});
    return found;
  }
  if (!alone || !mixed) {
    found.thinner.staying = found.blend.staying = Staying::unsure;
    found.notes.push_back(
        {Severity::caution,
         fmt::format("Whether this thinner dissolves {} is not known: try a spoonful in a glass.", paint.name),
         "thinner"});
    return found;
  }
  if (found.blend.staying == Staying::falls_out)
    found.notes.push_back({Severity::danger,
                           fmt::format("Do not pour it in: with this thinner {} precipitates ({}).", paint.name,
                                       reason_in_words(found.blend)),
                           "thinner"});
  else if (found.thinner.staying == Staying::falls_out)
    found.notes.push_back({Severity::caution,
                           fmt::format("This thinner by itself does not dissolve {} ({}): only the tin's own solvents "
                                       "hold it, and it may turn white as they leave.",
                                       paint.name, reason_in_words(found.thinner)),
                           "thinner"});
  else
    note_difference(found.thinner, paint, false, found.notes);
  return found;
}

LeftSolvency solvency_while_drying(const GunMix& mix, const WetCoat& coat) {
  LeftSolvency left;
  if (!coat.solubility || mix.thinning <= 0 || carries_alone(mix)) return left;
  const Judged &first = coat.solubility->first, &worst = coat.solubility->worst;
  left.staying = worst.staying;
  constexpr double turns = 0.05;  // less is no turn for the worse: the mix itself lies there
  if (worst.strain < first.strain + turns || first.staying == Staying::falls_out) return left;
  if (worst.staying == Staying::falls_out)
    left.notes.push_back(
        {Severity::danger,
         fmt::format("Do not spray with it: the mix takes {} up at first, but what is left of its solvents after "
                     "{:.0f} min does not ({}): the film turns white and cottony. Exchange the slow part for a true "
                     "solvent.",
                     mix.binds->name, std::max(1.0, coat.solubility->worst_at_s / 60), reason_in_words(worst)),
         "thinner"});
  else if (worst.staying == Staying::unsure)
    left.notes.push_back(
        {Severity::caution,
         fmt::format("What is left of the solvents near the end is too close to call ({}): spray a test card and look "
                     "for haze.",
                     reason_in_words(worst)),
         "thinner"});
  return left;
}

}  // namespace witnessline::drying

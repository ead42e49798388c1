#include "drying/solvency.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

namespace witnessline::drying {

bool makers_thinner_only(Binder binder) {
  return binder == Binder::water_borne || binder == Binder::polyester || binder == Binder::catalysed ||
         binder == Binder::two_pack_polyurethane;
}

Solvency solvency_of(const Material& paint, const CarrierBlend& thinner, const CarrierBlend& all) {
  Solvency found;
  if (thinner.solvents.empty()) return found;
  if (makers_thinner_only(paint.binder)) {
    found.notes.push_back(
        {Severity::caution,
         fmt::format("{} takes its maker's thinner alone: whether this one goes into it is not judged "
                     "here, and a wrong one spoils tin and cure.",
                     paint.name),
         "thinner"});
    return found;
  }
  const std::optional<FilmFormer> former = film_former_of(paint);
  const auto mean_of = [](const CarrierBlend& blend) -> std::optional<Hansen> {
    std::vector<HansenPart> parts;
    for (std::size_t i = 0; i < blend.solvents.size(); ++i) {
      const std::optional<Hansen> one = hansen_of(*blend.solvents[i]);
      if (!one) return std::nullopt;
      parts.push_back({*one, blend.volume_fraction[i]});
    }
    return hansen_of_blend(parts);
  };
  const std::optional<Hansen> alone = mean_of(thinner), mixed = mean_of(all);
  if (!former || !alone || !mixed) {
    found.thinner = found.blend = Staying::unsure;
    found.notes.push_back(
        {Severity::caution,
         fmt::format("Whether this thinner dissolves {} is not known: try a spoonful in a glass.", paint.name),
         "thinner"});
    return found;
  }
  found.thinner_difference = hansen_distance(former->hansen, *alone) / former->r0;
  found.blend_difference = hansen_distance(former->hansen, *mixed) / former->r0;
  found.thinner = staying_of(found.thinner_difference, former->border_sd);
  found.blend = staying_of(found.blend_difference, former->border_sd);
  if (found.blend == Staying::falls_out)
    found.notes.push_back(
        {Severity::danger,
         fmt::format(
             "Do not pour it in: with this thinner {} falls out of solution (relative energy difference {:.2f}; "
             "above 1.1 it does not dissolve).",
             paint.name, found.blend_difference),
         "thinner"});
  else if (found.thinner == Staying::falls_out)
    found.notes.push_back(
        {Severity::caution,
         fmt::format(
             "This thinner by itself does not dissolve {} (relative energy difference {:.2f}): only the tin's own "
             "solvents hold it, and it may turn white as they leave.",
             paint.name, found.thinner_difference),
         "thinner"});
  return found;
}

std::optional<LeftSolvency> solvency_while_drying(const Material& paint, const CarrierBlend& all, double solvent_m,
                                                  double film_m, const Draught& air) {
  const std::optional<FilmFormer> former = film_former_of(paint);
  std::vector<Note> stood_in;  // said where the blend was read
  Result<std::vector<Volatile>> volatiles = volatiles_of(all, "", stood_in);
  if (!former || !volatiles || makers_thinner_only(paint.binder)) return std::nullopt;
  WetFilm film{{}, film_m};
  for (const double share : all.volume_fraction) film.solvent_m.push_back(share * solvent_m);
  const Solution solution(std::move(*volatiles), former, air.temperature_K);
  const EvaporationRun run = evaporate(solution, film, air, 0.8 * judged_until_left);
  LeftSolvency left;
  left.along = solubility_along(run, solution);
  left.staying = staying_of(left.along.worst, former->border_sd);
  for (const EvaporationMoment& moment : run.moments) left.time_s.push_back(moment.time_s);
  constexpr double turns = 0.05;  // less is no turn for the worse: the mix itself lies there
  const double first = left.along.first, worst = left.along.worst;
  if (worst < first + turns || staying_of(first, former->border_sd) == Staying::falls_out) return left;
  if (left.staying == Staying::falls_out)
    left.notes.push_back(
        {Severity::danger,
         fmt::format("Do not spray with it: the mix takes {} up at first (relative energy difference {:.2f}), but what "
                     "is left of its solvents after {:.0f} min does not ({:.2f}; above 1.1 it does not dissolve): the "
                     "film turns white and cottony. Exchange the slow part for a true solvent.",
                     paint.name, first, std::max(1.0, left.along.worst_at_s / 60), worst),
         "thinner"});
  else if (worst >= 1)
    left.notes.push_back(
        {Severity::caution,
         fmt::format("What is left of the solvents near the end comes to a relative energy difference of {:.2f}; 1 is "
                     "the border of what dissolves {}, and not known well enough to tell: spray a test card and look "
                     "for haze.",
                     worst, paint.name),
         "thinner"});
  return left;
}

}  // namespace witnessline::drying

#include "drying/solvency.h"

#include <fmt/format.h>

#include <optional>

namespace witnessline {

bool makers_thinner_only(Binder binder) {
  return binder == Binder::water_borne || binder == Binder::polyester || binder == Binder::catalysed;
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

}  // namespace witnessline

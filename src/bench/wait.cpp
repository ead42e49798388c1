#include <fmt/format.h>

#include "bench/doing.h"

namespace witnessline {

Result<StepResult> work(const Wait& step, Doing& doing) {
  const Shop& shop = doing.bench.shop;
  const Evaporation evaporation(step.temperature_K.value_or(shop.temperature_K), shop.air_speed_m_s);
  const std::span<const float> areas = doing.body.areas_m2();
  const Books books = over_columns(doing.film(), {}, [&](Columns& columns, Books& sums) {
    for (std::size_t i = 0; i < columns.size(); ++i) {
      const double area_m2 = static_cast<double>(areas[columns.begin() + i]);
      // Free solvent leaves from the air side down, one layer after the other; bound solvent follows behind.
      double before_s = 0;
      for (std::size_t l = columns.layers(); l-- > 0;) {
        const double dry_m = static_cast<double>(columns.dry_m(l, i));
        const double solvent_m = static_cast<double>(columns.solvent_m(l, i));
        if (dry_m <= 0 || solvent_m <= 0) continue;
        const double free_s = evaporation.free_time_s(dry_m, solvent_m);
        const double at_surface_s = std::clamp(step.duration_s - before_s, 0.0, free_s);
        const double bound_s = std::max(0.0, step.duration_s - before_s - free_s);
        before_s += free_s;
        columns.evaporate(l, i, evaporation.left_m(dry_m, solvent_m, at_surface_s, bound_s), area_m2, sums);
        sums.other += static_cast<double>(columns.solvent_m(l, i)) * area_m2;
        sums.worked_m2 += dry_m * area_m2;
      }
    }
  });
  doing.keep(books, 0);
  if (books.worked_m2 > 0)
    doing.note(Severity::information,
               fmt::format("the drying coats keep {:.1f} % of their dry volume as solvent (ESTIMATE)",
                           100.0 * books.other / books.worked_m2));
  doing.worked(0, step.duration_s);
  return doing.done();
}

}  // namespace witnessline

#include "bench/steps/wait.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>

#include "bench/column_classes.h"
#include "bench/softness.h"
#include "bench/step_context.h"
#include "drying/belief.h"
#include "drying/column.h"
#include "materials/air.h"
#include "solvents/blush.h"

namespace witnessline::bench {

namespace {

// Within about 1 % of what finer cells and steps leave, at a third of their time: far inside what is known.
constexpr ColumnAccuracy rough{5e-3, 9, 3, 0.75};

/// Dries columns in this air for this long.
class DryingRoom {
 public:
  static Result<DryingRoom> open(const Wait& step, const StepContext& context) {
    Result<std::vector<Paint>> paints = context.paints();
    if (!paints) return paints.errors();
    const Shop& shop = context.bench.shop;
    DryingRoom room;
    const DrawnPhysics usual = physics_of({});
    room.duration_s_ = step.duration_s;
    room.temperature_K_ = step.temperature_K.value_or(shop.temperature_K);
    // A warmer room holds the same water.
    const double humidity = std::min(1.0, shop.relative_humidity * saturation_pressure_Pa(shop.temperature_K) /
                                              saturation_pressure_Pa(room.temperature_K_));
    const Airflow air = airflow_along(room.temperature_K_, shop.air_speed_m_s, humidity);
    for (std::size_t l = 0; l < paints->size(); ++l) {
      std::optional<FilmSolvent> solvent = film_solvent_in((*paints)[l], context.bench.library);
      if (!solvent)
        return context.error("nothing is known of the solvent in these coats", "duration_h",
                             "a solvent that leaves last in data/usual_carriers.csv, with its data in the library",
                             "put it back into data/materials/solvents.toml");
      solvent->glass_transition_K += usual.solvent_transition_K;
      const auto same = std::find_if(room.solvents_.begin(), room.solvents_.end(),
                                     [&](const FilmSolvent& known) { return known.of.id == solvent->of.id; });
      room.solvent_of_.push_back(static_cast<std::size_t>(same - room.solvents_.begin()));
      if (same == room.solvents_.end()) {
        room.solvents_.push_back(*solvent);
        room.airs_.emplace_back(solvent->of, air);
      }
    }
    // Every layer in every solvent that may come down on it; layers of one material share a passage.
    for (const FilmSolvent& solvent : room.solvents_) {
      std::vector<std::shared_ptr<const Transport>> transports;
      std::map<std::pair<const Material*, double>, std::shared_ptr<const Transport>> known;
      for (std::size_t l = 0; l < paints->size(); ++l) {
        const Material* main = (*paints)[l].main;
        const FilmLayer& layer = context.before.layers[l];
        // A coat of this plan lets its solvent go as far as it has cured when this wait begins.
        const Cure cure = main ? drying_of(*main).cure : Cure{};
        const double cured =
            cure.rate_per_s > 0 && layer.provenance.origin == Origin::this_plan
                ? (degree_of_cure(cure, layer.cured_s, cured_at_K, usual_cured_coat_m) - cure.begun) / (1 - cure.begun)
                : 1;
        std::shared_ptr<const Transport>& transport = known[{main, cured}];
        const Resin resin = main ? resin_of(*main, solvent) : Resin{};
        room.assumed_ |= resin.transition_assumed || !main;
        if (!transport) transport = transport_of(partly_cured(resin, cured), solvent, usual.how, room.temperature_K_);
        transports.push_back(transport);
      }
      room.transports_.push_back(std::move(transports));
    }
    return room;
  }

  /// Solvent left in each layer [m]; false: the solver stopped short.
  bool dry(const std::vector<double>& dry_m, const std::vector<double>& solvent_m, std::vector<double>& left_m) const {
    left_m.assign(dry_m.size(), 0.0);
    std::size_t top = dry_m.size();
    while (top > 0 && !(solvent_m[top - 1] > 0)) --top;
    if (top == 0) return true;
    const std::size_t which = solvent_of_[top - 1];
    DryingColumn column(airs_[which], rough);
    for (std::size_t l = 0; l < dry_m.size(); ++l)
      if (dry_m[l] > 0) column.lay(transports_[which][l], dry_m[l], solvent_m[l]);
    column.settle();
    const bool finished = column.dry(duration_s_);
    for (std::size_t l = 0, coat = 0; l < dry_m.size(); ++l)
      if (dry_m[l] > 0) left_m[l] = column.solvent_m(coat++);
    return finished;
  }
  bool transition_assumed() const { return assumed_; }

 private:
  double duration_s_ = 0, temperature_K_ = 0;
  std::vector<FilmSolvent> solvents_;
  std::vector<AirSide> airs_;                                              ///< a solvent
  std::vector<std::size_t> solvent_of_;                                    ///< a layer
  std::vector<std::vector<std::shared_ptr<const Transport>>> transports_;  ///< a solvent, a layer
  bool assumed_ = false;
};

}  // namespace

/// Law: solvent moves through the coats and leaves at the face (drying/column.h); some 64 columns are solved, by
/// sequence of layers and thickness, each again with either outermost coat thicker, and every other one takes the share
/// left straight between the two nearest in thickness, carried on to its own outermost coats.
Result<StepResult> work(const Wait& step, StepContext& context) {
  context.worked(0, step.duration_s);
  if (step.duration_s <= 0) return context.done();
  const Result<DryingRoom> room = DryingRoom::open(step, context);
  if (!room) return room.errors();
  for (FilmLayer& layer : context.film().layers)
    layer.cured_s += step.duration_s * cure_pace(step.temperature_K.value_or(context.bench.shop.temperature_K));
  const std::span<const float> areas_m2 = context.body.areas_m2();

  ColumnClasses column_classes = column_classes_of(context.before, areas_m2);
  std::vector<Representative*> representatives;
  for (auto& [sequence, column_class] : column_classes) {
    std::erase_if(column_class.representatives, [](const Representative& r) { return r.area_m2 <= 0; });
    for (Representative& r : column_class.representatives) {
      r.thick_m /= r.area_m2;
      for (std::size_t l = 0; l < r.dry_m.size(); ++l) r.dry_m[l] /= r.area_m2, r.before_m[l] /= r.area_m2;
      representatives.push_back(&r);
    }
    column_class.tilt();
    for (auto& of_mean : column_class.tilted)
      for (auto& [layer, other] : of_mean) representatives.push_back(&other);
  }
  const std::vector<Column> checked = some_columns(context.before, context.body, context.key("checked"));
  std::vector<std::vector<double>> checked_left_m(checked.size());
  std::vector<char> finished(representatives.size() + checked.size());
  for_chunks(finished.size(), 1, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      if (i < representatives.size()) {
        finished[i] = room->dry(representatives[i]->dry_m, representatives[i]->before_m, representatives[i]->after_m);
      } else {
        const Column& column = checked[i - representatives.size()];
        finished[i] = room->dry(column.dry_m, column.solvent_m, checked_left_m[i - representatives.size()]);
      }
    }
  });

  const MassBalance books = over_columns(context.film(), {}, [&](Columns& columns, MassBalance& sums) {
    Column column;
    std::vector<double> left_m(columns.layers());
    for (std::size_t i = 0; i < columns.size(); ++i) {
      column.read(columns, i);
      if (column.wet_m > 0)
        column_classes.at(column.sequence).left(column, left_m);
      else
        left_m.assign(columns.layers(), 0.0);
      const double area_m2 = static_cast<double>(areas_m2[columns.begin() + i]);
      columns.dry(i, left_m, area_m2, sums);
      for (std::size_t l = 0; l < columns.layers(); ++l) {
        if (!(columns.solvent_m(l, i) > 0)) continue;
        sums.drying_solvent_m3 += static_cast<double>(columns.solvent_m(l, i)) * area_m2;
        sums.drying_dry_m3 += columns.drying_m(l, i) * area_m2;
      }
    }
  });
  context.keep(books, 0);

  double worst = 0;
  for (std::size_t c = 0; c < checked.size(); ++c) {
    std::vector<double> left_m;
    column_classes.at(checked[c].sequence).left(checked[c], left_m);
    double apart_m = 0;
    for (std::size_t l = 0; l < left_m.size(); ++l) apart_m += left_m[l] - checked_left_m[c][l];
    worst = std::max(worst, std::abs(apart_m) / checked[c].thick_m);
  }
  if (books.drying_dry_m3 > 0) {
    const double left = books.drying_solvent_m3 / books.drying_dry_m3;
    context.note(
        Severity::information,
        fmt::format("After this wait the drying coats hold {} of their dry volume as solvent (ESTIMATE until a "
                    "card is weighed{})",
                    left < 5e-4 ? "less than 0.1 %" : fmt::format("about {:.{}f} %", 100 * left, left < 0.02 ? 1 : 0),
                    checked.empty() ? ""
                                    : fmt::format("; {} other places solved on their own differ by at "
                                                  "most {:.1f} %",
                                                  checked.size(), 100 * worst)));
  }
  const Result<std::vector<Paint>> paints = context.paints();
  for (std::size_t l = 0; paints && l < paints->size(); ++l)
    if (context.before.layers[l].provenance.origin == Origin::this_plan && (*paints)[l].binder() == Binder::catalysed) {
      context.note(
          Severity::caution,
          "an acid-cured lacquer gives off formaldehyde while it cures, most in the first days and some for "
          "weeks: it poisons, and no cartridge for vapours alone holds it; air the drying room and keep everyone "
          "out of it (common practice, no source)");
      break;
    }
  if (room->transition_assumed())
    context.note(Severity::information,
                 "a coat's file gives no glass transition: 45 degC was taken for how fast it dries (ESTIMATE)");
  if (std::find(finished.begin(), finished.end(), 0) != finished.end())
    context.note(Severity::caution,
                 "the drying of some columns could not be followed to the end: they dry on paper too slowly");
  return context.done();
}

}  // namespace witnessline::bench

#include "bench/steps/wait.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <numeric>
#include <optional>

#include "base/random.h"
#include "bench/softness.h"
#include "bench/step_context.h"
#include "drying/belief.h"
#include "drying/column.h"
#include "materials/air.h"
#include "solvents/blush.h"

namespace witnessline::bench {

namespace {

// Thinner than this a coat is a sliver: what solvent it holds is gone at once.
constexpr double sliver_m = 10e-9;
constexpr std::size_t wanted_columns = 24, checked_columns = 16;  // each solved up to three times
// How much thicker one outer coat of a tilted column is, its total unchanged; farther than three such none is read.
constexpr double tilt_frac = 0.05, most_tilts = 3;
// Within about 1 % of what finer cells and steps leave, at a third of their time: far inside what is known.
constexpr ColumnAccuracy rough{5e-3, 9, 3, 0.75};

/// Which layers a column has, bottom bit first; layers past the 64th share its last bit.
using Sequence = std::uint64_t;
std::uint64_t bit_of(std::size_t layer) { return std::uint64_t{1} << std::min<std::size_t>(layer, 63); }

/// One column of the film as it stands: dry film and solvent of each layer [m], slivers left out.
struct Column {
  Sequence sequence = 0;
  std::vector<double> dry_m, solvent_m;  ///< a layer
  double thick_m = 0, wet_m = 0;         ///< sums

  void read(const Columns& from, std::size_t i) {
    sequence = 0, thick_m = wet_m = 0;
    dry_m.assign(from.layers(), 0.0), solvent_m.assign(from.layers(), 0.0);
    for (std::size_t l = 0; l < from.layers(); ++l) {
      const auto dry = static_cast<double>(from.dry_m(l, i));
      if (dry <= sliver_m) continue;
      sequence |= bit_of(l);
      dry_m[l] = dry, solvent_m[l] = static_cast<double>(from.solvent_m(l, i));
      thick_m += dry, wet_m += solvent_m[l];
    }
  }
};

/// Thickness of all layers under one [m].
double under(const std::vector<double>& dry_m, std::size_t layer) {
  return std::accumulate(dry_m.begin(), dry_m.begin() + static_cast<std::ptrdiff_t>(layer), 0.0);
}

/// A column that stands for its like: their mean before, and what the wait makes of it.
struct Representative {
  double area_m2 = 0, thick_m = 0;
  std::vector<double> dry_m, before_m, after_m;

  void add(const Column& column, double weight_m2) {
    dry_m.resize(column.dry_m.size()), before_m.resize(column.dry_m.size());
    area_m2 += weight_m2, thick_m += weight_m2 * column.thick_m;
    for (std::size_t l = 0; l < dry_m.size(); ++l)
      dry_m[l] += weight_m2 * column.dry_m[l], before_m[l] += weight_m2 * column.solvent_m[l];
  }
  void add(const Representative& other) {
    if (other.area_m2 <= 0) return;
    dry_m.resize(other.dry_m.size()), before_m.resize(other.dry_m.size());
    area_m2 += other.area_m2, thick_m += other.thick_m;
    for (std::size_t l = 0; l < dry_m.size(); ++l) dry_m[l] += other.dry_m[l], before_m[l] += other.before_m[l];
  }
  /// As thick in all, with more of it in layer l and less in those under it; nothing where none are.
  std::optional<Representative> tilted(std::size_t l) const {
    const double under_m = under(dry_m, l);
    if (under_m <= 2 * tilt_frac * dry_m[l]) return {};
    Representative other = *this;
    for (std::size_t i = 0; i <= l; ++i) {
      const double times = i == l ? 1 + tilt_frac : 1 - tilt_frac * dry_m[l] / under_m;
      other.dry_m[i] *= times, other.before_m[i] *= times;
    }
    return other;
  }
  /// Solvent a layer of another column is left with: the same share of its own, or as much more for its thickness.
  double left_m(std::size_t l, double dry, double solvent) const {
    if (dry_m[l] <= 0) return solvent;
    if (after_m[l] <= before_m[l]) return before_m[l] > 0 ? solvent * after_m[l] / before_m[l] : solvent;
    return solvent + dry * (after_m[l] - before_m[l]) / dry_m[l];
  }
};

/// Columns of one sequence, in classes of equal width in thickness.
struct ColumnClass {
  double low_m = 1e30, high_m = 0, area_m2 = 0;
  std::size_t classes = 1;
  std::vector<Representative> representatives;  ///< by rising thickness once worked out
  /// Of each of them once worked out: layer, and the column with more of it.
  std::vector<std::vector<std::pair<std::size_t, Representative>>> tilted;

  /// Tilts each representative in its two outermost coats.
  void tilt() {
    for (const Representative& mean : representatives) {
      auto& of_mean = tilted.emplace_back();
      for (std::size_t l = mean.dry_m.size(); l-- > 0 && of_mean.size() < 2;)
        if (mean.dry_m[l] > 0)
          if (const auto other = mean.tilted(l)) of_mean.emplace_back(l, *other);
    }
  }

  std::size_t class_of(double thick_m) const {
    if (high_m <= low_m) return 0;
    return std::min(classes - 1,
                    static_cast<std::size_t>((thick_m - low_m) / (high_m - low_m) * static_cast<double>(classes)));
  }
  /// Solvent left in a layer by the i-th representative, carried on to how thick the column's outermost coats are.
  double left_m(std::size_t i, std::size_t l, const Column& column) const {
    const Representative& mean = representatives[i];
    const double left = mean.left_m(l, column.dry_m[l], column.solvent_m[l]);
    double carried = left;
    for (const auto& [tilted_layer, other] : tilted[i]) {
      // How much more of what lies there and under is this coat than in the representative.
      const double ours = column.dry_m[tilted_layer] / under(column.dry_m, tilted_layer + 1);
      const double usual = mean.dry_m[tilted_layer] / under(mean.dry_m, tilted_layer + 1);
      const double tilts = std::clamp((ours / usual - 1) / tilt_frac, -most_tilts, most_tilts);
      carried += tilts * (other.left_m(l, column.dry_m[l], column.solvent_m[l]) - left);
    }
    return std::max(0.0, carried);
  }
  /// Solvent left in every layer, straight between the two representatives around a thickness.
  void left(const Column& column, std::vector<double>& left_m) const {
    const auto above = std::upper_bound(representatives.begin(), representatives.end(), column.thick_m,
                                        [](double t, const Representative& r) { return t < r.thick_m; });
    const std::size_t next = static_cast<std::size_t>(above - representatives.begin());
    const std::size_t high = std::min(next, representatives.size() - 1), low = next > 0 ? next - 1 : high;
    const double way_m = representatives[high].thick_m - representatives[low].thick_m;
    const double share =
        way_m > 0 ? std::clamp((column.thick_m - representatives[low].thick_m) / way_m, 0.0, 1.0) : 0.0;
    left_m.assign(column.dry_m.size(), 0.0);
    double lost_m = 0, gained_m = 0;
    for (std::size_t l = 0; l < left_m.size(); ++l) {
      if (column.dry_m[l] <= 0) continue;
      const double solvent = column.solvent_m[l];
      left_m[l] = (1 - share) * this->left_m(low, l, column) + share * this->left_m(high, l, column);
      (left_m[l] > solvent ? gained_m : lost_m) += std::abs(left_m[l] - solvent);
    }
    // Coats take up no more than others gave.
    if (gained_m > lost_m)
      for (std::size_t l = 0; l < left_m.size(); ++l)
        if (left_m[l] > column.solvent_m[l])
          left_m[l] = column.solvent_m[l] + (left_m[l] - column.solvent_m[l]) * lost_m / gained_m;
  }
};
using ColumnClasses = std::map<Sequence, ColumnClass>;

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
                             "butyl_acetate in the library, with the data of a solvent",
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
      std::map<std::pair<const Material*, bool>, std::shared_ptr<const Transport>> known;
      for (std::size_t l = 0; l < paints->size(); ++l) {
        const Material* main = (*paints)[l].main;
        // A coat of this plan that cures lets its solvent go before it has cured.
        const bool curing = main && drying_of(main->binder).cure.rate_per_s > 0 &&
                            context.before.layers[l].provenance.origin == Origin::this_plan;
        std::shared_ptr<const Transport>& transport = known[{main, curing}];
        const Resin resin = main ? resin_of(*main, solvent) : Resin{};
        room.assumed_ |= resin.transition_assumed || !main;
        if (!transport)
          transport = transport_of(curing ? uncured(resin) : resin, solvent, usual.how, room.temperature_K_);
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

/// Visits every column that holds solvent, chunk by chunk, and adds the parts up in chunk order.
template <class T, class Visit, class Combine>
T survey(const Film& film, T zero, const Visit& visit, const Combine& combine) {
  return reduce_chunks(
      film.size(), field_chunk, zero,
      [&](std::size_t begin, std::size_t end) {
        T part = zero;
        const Columns columns(film, begin, end);
        Column column;
        for (std::size_t i = 0; i < columns.size(); ++i) {
          column.read(columns, i);
          if (column.wet_m > 0) visit(part, column, begin + i);
        }
        return part;
      },
      combine);
}

/// The sequences there are, how thick their columns, and how many columns stand for each.
ColumnClasses find_likes(const Film& film, std::span<const float> areas_m2) {
  ColumnClasses column_classes = survey(
      film, ColumnClasses{},
      [&](ColumnClasses& part, const Column& column, std::size_t v) {
        ColumnClass& column_class = part[column.sequence];
        column_class.low_m = std::min(column_class.low_m, column.thick_m),
        column_class.high_m = std::max(column_class.high_m, column.thick_m);
        column_class.area_m2 += static_cast<double>(areas_m2[v]);
      },
      [](ColumnClasses all, const ColumnClasses& part) {
        for (const auto& [sequence, column_class] : part) {
          ColumnClass& sum = all[sequence];
          sum.low_m = std::min(sum.low_m, column_class.low_m), sum.high_m = std::max(sum.high_m, column_class.high_m);
          sum.area_m2 += column_class.area_m2;
        }
        return all;
      });
  double shares = 0;
  for (const auto& [sequence, column_class] : column_classes) shares += std::sqrt(column_class.area_m2);
  for (auto& [sequence, column_class] : column_classes) {
    const bool alike = column_class.high_m - column_class.low_m < 1e-3 * column_class.high_m;
    const double wanted = static_cast<double>(wanted_columns) * std::sqrt(column_class.area_m2) / shares;
    column_class.classes = alike ? 1 : std::max<std::size_t>(2, static_cast<std::size_t>(wanted));
    column_class.representatives.resize(column_class.classes);
  }
  return survey(
      film, column_classes,
      [&](ColumnClasses& part, const Column& column, std::size_t v) {
        ColumnClass& column_class = part.at(column.sequence);
        column_class.representatives[column_class.class_of(column.thick_m)].add(column,
                                                                                static_cast<double>(areas_m2[v]));
      },
      [](ColumnClasses all, const ColumnClasses& part) {
        for (const auto& [sequence, column_class] : part)
          for (std::size_t c = 0; c < column_class.representatives.size(); ++c)
            all.at(sequence).representatives[c].add(column_class.representatives[c]);
        return all;
      });
}

/// Some columns of the film, chosen by where they lie, so that neither threads nor vertex order change the choice.
std::vector<Column> some_columns(const Film& film, const StepContext& context) {
  using SampledColumns = std::vector<std::pair<std::uint64_t, Column>>;
  const Key key = context.key("checked");
  const std::span<const Vec3> places = context.body.positions();
  const auto keep = [](SampledColumns& drawn) {
    std::sort(drawn.begin(), drawn.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    if (drawn.size() > checked_columns) drawn.resize(checked_columns);
  };
  SampledColumns drawn = survey(
      film, SampledColumns{},
      [&](SampledColumns& part, const Column& column, std::size_t v) {
        const std::uint64_t bits =
            key.at(static_cast<double>(places[v].x), static_cast<double>(places[v].y), static_cast<double>(places[v].z))
                .bits;
        if (part.size() >= checked_columns && bits >= part.back().first) return;
        part.emplace_back(bits, column);
        keep(part);
      },
      [&](SampledColumns all, const SampledColumns& part) {
        all.insert(all.end(), part.begin(), part.end());
        keep(all);
        return all;
      });
  std::vector<Column> columns;
  for (auto& [bits, column] : drawn) columns.push_back(std::move(column));
  return columns;
}

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

  ColumnClasses column_classes = find_likes(context.before, areas_m2);
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
  const std::vector<Column> checked = some_columns(context.before, context);
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
        sums.other += static_cast<double>(columns.solvent_m(l, i)) * area_m2;
        sums.worked_m2 += static_cast<double>(columns.dry_m(l, i)) * area_m2;
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
  if (books.worked_m2 > 0) {
    const double left = books.other / books.worked_m2;
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

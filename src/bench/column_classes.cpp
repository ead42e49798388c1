#include "bench/column_classes.h"

#include <algorithm>
#include <numeric>

namespace witnessline::bench {

namespace {

// Thinner than this a coat is a sliver: what solvent it holds is gone at once.
constexpr double sliver_m = 10e-9;
constexpr std::size_t wanted_columns = 24, checked_columns = 16;  // each solved up to three times
// How much thicker one outer coat of a tilted column is, its total unchanged; farther than three such none is read.
constexpr double tilt_frac = 0.05, most_tilts = 3;

std::uint64_t bit_of(std::size_t layer) { return std::uint64_t{1} << std::min<std::size_t>(layer, 63); }

/// Thickness of all layers under one [m].
double under(const std::vector<double>& dry_m, std::size_t layer) {
  return std::accumulate(dry_m.begin(), dry_m.begin() + static_cast<std::ptrdiff_t>(layer), 0.0);
}

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

}  // namespace

void Column::read(const Columns& from, std::size_t i) {
  sequence = 0, thick_m = wet_m = 0;
  dry_m.assign(from.layers(), 0.0), solvent_m.assign(from.layers(), 0.0);
  for (std::size_t l = 0; l < from.layers(); ++l) {
    const double dry = from.drying_m(l, i);
    if (dry <= sliver_m) continue;
    sequence |= bit_of(l);
    dry_m[l] = dry, solvent_m[l] = static_cast<double>(from.solvent_m(l, i));
    thick_m += dry, wet_m += solvent_m[l];
  }
}

void Representative::add(const Column& column, double weight_m2) {
  dry_m.resize(column.dry_m.size()), before_m.resize(column.dry_m.size());
  area_m2 += weight_m2, thick_m += weight_m2 * column.thick_m;
  for (std::size_t l = 0; l < dry_m.size(); ++l)
    dry_m[l] += weight_m2 * column.dry_m[l], before_m[l] += weight_m2 * column.solvent_m[l];
}

void Representative::add(const Representative& other) {
  if (other.area_m2 <= 0) return;
  dry_m.resize(other.dry_m.size()), before_m.resize(other.dry_m.size());
  area_m2 += other.area_m2, thick_m += other.thick_m;
  for (std::size_t l = 0; l < dry_m.size(); ++l) dry_m[l] += other.dry_m[l], before_m[l] += other.before_m[l];
}

std::optional<Representative> Representative::tilted(std::size_t l) const {
  const double under_m = under(dry_m, l);
  if (under_m <= 2 * tilt_frac * dry_m[l]) return {};
  Representative other = *this;
  for (std::size_t i = 0; i <= l; ++i) {
    const double times = i == l ? 1 + tilt_frac : 1 - tilt_frac * dry_m[l] / under_m;
    other.dry_m[i] *= times, other.before_m[i] *= times;
  }
  return other;
}

double Representative::left_m(std::size_t l, double own_dry_m, double own_solvent_m) const {
  if (dry_m[l] <= 0) return own_solvent_m;
  if (after_m[l] <= before_m[l]) return before_m[l] > 0 ? own_solvent_m * after_m[l] / before_m[l] : own_solvent_m;
  return own_solvent_m + own_dry_m * (after_m[l] - before_m[l]) / dry_m[l];
}

void ColumnClass::tilt() {
  for (const Representative& mean : representatives) {
    auto& of_mean = tilted.emplace_back();
    for (std::size_t l = mean.dry_m.size(); l-- > 0 && of_mean.size() < 2;)
      if (mean.dry_m[l] > 0)
        if (const auto other = mean.tilted(l)) of_mean.emplace_back(l, *other);
  }
}

std::size_t ColumnClass::class_of(double thick_m) const {
  if (high_m <= low_m) return 0;
  return std::min(classes - 1,
                  static_cast<std::size_t>((thick_m - low_m) / (high_m - low_m) * static_cast<double>(classes)));
}

double ColumnClass::left_m(std::size_t i, std::size_t l, const Column& column) const {
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

void ColumnClass::left(const Column& column, std::vector<double>& left_m) const {
  const auto above = std::upper_bound(representatives.begin(), representatives.end(), column.thick_m,
                                      [](double t, const Representative& r) { return t < r.thick_m; });
  const std::size_t next = static_cast<std::size_t>(above - representatives.begin());
  const std::size_t high = std::min(next, representatives.size() - 1), low = next > 0 ? next - 1 : high;
  const double way_m = representatives[high].thick_m - representatives[low].thick_m;
  const double share = way_m > 0 ? std::clamp((column.thick_m - representatives[low].thick_m) / way_m, 0.0, 1.0) : 0.0;
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

ColumnClasses column_classes_of(const Film& film, std::span<const float> areas_m2) {
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

std::vector<Column> some_columns(const Film& film, const Body& body, Key key) {
  using SampledColumns = std::vector<std::pair<std::uint64_t, Column>>;
  const std::span<const Vec3> places = body.positions();
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

}  // namespace witnessline::bench

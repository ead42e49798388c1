// Columns of a drying film sorted into classes that dry alike: a few are solved, the rest read between them.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "base/random.h"
#include "bench/columns.h"

namespace witnessline::bench {

/// Which layers a column has, bottom bit first; layers past the 64th share its last bit.
using Sequence = std::uint64_t;

/// One column of the film as it stands: drying film (Columns::drying_m) and solvent of each layer [m], slivers left
/// out.
struct Column {
  Sequence sequence = 0;
  std::vector<double> dry_m, solvent_m;  ///< a layer
  double thick_m = 0, wet_m = 0;         ///< sums

  void read(const Columns& from, std::size_t i);
};

/// The mean of a class of columns before a wait, and what the wait makes of it.
struct Representative {
  double area_m2 = 0, thick_m = 0;
  std::vector<double> dry_m, before_m, after_m;

  void add(const Column& column, double weight_m2);
  void add(const Representative& other);
  /// As thick in all, with more of it in layer l and less in those under it; nothing where none are.
  std::optional<Representative> tilted(std::size_t l) const;
  /// Solvent a layer of another column is left with: the same share of its own, or as much more for its thickness.
  double left_m(std::size_t l, double own_dry_m, double own_solvent_m) const;
};

/// Columns of one sequence, in classes of equal width in thickness.
struct ColumnClass {
  double low_m = 1e30, high_m = 0, area_m2 = 0;
  std::size_t classes = 1;
  std::vector<Representative> representatives;  ///< by rising thickness once worked out
  /// Of each of them once worked out: layer, and the column with more of it.
  std::vector<std::vector<std::pair<std::size_t, Representative>>> tilted;

  /// Tilts each representative in its two outermost coats.
  void tilt();

  std::size_t class_of(double thick_m) const;
  /// Solvent left in a layer by the i-th representative, carried on to how thick the column's outermost coats are.
  double left_m(std::size_t i, std::size_t l, const Column& column) const;
  /// Solvent left in every layer, straight between the two representatives around a thickness.
  void left(const Column& column, std::vector<double>& left_m) const;
};
using ColumnClasses = std::map<Sequence, ColumnClass>;

/// The classes of a film and the columns that represent each; `areas_m2` a vertex.
ColumnClasses column_classes_of(const Film&, std::span<const float> areas_m2);

/// Some columns of the film, chosen by where they lie, so that neither threads nor vertex order change the choice.
std::vector<Column> some_columns(const Film&, const Body&, Key);

}  // namespace witnessline::bench

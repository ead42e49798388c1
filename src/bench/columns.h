// One chunk of a film as columns in local memory, and the mass balance every step keeps while it works on them.
#pragma once

#include <algorithm>
#include <span>
#include <vector>

#include "base/parallel.h"
#include "bench/run.h"

namespace witnessline::bench {

/// What one coat gained and lost; all volumes [m3] of what is stored, so the books close to rounding.
struct CoatSums {
  double laid = 0, cut = 0, lifted = 0, dissolved = 0;
  double solvent_laid = 0, solvent_left = 0, solvent_cut = 0;
  double soaked = 0;           ///< solvent taken up from other coats; negative: given to them
  double gone_through_m2 = 0;  ///< area where it went from something to nothing
};
struct MassBalance {
  explicit MassBalance(std::size_t layers = 0) : coats(layers) {}
  std::vector<CoatSums> coats;  ///< a film layer
  double wood_cut_m3 = 0, overspray_solids_m3 = 0, overspray_solvent_m3 = 0;
  double worked_m2 = 0;                             ///< area worked on, weights counted
  double metallic_cut_m2 = 0;                       ///< area where a metallic coat was cut
  double sprayed_m3 = 0;                            ///< paint and thinner that left the gun
  double drying_dry_m3 = 0, drying_solvent_m3 = 0;  ///< of the coats that still hold solvent
  MassBalance operator+(const MassBalance&) const;
};

/// The columns of one chunk. Reading copies the chunk in; store() writes back only what changed.
class Columns {
 public:
  Columns(const Film&, std::size_t begin, std::size_t end);
  void store(Film&) const;

  std::size_t begin() const { return begin_; }
  std::size_t size() const { return count_; }
  std::size_t layers() const { return layers_; }
  float dry_m(std::size_t layer, std::size_t i) const { return dry_[layer * count_ + i]; }
  float solvent_m(std::size_t layer, std::size_t i) const { return solvent_[layer * count_ + i]; }
  double melted(std::size_t layer, std::size_t i) const { return melted_[layer * count_ + i] / 255.0; }
  /// Dry film of a layer that takes solvent up and gives it off [m]: of a coat older than the plan only what has melted
  /// into the coat above. Law: a glass swells by a front that moves only while liquid stands on it, so it goes no
  /// deeper than the fresh coat has bitten. Source: thomas1982. Departs: the old coat below that takes up nothing at
  /// all.
  double drying_m(std::size_t layer, std::size_t i) const {
    const auto dry = static_cast<double>(dry_m(layer, i));
    const bool whole = !old_[layer] || (melted(layer, i) == 0 && solvent_m(layer, i) > 0);
    return whole ? dry : dry * melted(layer, i);
  }
  double thickness_m(std::size_t layer, std::size_t i) const {
    const float d = dry_m(layer, i);
    return d > 0 ? static_cast<double>(d) + static_cast<double>(solvent_m(layer, i)) : 0.0;
  }
  /// All coats from layer `from` up [m].
  double thickness_from(std::size_t from, std::size_t i) const {
    double sum = 0;
    for (std::size_t l = from; l < layers_; ++l) sum += thickness_m(l, i);
    return sum;
  }
  /// Outermost layer still there, or -1.
  int exposed(std::size_t i) const {
    for (int l = static_cast<int>(layers_) - 1; l >= 0; --l)
      if (dry_m(static_cast<std::size_t>(l), i) > 0) return l;
    return -1;
  }

  double wood_cut_m(std::size_t i) const { return static_cast<double>(wood_cut_[i]); }

  /// Cuts column i by `depth_m`; layers from `lifted_from` up are booked as lifted, those below as cut.
  void cut(std::size_t i, double depth_m, double area_m2, MassBalance&, std::size_t lifted_from);
  void cut(std::size_t i, double depth_m, double area_m2, MassBalance& books) {
    cut(i, depth_m, area_m2, books, layers_);
  }
  /// The same, ending at the wood: coats record how far the cut would have passed them, the wood keeps its face.
  void cut_to_wood(std::size_t i, double depth_m, double area_m2, MassBalance&);
  /// Adds dry film and solvent to a layer. Over wood or coats that were cut past it, the layer starts again from zero.
  void lay(std::size_t layer, std::size_t i, double dry_m, double solvent_m, double area_m2, MassBalance&);
  /// Sets the solvent of a layer to less than it was; the rest has evaporated.
  void evaporate(std::size_t layer, std::size_t i, double left_m, double area_m2, MassBalance&);
  /// Sets the solvent of every layer of a column. Coats that hold more took it from those that lost; what these lost
  /// beyond that has evaporated, from each in proportion. Valid: together not more than before.
  void dry(std::size_t i, std::span<const double> left_m, double area_m2, MassBalance&);
  /// Melts `depth_m` of a layer into the one above it.
  void melt(std::size_t layer, std::size_t i, double depth_m, double area_m2, MassBalance&);

 private:
  /// What is left of the depth under the coats.
  double cut_coats(std::size_t i, double depth_m, double area_m2, MassBalance&, std::size_t lifted_from);

  std::size_t begin_, count_, layers_;
  std::vector<float>&dry_, &solvent_, &wood_cut_;
  std::vector<std::uint8_t>& melted_;
  std::vector<char> old_;  ///< a layer: there before the plan began
  std::vector<char> film_changed_, melted_changed_;
  bool wood_changed_ = false;
};

/// Runs work(Columns&, MassBalance&) over every chunk of `film` where any weight is above zero, in parallel, stores
/// what changed, and adds the books up in chunk order. No weights: every chunk.
template <class Work>
MassBalance over_columns(Film& film, std::span<const float> weights, const Work& work) {
  const std::size_t layers = film.layers.size();
  return reduce_chunks(
      film.size(), field_chunk, MassBalance(layers),
      [&](std::size_t begin, std::size_t end) {
        MassBalance books(layers);
        const auto reached = [](float w) { return w > 0; };
        if (!weights.empty() && std::none_of(weights.begin() + begin, weights.begin() + end, reached)) return books;
        Columns columns(film, begin, end);
        work(columns, books);
        columns.store(film);
        return books;
      },
      [](const MassBalance& a, const MassBalance& b) { return a + b; });
}

}  // namespace witnessline::bench

// A film's columns set out for the spectral kernel, 64 at a time.
#pragma once

#include <functional>
#include <span>

#include "view/readings.h"

namespace witnessline::view {

/// Every vertex in blocks of 64, in parallel by chunk: seen(first vertex, how many, spectra). With `asked` weights, one
/// a vertex, blocks without any weight are passed over.
void for_blocks(const Film&, const ViewContext&,
                const std::function<void(std::size_t first, std::size_t count, const BlockSpectra&)>& seen,
                std::span<const float> asked = {});

/// Signed film, yellowing and melted share of every coat at every vertex, side by side, to be read inside triangles.
class ColumnTable {
 public:
  explicit ColumnTable(const Film&);
  const std::vector<std::size_t>& layers() const { return layers_; }  ///< those there somewhere; wood side first
  std::vector<CoatOptics> optics(const Film&, const Palette&) const;  ///< of layers()

  /// What a column inside a triangle says of the face of the film there.
  struct Here {
    int outermost = -1;             ///< of layers(); -1: bare wood
    float film_m = 0;               ///< all coats
    bool at_ring = false;           ///< some coat ends inside this triangle
    std::array<float, 3> corner_m;  ///< signed film at the corners, of the coats that are there
  };
  /// Fills column `c` of a block, but for its ground; signed film is interpolated first and clamped after. `cut_m` is
  /// first taken off the air side.
  Here load(ColumnBlock&, std::size_t c, const Triangle&, float u, float v, float cut_m = 0) const;

 private:
  struct Coat {
    float dry_m, yellowing, melted;
  };
  struct Face {
    float roughness_m, grime_kg_m2;
  };
  std::vector<std::size_t> layers_;
  std::vector<Coat> coats_;  // [vertex][layer]
  std::vector<Face> faces_;
};

}  // namespace witnessline::view

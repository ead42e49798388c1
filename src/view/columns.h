// A film's columns set out for the spectral kernel, 64 at a time.
#pragma once

#include <functional>

#include "view/readings.h"

namespace witnessline {

/// What 64 columns share: optics of the film's coats at `layers` and the bare woods.
ColumnBlock empty_block(const Film&, const Looking&, const std::vector<std::size_t>& layers);

/// Every vertex in blocks of 64, in parallel by chunk: seen(first vertex, how many, reflectance by band).
using BlockReflectance = std::array<std::array<float, block>, bands>;
void for_blocks(const Film&, const Looking&,
                const std::function<void(std::size_t first, std::size_t count, const BlockReflectance&)>& seen);

/// Signed film and yellowing of every coat at every vertex, side by side, to be read inside triangles.
class ColumnTable {
 public:
  ColumnTable(const Film&, const Looking&);
  const std::vector<std::size_t>& layers() const { return layers_; }  ///< those there somewhere; wood side first

  /// Fills column `c` of a block for a place; signed thickness is interpolated first and clamped after.
  /// Returns the outermost of layers() that is left there, or -1 for bare wood.
  int load(ColumnBlock&, int c, const Triangle&, float u, float v) const;

 private:
  struct Coat {
    float signed_m, yellowing;
  };
  std::vector<std::size_t> layers_;
  std::vector<Coat> coats_;  // [vertex][layer]
};

}  // namespace witnessline

// Parallel loops over fixed chunks: the chunks do not depend on the number of threads, so neither do the results.
#pragma once

#include <cstddef>
#include <functional>
#include <vector>

#include "base/modules.h"

namespace witnessline::base {

/// Runs body(begin, end) over [0, count) in chunks of `chunk`; body must only write what its chunk owns.
void for_chunks(std::size_t count, std::size_t chunk,
                const std::function<void(std::size_t begin, std::size_t end)>& body);

/// How many threads for_chunks may use from now on in this process; 0: as many as there are cores.
void use_threads(unsigned count);

/// Reduces chunk results in chunk order: value = combine(combine(zero, part 0), part 1)...
template <class T, class Part, class Combine>
T reduce_chunks(std::size_t count, std::size_t chunk, T zero, const Part& part, const Combine& combine) {
  std::vector<T> parts((count + chunk - 1) / chunk, zero);
  for_chunks(count, chunk, [&](std::size_t begin, std::size_t end) { parts[begin / chunk] = part(begin, end); });
  T total = std::move(zero);
  for (T& p : parts) total = combine(std::move(total), std::move(p));
  return total;
}

}  // namespace witnessline::base

#include "base/parallel.h"

#include <tbb/blocked_range.h>
#include <tbb/global_control.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <memory>
#include <thread>

namespace witnessline {

void for_chunks(std::size_t count, std::size_t chunk, const std::function<void(std::size_t, std::size_t)>& body) {
  const std::size_t chunks = (count + chunk - 1) / chunk;
  tbb::parallel_for(std::size_t{0}, chunks, [&](std::size_t c) { body(c * chunk, std::min(count, (c + 1) * chunk)); });
}

void use_threads(unsigned count) {
  static std::unique_ptr<tbb::global_control> control;
  if (count == 0) count = std::max(1u, std::thread::hardware_concurrency());
  control.reset();
  control = std::make_unique<tbb::global_control>(tbb::global_control::max_allowed_parallelism, count);
}

}  // namespace witnessline

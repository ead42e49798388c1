#include "base/parallel.h"

#include <tbb/blocked_range.h>
#include <tbb/global_control.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <atomic>
#include <memory>
#include <thread>
#include <vector>

namespace witnessline::base {

void for_chunks(std::size_t count, std::size_t chunk, const std::function<void(std::size_t, std::size_t)>& body) {
  const std::size_t chunks = (count + chunk - 1) / chunk;
  const auto one = [&](std::size_t c) { body(c * chunk, std::min(count, (c + 1) * chunk)); };
#ifdef WITNESSLINE_PLAIN_THREADS
  // The tsan preset: ThreadSanitizer cannot see how Debian's TBB orders work and would take every loop for a race.
  std::atomic<std::size_t> next = 0;
  const auto work = [&] {
    for (std::size_t c = next++; c < chunks; c = next++) one(c);
  };
  std::vector<std::jthread> threads(3);
  for (std::jthread& thread : threads) thread = std::jthread(work);
  work();
#else
  tbb::parallel_for(std::size_t{0}, chunks, one);
#endif
}

void use_threads(unsigned count) {
  static std::unique_ptr<tbb::global_control> control;
  if (count == 0) count = std::max(1u, std::thread::hardware_concurrency());
  control.reset();
  control = std::make_unique<tbb::global_control>(tbb::global_control::max_allowed_parallelism, count);
}

}  // namespace witnessline::base

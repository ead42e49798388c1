// How long does it take to find the best recipe of up to five colorants of a shelf, under three lamps?
// usage: match_benchmark [full]. The answer is first held against a search that leaves nothing out: on 12 of the
// colorants (or with `full` on 24, for 50 targets, which takes tens of minutes). The roof, measured in the same run, is
// a loop of the same exponential, root and divides and nothing else.
#include <fmt/format.h>

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <ctime>

#include "optics/absorbed.h"
#include "unit/match/bench_shelf.h"

using namespace witnessline;
using namespace witnessline::app;

namespace {

constexpr unsigned threads = 2;
constexpr int padded = MixtureKernel::padded_bands;

struct Time {
  double wall_s = 0, processor_s = 0;
};
Time timed(const auto& work) {
  const auto start = std::chrono::steady_clock::now();
  const std::clock_t used = std::clock();
  work();
  return {std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count(),
          static_cast<double>(std::clock() - used) / CLOCKS_PER_SEC};
}

// One exponential, one root, two divides of the film and one of the face, a band.
PER_CPU float roof(const float* __restrict depth, float scale) {
  alignas(64) float sum[padded];
  for (int b = 0; b < padded; ++b) {
    const float t = std::sqrt(depth[b] * scale);
    const float r = absorbed(2 * t) / t;
    const float q = r / (1 + r + t);
    sum[b] = q / (2 - q);
  }
  float total = 0;
  for (int b = 0; b < padded; ++b) total += sum[b];
  return total;
}

bool agrees(std::size_t tins, std::uint64_t targets, int net_points) {
  const std::vector<Tin> shelf = invented_shelf(tins);
  const LaidFilm laying = invented_laying();
  constexpr double wanted = 0.05;
  double worst = -1;
  for (std::uint64_t i = 0; i < targets; ++i) {
    const SearchProblem problem = problem_of(shelf, invented_aim(shelf, laying, i), laying, 0.25);
    const double ours = search(problem, 5, 1)[0].worst;
    if (ours <= wanted) {  // nothing can come nearer than 0
      worst = std::max(worst, ours);
      fmt::print("  target {}: ours {:.4f}, so near that no search could gain {}\n", i + 1, ours, wanted);
      continue;
    }
    const Exhaustive everything(problem, 5, net_points);
    const double theirs = everything.best().worst;
    worst = std::max(worst, ours - theirs);
    fmt::print("  target {}: ours {:.4f}, everything {:.4f} (polishing gained {:.2f} at most)\n", i + 1, ours, theirs,
               everything.most_gained());
    std::fflush(stdout);  // the full run is long: what is seen so far is seen
  }
  fmt::print("{} colorants, {} targets: at most {:+.4f} Delta E above the search that leaves nothing out\n", tins,
             targets, worst);
  return worst <= wanted;
}

}  // namespace

int main(int argc, char** argv) {
  use_threads(threads);
  const bool full = argc > 1 && std::strcmp(argv[1], "full") == 0;
  if (!(full ? agrees(24, 50, 150) : agrees(12, 12, 100))) {
    fmt::print("the answer is wrong; nothing is timed\n");
    return EXIT_FAILURE;
  }

  const LaidFilm laying = invented_laying();
  for (const std::size_t tins : {std::size_t{24}, std::size_t{40}}) {
    const std::vector<Tin> shelf = invented_shelf(tins);
    Time sum, most;
    constexpr std::uint64_t targets = 6;
    for (std::uint64_t i = 0; i < targets; ++i) {
      const SearchProblem problem = problem_of(shelf, invented_aim(shelf, laying, i), laying, 0.25);
      const Time t = timed([&] { static_cast<void>(search(problem, 5, 200)); });
      sum.wall_s += t.wall_s / targets, sum.processor_s += t.processor_s / targets;
      most.wall_s = std::max(most.wall_s, t.wall_s), most.processor_s = std::max(most.processor_s, t.processor_s);
    }
    fmt::print(
        "{} colorants, up to 5, three lamps, {} threads: mean {:.3f} s, longest {:.3f} s; processor {:.3f} s mean, "
        "{:.3f} s longest (halved: {:.3f} s)\n",
        tins, threads, sum.wall_s, most.wall_s, sum.processor_s, most.processor_s, most.processor_s / threads);
  }

  const std::vector<Tin> shelf = invented_shelf(8);
  const SearchProblem problem = problem_of(shelf, invented_aim(shelf, laying, 0), laying, 0.25);
  constexpr int count = 1000000;
  std::array<MixtureKernel::Outputs, 2> root;
  float depth[padded], kept = 0;
  for (int b = 0; b < padded; ++b) depth[b] = 0.1f + 0.02f * static_cast<float>(b);
  double colour_s = 1e9, roof_s = 1e9;
  for (int run = 0; run < 5; ++run) {
    colour_s = std::min(colour_s, timed([&] {
                                    for (int i = 0; i < count; ++i) {
                                      problem.kernel.colour(
                                          {0, 1, 2, 3, 4},
                                          {0.1f + 1e-7f * static_cast<float>(i), 0.2f, 0.3f, 0.2f, 0.2f}, root);
                                      kept += root[0].at[0];
                                    }
                                  }).processor_s);
    roof_s = std::min(roof_s, timed([&] {
                                for (int i = 0; i < count; ++i) kept += roof(depth, 1 + 1e-7f * static_cast<float>(i));
                              }).processor_s);
  }
  fmt::print(
      "one core: {:.2f} million stack colours a second (Lab under three lamps); the roof {:.2f}; {:.2f} times the "
      "roof's time [{}]\n",
      count / colour_s / 1e6, count / roof_s / 1e6, colour_s / roof_s, kept > 0);
  return EXIT_SUCCESS;
}

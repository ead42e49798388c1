// How long does the appearance of a whole instrument take: 36 bands through 4 coats at every vertex, to screen colour?
// The roof, measured in the same run, is a loop of the same exponentials and divides and nothing else.
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <ctime>
#include <vector>

#include "base/parallel.h"
#include "optics/absorbed.h"
#include "optics/reflectance.h"

using namespace witnessline;
using namespace witnessline::app;

namespace {

constexpr std::size_t coat_count = 4;
constexpr unsigned threads = 2;
constexpr std::size_t chunk = 64 * block;

CoatOptics coat(double k_violet, double k_red, double s, double yellow) {
  CoatOptics optics;
  for (int band = 0; band < bands; ++band) {
    const double t = band / (bands - 1.0);
    optics.absorption_per_m[band] = k_violet + (k_red - k_violet) * t;
    optics.scattering_per_m[band] = s * (1.2 - 0.4 * t);
    optics.yellowing_per_m[band] = yellow * (1 - t);
  }
  return optics;
}

Reflectance wood() {
  Reflectance bare;
  for (int band = 0; band < bands; ++band) bare[band] = 0.2 + 0.5 * band / (bands - 1.0);
  return bare;
}

// The state of the surface: one thickness a coat and vertex.
struct Films {
  explicit Films(std::size_t vertices) : thickness_m(coat_count, std::vector<float>(vertices)), aged(vertices) {
    for_chunks(vertices, chunk, [&](std::size_t begin, std::size_t end) {
      for (std::size_t v = begin; v < end; ++v) {
        const double u = static_cast<double>((v * 2654435761u) % 1000003u) / 1000003.0;
        for (std::size_t c = 0; c < coat_count; ++c)
          thickness_m[c][v] =
              static_cast<float>((10 + 30 * std::fmod(u * (3 + 2 * static_cast<double>(c)), 1.0)) * 1e-6);
        aged[v] = static_cast<float>(u);
      }
    });
  }
  std::vector<std::vector<float>> thickness_m;
  std::vector<float> aged;
};

struct Task {
  const char* name;
  std::vector<CoatOptics> coats;
  bool aged = false, melted = false;
};

void load(const Films& films, const Task& task, std::size_t first, ColumnBlock& columns) {
  for (std::size_t c = 0; c < coat_count; ++c) {
    std::copy_n(&films.thickness_m[c][first], block, columns.thickness_m[c].begin());
    if (task.aged) std::copy_n(&films.aged[first], block, columns.yellowing[c].begin());
    if (task.melted) columns.melted[c].fill(c == 1 ? 0.1f : 0.0f);
  }
}

using Bytes = std::vector<std::array<std::uint8_t, 3>>;

void appearance(const Task& task, const Films& films, std::size_t vertices, Bytes& out) {
  const CoatSequence sequence(task.coats, {wood()});
  for_chunks(vertices, chunk, [&](std::size_t begin, std::size_t end) {
    ColumnBlock columns(coat_count);
    BlockSpectra spectra;
    for (std::size_t first = begin; first + block <= end; first += block) {
      load(films, task, first, columns);
      reflectance(sequence, columns, spectra);
      const auto bytes = to_srgb_bytes(spectra, Lamp::D65, Observer::deg10);
      std::copy(bytes.begin(), bytes.end(), out.begin() + static_cast<std::ptrdiff_t>(first));
    }
  });
}

// One exponential and one divide a coat and band, one divide more for the air face; no other work, all in registers.
PER_CPU float block_of_exponentials_and_divides(const float* __restrict thickness_m) {
  alignas(64) float sum[block] = {};
  for (int band = 0; band < bands; ++band) {
    const float decay = 1e4f + 1e3f * static_cast<float>(band);
    for (int i = 0; i < block; ++i) {
      float r = sum[i];
      r = absorbed(decay * thickness_m[i]) / (1 + r);
      r = absorbed(2 * decay * thickness_m[i]) / (1 + r);
      r = absorbed(3 * decay * thickness_m[i]) / (1 + r);
      r = absorbed(4 * decay * thickness_m[i]) / (1 + r);
      sum[i] = 1 / (1 + r);
    }
  }
  float total = 0;
  for (int i = 0; i < block; ++i) total += sum[i];
  return total;
}

void exponentials_and_divides(const Films& films, std::vector<float>& sums) {
  for_chunks(sums.size() * block, chunk, [&](std::size_t begin, std::size_t end) {
    for (std::size_t first = begin; first + block <= end; first += block)
      sums[first / block] = block_of_exponentials_and_divides(&films.thickness_m[0][first]);
  });
}

// Time on the wall, and processor time shared out over the two threads, which a busy machine does not stretch.
struct Time {
  double wall_s = 1e9, processor_s = 1e9;
};
Time least(int runs, const auto& work) {
  Time best;
  for (int i = 0; i < runs; ++i) {
    const auto start = std::chrono::steady_clock::now();
    const std::clock_t used = std::clock();
    work();
    best.processor_s = std::min(best.processor_s, static_cast<double>(std::clock() - used) / CLOCKS_PER_SEC / threads);
    best.wall_s =
        std::min(best.wall_s, std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
  }
  return best;
}

// Largest difference between the kernel and the double-precision reference over some columns.
double worst_difference(const Task& task, const Films& films) {
  const CoatSequence sequence(task.coats, {wood()});
  ColumnBlock columns(coat_count);
  BlockSpectra spectra;
  double worst = 0;
  for (std::size_t first = 0; first < 4096; first += block) {
    load(films, task, first, columns);
    reflectance(sequence, columns, spectra);
    for (std::size_t i = 0; i < block; ++i) {
      std::vector<ColumnCoat> column;
      for (std::size_t c = 0; c < coat_count; ++c)
        column.push_back({task.coats[c], columns.thickness_m[c][i], columns.melted[c][i], columns.yellowing[c][i]});
      const Reflectance reference = reflectance(column, wood(), {}, {});
      for (std::size_t band = 0; band < bands; ++band)
        worst = std::max(worst, std::abs(reference.at[band] - static_cast<double>(spectra[band][i])));
    }
  }
  return worst;
}

}  // namespace

int main() {
  use_threads(threads);
  const CoatOptics clear = coat(800, 20, 0, 3000), toner = coat(4e4, 2e3, 0, 0), paint = coat(3e4, 1e4, 6e4, 0),
                   primer = coat(300, 50, 1e5, 500);
  const std::vector<Task> tasks{{"four pigmented coats", {primer, paint, paint, paint}},
                                {"paint under toner and two aged clears", {paint, toner, clear, clear}, true, false},
                                {"pigmented, aged and melted", {primer, paint, primer, clear}, true, true}};
  constexpr std::size_t million = std::size_t{1} << 20;
  const Films films(4 * million);

  for (const Task& task : tasks) {
    const double worst = worst_difference(task, films);
    fmt::print("{:<40} largest difference from the reference {:.1e}\n", task.name, worst);
    if (!(worst < 5e-6)) {
      fmt::print("the answer is wrong; nothing is timed\n");
      return EXIT_FAILURE;
    }
  }

  Bytes colours(4 * million);
  std::vector<float> sums(million / block);
  constexpr int runs = 9;
  const Time roof = least(runs, [&] { exponentials_and_divides(films, sums); });
  fmt::print(
      "\n1 M vertices x 36 bands x 4 coats on {} threads, least of {} runs      wall  processor   over the roof\n",
      threads, runs);
  fmt::print("{:<62} {:6.1f} ms  {:6.1f} ms\n", "roof: 4 exponentials and 5 divides", 1e3 * roof.wall_s,
             1e3 * roof.processor_s);
  for (const Task& task : tasks) {
    const Time time = least(runs, [&] { appearance(task, films, million, colours); });
    fmt::print("{:<62} {:6.1f} ms  {:6.1f} ms  {:6.2f}\n", task.name, 1e3 * time.wall_s, 1e3 * time.processor_s,
               time.processor_s / roof.processor_s);
  }

  fmt::print("\n{}, time a vertex                                   wall  processor\n", tasks[0].name);
  for (std::size_t vertices = million / 8; vertices <= 4 * million; vertices *= 2) {
    const Time time = least(runs, [&] { appearance(tasks[0], films, vertices, colours); });
    fmt::print("{:>15} vertices {:42.2f} ns  {:6.2f} ns\n", vertices, 1e9 * time.wall_s / static_cast<double>(vertices),
               1e9 * time.processor_s / static_cast<double>(vertices));
  }
  return EXIT_SUCCESS;
}

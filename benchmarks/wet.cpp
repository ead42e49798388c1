// How long does one drying blend take, and a thinner designed from eighteen solvents? Promised: 0.5 ms and 300 ms.
// Before the clock starts, the drying of a pure solvent is checked against volume over rate.
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>

#include "app/app.h"
#include "solvents/thinner.h"

using namespace witnessline;
using namespace witnessline::app;

namespace {
Volatile solvent(const Library& library, const std::string& id) { return volatile_of(*library.find(id)).value(); }

double best_ms(int rounds, const auto& work) {
  double best = 1e300;
  for (int round = 0; round < rounds; ++round) {
    const auto start = std::chrono::steady_clock::now();
    work();
    best = std::min(best, std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count());
  }
  return best;
}
}  // namespace

int main() {
  const Result<Library> library = read_library(data_folder());
  if (!library) return fmt::print("{}\n", library.errors()[0].text()), EXIT_FAILURE;
  const FilmFormer lacquer = *film_former_of(*library->find("nitrocellulose_lacquer"));
  const Airflow air = airflow_along(294.15, 0.3);

  const Volatile toluene = solvent(*library, "toluene");
  const double pure[]{1.0};
  double flux[1];
  const OpenFace face({&toluene, 1}, air);
  face.flux_mol_m2s(pure, face.film_temperature_K(pure), flux);
  const double expected_s = 45e-6 / (flux[0] * toluene.molar_volume_m3_mol());
  const double found_s = *evaporate({{toluene}, std::nullopt, 294.15}, {{50e-6}}, air).time_to_lose_s(0.9);
  if (std::abs(found_s / expected_s - 1) > 1e-3)
    return fmt::print("pure toluene: {:.2f} s for {:.2f} s\n", found_s, expected_s), EXIT_FAILURE;

  std::vector<Volatile> blend;
  for (const char* id : {"acetone", "toluene", "isopropanol", "butyl_acetate", "butyl_glycol"})
    blend.push_back(solvent(*library, id));
  const WetFilm film{{23e-6, 32e-6, 14e-6, 17e-6, 5e-6}, 9e-6};
  std::size_t moments = 0;
  const double blend_ms = best_ms(200, [&] {
    const Solution solution(blend, lacquer, 294.15);
    moments = evaporate(solution, film, air, 0.02).moments.size();
  });
  fmt::print("one blend of five, activities by groups, heat balance: {:.3f} ms, {} moments (promised 0.5 ms)\n",
             blend_ms, moments);

  std::vector<ShelfSolvent> shelf;
  for (const Material& material : library->all())
    if (material.role == Role::solvent && material.id != "water" && shelf.size() < 18)
      if (const Result<Volatile> one = volatile_of(material)) shelf.push_back({*one, 5.0});
  for (const double humidity : {0.5, 0.7, 0.85}) {
    const SprayedFilm sprayed{lacquer, 0.09, 100e-6, airflow_along(294.15, 0.3, humidity), {}, {}};
    const double design_ms = best_ms(3, [&] { design_thinner(shelf, sprayed, {}); });
    fmt::print("thinner from {} solvents at {:.0f} % humidity: {:.0f} ms (promised 300 ms)\n", shelf.size(),
               100 * humidity, design_ms);
  }
  return EXIT_SUCCESS;
}

#include <algorithm>
#include <cmath>

#include "base/result.h"
#include "colour/cie_tables.h"
#include "colour/colour.h"

namespace witnessline::colour {
namespace {

constexpr int table_nm = 360, last_nm = 780;
constexpr int table_bands = (last_nm - table_nm) / 10 + 1;

const IlluminantTable& table_of(Lamp lamp) {
  switch (lamp) {
    case Lamp::A:
      return cie_a;
    case Lamp::C:
      return cie_c;
    case Lamp::D50:
      return cie_d50;
    case Lamp::D65:
      return cie_d65;
    case Lamp::LED_B3:
      return cie_led_b3;
  }
  broken_promise("every lamp has a table", __FILE__, __LINE__);
}

// The D illuminants are piecewise linear between their 5 nm values (CIE 15:2018); the other lamps are smooth and get a
// cubic through the four nearest values. Below 380 nm the end value is held.
double power(Lamp lamp, int nm) {
  const IlluminantTable& table = table_of(lamp);
  const double position = std::max(0.0, (nm - 380) / 5.0);
  const int i = std::min(static_cast<int>(position), 79);
  const double t = position - i;
  const auto at = [&](int k) { return table[static_cast<std::size_t>(std::clamp(k, 0, 80))]; };
  if (lamp == Lamp::D50 || lamp == Lamp::D65 || i == 0 || i == 79) return at(i) * (1 - t) + at(i + 1) * t;
  return -t * (t - 1) * (t - 2) / 6 * at(i - 1) + (t + 1) * (t - 1) * (t - 2) / 2 * at(i) -
         (t + 1) * t * (t - 2) / 2 * at(i + 1) + (t + 1) * t * (t - 1) / 6 * at(i + 2);
}

// ASTM E2022: the reflectance between two bands is a Lagrange polynomial through the nearest bands: four in the middle,
// three in the first and last interval. Returns the first band used and the coefficients.
struct Lagrange {
  int first = 0, count = 0;
  std::array<double, 4> coefficient{};
};
Lagrange lagrange(int nm) {
  const double position = (nm - table_nm) / 10.0;
  const int interval = std::min(static_cast<int>(position), table_bands - 2);
  Lagrange result;
  const bool at_end = interval == 0 || interval == table_bands - 2;
  result.count = at_end ? 3 : 4;
  result.first = std::min(std::max(interval - 1, 0), table_bands - result.count);
  for (int j = 0; j < result.count; ++j) {
    double product = 1;
    for (int k = 0; k < result.count; ++k)
      if (k != j) product *= (position - (result.first + k)) / (j - k);
    result.coefficient[static_cast<std::size_t>(j)] = product;
  }
  return result;
}

Weights work_out(Lamp lamp, Observer observer) {
  const bool two = observer == Observer::deg2;
  const std::array<const ObserverTable*, 3> matching{two ? &cie_x2 : &cie_x10, two ? &cie_y2 : &cie_y10,
                                                     two ? &cie_z2 : &cie_z10};
  Weights weights;
  const std::array<std::array<double, bands>*, 3> out{&weights.x, &weights.y, &weights.z};
  double white_y = 0;
  for (int nm = table_nm; nm <= last_nm; ++nm) {
    const auto row = static_cast<std::size_t>(nm - table_nm);
    const double s = power(lamp, nm);
    white_y += s * (*matching[1])[row];
    const Lagrange l = lagrange(nm);
    for (int j = 0; j < l.count; ++j) {
      const int band_of_table = l.first + j;
      const int folded = std::clamp(band_of_table - static_cast<int>((first_band_nm - table_nm) / 10), 0, bands - 1);
      for (std::size_t c = 0; c < 3; ++c)
        (*out[c])[static_cast<std::size_t>(folded)] +=
            s * (*matching[c])[row] * l.coefficient[static_cast<std::size_t>(j)];
    }
  }
  for (auto* component : out)
    for (double& w : *component) w *= 100 / white_y;
  return weights;
}

}  // namespace

const Weights& weights(Lamp lamp, Observer observer) {
  static const auto all = [] {
    std::array<std::array<Weights, 2>, 5> made;
    for (std::size_t lamp = 0; lamp < made.size(); ++lamp)
      for (std::size_t observer = 0; observer < 2; ++observer)
        made[lamp][observer] = work_out(static_cast<Lamp>(lamp), static_cast<Observer>(observer));
    return made;
  }();
  return all[static_cast<std::size_t>(lamp)][static_cast<std::size_t>(observer)];
}

}  // namespace witnessline::colour

#include "colour/metamerism.h"

#include <cmath>

namespace witnessline::colour {

double special_metamerism_index(const Reflectance& standard, const Reflectance& sample, Lamp from, Lamp to,
                                Observer observer) {
  const Lab s1 = to_lab(standard, from, observer), p1 = to_lab(sample, from, observer);
  const Lab s2 = to_lab(standard, to, observer), p2 = to_lab(sample, to, observer);
  return std::hypot(p2.l - p1.l + s1.l - s2.l, p2.a - p1.a + s1.a - s2.a, p2.b - p1.b + s1.b - s2.b);
}

}  // namespace witnessline::colour

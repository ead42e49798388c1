#include "body/where.h"

namespace witnessline {
double area_under(std::span<const float> weights, const Body& body) {
  double sum = 0;
  for (std::size_t i = 0; i < weights.size(); ++i) sum += double(weights[i]) * body.areas_m2()[i];
  return sum;
}
}  // namespace witnessline

#include "bench/coat_words.h"

#include <fmt/format.h>

#include <algorithm>

namespace witnessline::bench {

std::string coat_in_words(const FilmLayer& layer) {
  std::string from = layer.provenance.laid_by;
  if (layer.provenance.origin != Origin::this_plan) return fmt::format("'{}'", from);
  std::replace(from.begin(), from.end(), '_', ' ');
  const std::string& name = layer.mixture->name;
  return fmt::format("'{}' (step {})", name.substr(0, name.find_first_of(":,")), from);
}

}  // namespace witnessline::bench

#include "base/figure.h"

namespace witnessline {

const char* name_of(Kind kind) {
  switch (kind) {
    case Kind::measured:
      return "measured";
    case Kind::computed:
      return "computed";
    case Kind::published:
      return "published";
    case Kind::memory:
      return "memory";
    case Kind::estimate:
      return "estimate";
  }
  return "estimate";
}

}  // namespace witnessline

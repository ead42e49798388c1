#include "app/published/published.h"

namespace witnessline {

void add_coating_checks(Registry&) {}

}  // namespace witnessline

#include "app/published/published.h"

namespace witnessline {

void add_wood_checks(Registry&) {}

}  // namespace witnessline

#include "app/published/published.h"

namespace witnessline {

void add_solvent_checks(Registry&) {}

}  // namespace witnessline

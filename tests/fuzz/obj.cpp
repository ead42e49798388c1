#include "body.h"

FUZZ(bytes) { witnessline::build_mesh(bytes, "mm"); }

// lay: what the gun lays in a coat, how wet it may be before it runs, how many coats, and what the weather changes.
#pragma once

#include "app/verb.h"

namespace witnessline {
Verb lay_verb();
}

// life: what the untouched parts show of the instrument's history, with bands, and a block for the job file.
#pragma once

#include "app/verb.h"

namespace witnessline::app {
Verb life_verb();
}

// life: what the untouched parts say the instrument has lived through, with bands, and a block for the job file.
#pragma once

#include "app/verb.h"

namespace witnessline::app {
Verb life_verb();
}

// tin: may an old tin be sprayed: what was tried on it says, how fast it settles, which strainer.
#pragma once

#include "app/verb.h"

namespace witnessline::app {
Verb tin_verb();
}

// enough: is there enough paint in the tin, how sure, and what to give up first.
#pragma once

#include "app/verb.h"

namespace witnessline::app {
Verb enough_verb();
}

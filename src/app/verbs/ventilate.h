// ventilate: the air a spraying room asks for, and what its own fan makes of it.
#pragma once

#include "app/verb.h"

namespace witnessline {

Verb ventilate_verb();

}  // namespace witnessline

// compatible: will a fresh coat and the old ones it is to lie on live together.
#pragma once

#include "app/verb.h"

namespace witnessline::app {
Verb compatible_verb();
}

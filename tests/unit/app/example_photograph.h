#pragma once

#include "image/image.h"

namespace witnessline::app {

/// The photograph of examples/verbs: checks of the bench's own cold on a face that never was, a rule laid along it.
/// Apart from the tests of the verb, as two headers below it name a Shape each.
Image example_photograph();

}  // namespace witnessline::app

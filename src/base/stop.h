// StopCheck: how long work is broken off by whoever asked for it.
#pragma once

#include <functional>

#include "base/result.h"

namespace witnessline::base {

/// True once the work is no longer wanted; called from several threads. Empty: never.
using StopCheck = std::function<bool()>;

inline bool stopped(const StopCheck& stop) { return stop && stop(); }

/// What comes back instead of a result.
inline Error broken_off() { return {"the work was stopped before it was finished", {}, "", "ask again"}; }

}  // namespace witnessline::base

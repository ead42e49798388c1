// The command line: a skin over app/app.h.
#pragma once

#include "base/modules.h"

namespace witnessline::cli {

/// What the exit status says.
enum ExitStatus { well = 0, faults_in_input = 1, wrong_command_line = 2, our_own_bug = 3 };

int command_line(int argc, char** argv);

}  // namespace witnessline::cli

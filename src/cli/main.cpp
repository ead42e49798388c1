#include "cli/cli.h"

int main(int argc, char** argv) { return witnessline::cli::command_line(argc, argv); }

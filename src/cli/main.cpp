#include "cli/cli.h"

int main(int argc, char** argv) { return witnessline::command_line(argc, argv); }

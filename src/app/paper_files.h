// A job's papers as files.
#pragma once

#include <map>
#include <string>

#include "app/app.h"

namespace witnessline::app {

/// Every paper as HTML, by path under `folder` ("papers/"), those of a plan in a folder of its id; templates as SVG.
void add_papers(std::map<std::string, std::string>& files, const std::string& folder, const Worked&, BenchUnits, Sheet);

}  // namespace witnessline::app

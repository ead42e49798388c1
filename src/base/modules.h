// The modules' namespaces: each sees the names of the modules that LAYERS lets it include; a name of its own wins over
// one from below. tools/check_layers holds this list to LAYERS.
#pragma once

namespace witnessline {

namespace base {}
namespace numerics {
using namespace base;
}
namespace colour {
using namespace numerics;
}
namespace body {
using namespace numerics;
}
namespace image {
using namespace numerics;
}
namespace materials {
using namespace colour;
}
namespace solvents {
using namespace materials;
}
namespace stack {
using namespace materials;
}
namespace film {
using namespace stack;
using namespace body;
}  // namespace film
namespace optics {
using namespace stack;
}
namespace drying {
using namespace stack;
using namespace solvents;
}  // namespace drying
namespace cracking {
using namespace stack;
}
namespace bench {
using namespace film;
using namespace optics;
using namespace drying;
using namespace cracking;
}  // namespace bench
namespace view {
using namespace bench;
using namespace image;
}  // namespace view
namespace match {
using namespace optics;
using namespace image;
}  // namespace match
namespace history {
using namespace view;
}
namespace safety {
using namespace bench;
using namespace solvents;
}  // namespace safety
namespace job {
using namespace bench;
using namespace match;
using namespace history;
using namespace safety;
}  // namespace job
namespace papers {
using namespace job;
using namespace view;
}  // namespace papers
namespace analysis {
using namespace job;
using namespace view;
}  // namespace analysis
namespace app {
using namespace papers;
using namespace analysis;
}  // namespace app
namespace server {
using namespace app;
}
namespace cli {
using namespace server;
}

}  // namespace witnessline

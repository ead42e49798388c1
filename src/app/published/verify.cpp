#include "app/app.h"
#include "app/published/published.h"

namespace witnessline::app {

Result<std::vector<Check>> verify() { return verify(data_folder()); }

}  // namespace witnessline::app

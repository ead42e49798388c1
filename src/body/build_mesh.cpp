#include "body/build.h"
namespace witnessline {
Result<BuiltBody> body_from_mesh(const BodySpec&, const std::string&, const std::string& file,
                                 const std::vector<SurveyFact>&) {
  return Error{"mesh files cannot be read yet", {file, 0, 0, ""}, "", ""};
}
}  // namespace witnessline

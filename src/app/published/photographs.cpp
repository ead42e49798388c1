// Patches of a chart as photographs by other people have them, each worked out from the other patches alone.
#include <fmt/format.h>

#include <filesystem>
#include <map>
#include <memory>

#include "app/files.h"
#include "app/published/published.h"
#include "app/verbs/read.h"

namespace witnessline::app {
namespace {

Result<PhotoReading> read_photograph(const std::filesystem::path& data, const std::string& name) {
  const auto bytes = read_file((data / "photographs" / name).string());
  if (!bytes) return bytes.errors();
  const auto image = from_png(*bytes, name);
  if (!image) return image.errors();
  const auto chart = published_chart(data.string());
  if (!chart) return chart.errors();
  return read_chart_photo(*image, *chart, {}, {}, UnevenLight::correct, name);
}

}  // namespace

void add_photograph_checks(Registry& registry) {
  // Finding a chart takes most of a second: once a photograph, not once a patch.
  const auto read = std::make_shared<std::map<std::string, Result<PhotoReading>>>();
  const auto photograph = [read](const PublishedRow& row) -> const Result<PhotoReading>& {
    const auto data = std::filesystem::path(row.file).parent_path().parent_path();
    const auto named = row.inputs.find("photo");
    const std::string name = named == row.inputs.end() ? "" : named->second;
    const auto found = read->find(name);
    return found != read->end() ? found->second : read->emplace(name, read_photograph(data, name)).first->second;
  };
  registry.add("photo_left_out_mean", [photograph](const PublishedRow& row) -> Result<double> {
    const auto& photo = photograph(row);
    if (!photo) return photo.errors();
    return photo->left_out_mean;
  });
  registry.add("photo_patch_left_out", [photograph](const PublishedRow& row) -> Result<double> {
    const auto& photo = photograph(row);
    if (!photo) return photo.errors();
    const auto number = numbers(row, {"patch"});
    if (!number) return number.errors();
    for (const PhotoPatch& p : photo->patches)
      if (p.number == (*number)["patch"] && p.used) return p.left_out_delta_e;
    return Error{"the patch is not used: clipped or uneven", {row.file, row.line, 0, row.quantity}, "", ""};
  });
}

}  // namespace witnessline::app

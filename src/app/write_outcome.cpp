// Everything a job's outcome leaves on the disk: tables, stills, sections, the mesh and the papers.
#include <fmt/format.h>

#include "app/files.h"
#include "app/paper_files.h"
#include "app/work.h"

namespace witnessline::app {

namespace {

constexpr StillSize step_still{480, 640, 4};
constexpr StillSize last_still{1050, 1400, 8};
constexpr StillSize compared_still{750, 1000, 16};

std::string png_text(const Image& image) {
  const std::vector<std::uint8_t> bytes = to_png(image);
  return {bytes.begin(), bytes.end()};
}

/// Middle of a region [m], by area; the surface point is found from it.
Vec3 middle_of(const Body& body, const Where& where) {
  const auto weights = weights_of(where, body);
  double x = 0, y = 0, z = 0, area = 0;
  for (std::size_t v = 0; weights && v < body.size(); ++v) {
    const double share = (*weights)[v] * body.areas_m2()[v];
    x += share * body.positions()[v].x, y += share * body.positions()[v].y, z += share * body.positions()[v].z;
    area += share;
  }
  if (area == 0) return {};
  return {static_cast<float>(x / area), static_cast<float>(y / area), static_cast<float>(z / area)};
}

struct Spot {
  std::string name;
  Where where;
};
const std::vector<Spot>& deciding_spots() {
  static const std::vector<Spot> spots{{"front, bass half", {{"front bass"}, {}, {}, 0}},
                                       {"front, treble half", {{"front treble"}, {}, {}, 0}},
                                       {"back", {{"back"}, {}, {}, 0}}};
  return spots;
}

enum class Stills { none, every_step };

/// Pictures of one step, kept for the next where nothing changes.
struct StepPictures {
  Image front, back, side;
};

class Writing {
 public:
  Writing(const Worked& worked, BenchUnits units, Stills stills, Light light, const Progress& progress)
      : worked_(worked), units_(units), stills_(stills), light_(light), progress_(progress) {}

  std::map<std::string, std::string> files() {
    const auto& plans = worked_.outcome().plans;
    for (std::size_t p = 0; p < plans.size(); ++p)
      plan_files(plans[p], static_cast<double>(p) / static_cast<double>(plans.size()),
                 1.0 / static_cast<double>(plans.size()));
    files_["outcome.txt"] = outcome_text(worked_.outcome(), units_);
    files_["outcome.json"] = outcome_json(worked_.outcome());
    files_["outcome.csv"] = outcome_csv(worked_.outcome());
    add_papers(files_, "papers/", worked_, units_, usual_sheet(units_));
    return std::move(files_);
  }

 private:
  void plan_files(const PlanOutcome& plan, double start, double share) {
    if (!plan.runs) return;
    if (stills_ == Stills::every_step) {
      StepPictures shown;
      for (std::size_t s = 0; s < plan.steps.size(); ++s) {
        if (progress_)
          progress_(plan.title + ": pictures",
                    start + share * static_cast<double>(s) / static_cast<double>(plan.steps.size()));
        step_pictures(plan, s, shown);
      }
      compare(plan);
      const std::vector<std::uint8_t> mesh = worked_.glb(plan.id, plan.steps.size() - 1, 0);
      files_[plan.id + "/finished.glb"] = {mesh.begin(), mesh.end()};
    }
    for (const std::size_t step : {std::size_t{0}, plan.steps.size() - 1})
      for (const Spot& spot : deciding_spots()) {
        const auto column = worked_.column(plan.id, step, middle_of(worked_.body(), spot.where));
        if (!column) continue;
        const std::string when = step == 0 ? "before" : "finished";
        files_[fmt::format("{}/section-{}-{}.svg", plan.id, file_word(spot.name), when)] = section_svg(*column, units_);
      }
  }

  /// One view of the instrument put together: before, after, as if untouched; and the work done in every light.
  void compare(const PlanOutcome& plan) {
    const auto keep = [&](const std::string& name, const Image& image) {
      if (image.width) files_[fmt::format("{}/{}.png", plan.id, name)] = png_text(image);
    };
    const std::size_t last = plan.steps.size() - 1;
    keep("compared-before", worked_.still(plan.id, 0, Face::front, light_, compared_still, true));
    keep("compared-after", worked_.still(plan.id, last, Face::front, light_, compared_still, true));
    if (untouched_.width == 0) untouched_ = worked_.still_untouched(Face::front, light_, compared_still, true);
    keep("compared-as_if_untouched", untouched_);
    for (const Light light : {Light::window, Light::lamp, Light::stage})
      keep(std::string("finished-") + words(&light)[static_cast<std::size_t>(light)],
           worked_.still(plan.id, last, Face::three_quarter, light, compared_still, true));
  }

  void step_pictures(const PlanOutcome& plan, std::size_t s, StepPictures& shown) {
    const bool last = s + 1 == plan.steps.size();
    // A step that changes nothing that can be seen (tape on, waiting) shows the picture before it.
    const bool same = s > 0 && !last && looks_same(*worked_.film(plan.id, s - 1), *worked_.film(plan.id, s));
    const auto face_of = [&](Face face, Image StepPictures::*image) {
      if (!same) shown.*image = worked_.still(plan.id, s, face, light_, last ? last_still : step_still);
      files_[fmt::format("{}/{:02}-{}-{}.png", plan.id, s, file_word(plan.steps[s].id),
                         words(&face)[static_cast<std::size_t>(face)])] = png_text(shown.*image);
    };
    face_of(Face::front, &StepPictures::front);
    face_of(Face::back, &StepPictures::back);
    face_of(Face::side, &StepPictures::side);
  }

  static std::string file_word(std::string text) {
    for (char& c : text)
      if (!std::isalnum(static_cast<unsigned char>(c)) && c != '-') c = '_';
    return text;
  }

  const Worked& worked_;
  BenchUnits units_;
  Stills stills_;
  Light light_;
  const Progress& progress_;
  std::map<std::string, std::string> files_;
  Image untouched_;  // the same for every plan
};

}  // namespace

Result<Done> write_outcome(const Worked& worked, const std::string& folder, BenchUnits units,
                           std::optional<Light> pictures, const Progress& progress) {
  const Stills stills = pictures ? Stills::every_step : Stills::none;
  return replace_folder(folder, Writing(worked, units, stills, pictures.value_or(Light::window), progress).files());
}

}  // namespace witnessline::app

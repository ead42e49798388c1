#include "match/chart_photo.h"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "match/camera_model.h"
#include "match/find_chart.h"

namespace witnessline::match {

namespace {

// ESTIMATEs (docs/estimates.md).
constexpr double clipped_share = 0.02;  // of a patch's pixels at 255: it says nothing sure any more
constexpr double crushed_share = 0.2;   // of a patch's pixels at 0
constexpr double uneven_patch = 0.06;   // sd inside a patch, encoded: a gloss or a shadow's edge on it
constexpr int most_left_out = 4;        // patches that may be clipped or uneven
constexpr double refused_unevenness = 0.25, note_unevenness = 0.10;  // of the light across the chart
constexpr double refused_left_out = 8.0, note_left_out = 4.0;        // mean Delta E 2000
constexpr double alike_delta_e_76 = 30.0;  // patches that far from a spot count half for its uncertainty

const Observer observer = Observer::deg2;
const Lamp lamp = Lamp::D50;

std::array<double, 3> decoded(const std::array<double, 3>& encoded) {
  return {srgb_decode(encoded[0]), srgb_decode(encoded[1]), srgb_decode(encoded[2])};
}

struct Choice {
  ToneCurve tone;
  ColourMap map;
  const char* words;
};
constexpr std::array choices{
    Choice{ToneCurve::none, ColourMap::matrix, "sRGB decoded, 3 x 3 matrix"},
    Choice{ToneCurve::from_greys, ColourMap::matrix, "sRGB decoded, tone curve from the greys, 3 x 3 matrix"},
    Choice{ToneCurve::none, ColourMap::root_polynomial, "sRGB decoded, root-polynomial map"},
    Choice{ToneCurve::from_greys, ColourMap::root_polynomial,
           "sRGB decoded, tone curve from the greys, root-polynomial map"}};

struct LeftOut {
  std::vector<Lab> lab;
  std::vector<double> delta_e;
  double mean = 1e9;
};

// Every patch worked out from the others.
LeftOut left_one_out(const std::vector<SeenPatch>& patches, const Xyz& white, const Choice& choice) {
  LeftOut out;
  double sum = 0;
  for (std::size_t i = 0; i < patches.size(); ++i) {
    std::vector<SeenPatch> others = patches;
    others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
    const auto model = CameraModel::fit(others, white, choice.tone, choice.map);
    if (!model) return out;
    out.lab.push_back(to_lab(model->xyz(patches[i].linear), white));
    out.delta_e.push_back(delta_e_2000(out.lab.back(), to_lab(patches[i].xyz, white)));
    sum += out.delta_e.back();
  }
  out.mean = sum / static_cast<double>(patches.size());
  return out;
}

struct Light {
  Eigen::Vector2d slope = Eigen::Vector2d::Zero();  // of ln light on column and row
  Eigen::Matrix2d covariance = Eigen::Matrix2d::Zero();
  double at(double column, double row) const { return std::exp(slope(0) * column + slope(1) * row); }
  double log_sd(double column, double row) const {
    const Eigen::Vector2d place{column, row};
    return std::sqrt(place.dot(covariance * place));
  }
  double unevenness_frac() const { return std::exp(std::abs(slope(0)) + std::abs(slope(1))) - 1; }
  double sd_frac() const { return (1 + unevenness_frac()) * std::sqrt(covariance(0, 0) + covariance(1, 1)); }
};

std::vector<SeenPatch> evenly_lit(std::vector<SeenPatch> patches, const Light& light) {
  for (SeenPatch& p : patches)
    for (double& v : p.linear) v /= light.at(p.column, p.row);
  return patches;
}

// How the light changes across the chart: exp(b column + c row), found with the camera model fitted anew for each b, c.
// Source: golub1973 (variable projection). Gauss-Newton on the patches' misfit in Lab.
std::optional<Light> light_across(const std::vector<SeenPatch>& patches, const Xyz& white, const Choice& choice) {
  const auto misfit = [&](const Eigen::Vector2d& slope) -> std::optional<Eigen::VectorXd> {
    const std::vector<SeenPatch> even = evenly_lit(patches, {slope, {}});
    const auto model = CameraModel::fit(even, white, choice.tone, choice.map);
    if (!model) return std::nullopt;
    Eigen::VectorXd r(static_cast<Eigen::Index>(3 * even.size()));
    for (std::size_t i = 0; i < even.size(); ++i) {
      const Lab ours = to_lab(model->xyz(even[i].linear), white), theirs = to_lab(even[i].xyz, white);
      const auto at = static_cast<Eigen::Index>(3 * i);
      r(at) = ours.l - theirs.l, r(at + 1) = ours.a - theirs.a, r(at + 2) = ours.b - theirs.b;
    }
    return r;
  };
  Eigen::Vector2d slope = Eigen::Vector2d::Zero();
  Eigen::Matrix2d covariance;
  for (int round = 0; round < 8; ++round) {
    const auto here = misfit(slope);
    if (!here) return std::nullopt;
    Eigen::MatrixXd jacobian(here->size(), 2);
    for (int k = 0; k < 2; ++k) {
      const auto there = misfit(slope + 0.01 * Eigen::Vector2d::Unit(k)),
                 back = misfit(slope - 0.01 * Eigen::Vector2d::Unit(k));
      if (!there || !back) return std::nullopt;
      jacobian.col(k) = (*there - *back) / 0.02;
    }
    const Eigen::Matrix2d normal = jacobian.transpose() * jacobian;
    const double freedom = static_cast<double>(here->size()) - (choice.map == ColourMap::matrix ? 9 : 18) - 2;
    covariance = normal.inverse() * (here->squaredNorm() / std::max(freedom, 1.0));
    Eigen::Vector2d step = -normal.ldlt().solve(jacobian.transpose() * *here);
    if (!step.allFinite()) return std::nullopt;
    step = step.cwiseMax(-0.3).cwiseMin(0.3);
    slope += step;
    if (step.norm() < 1e-4) break;
  }
  return Light{slope, covariance};
}

struct Seen {
  std::vector<SeenPatch> used;
  std::vector<int> numbers;  // of the patches used
  std::vector<Note> notes;
};

// The chart's patches as the picture has them. Errors: too many clipped, crushed or uneven.
Result<Seen> patches_seen(const Image& image, const Homography& map, const ChartAim& chart, const std::string& file) {
  Seen seen;
  std::vector<int> clipped, uneven;
  int clipped_greys = 0;
  for (int p = 0; p < 24; ++p) {
    const PixelSample s = sample(image, map, p % 6, p / 6, 0.2);
    if (s.clipped_high_frac > clipped_share || s.clipped_low_frac > crushed_share) {
      clipped.push_back(p + 1);
      clipped_greys += p >= 18 && s.clipped_high_frac > clipped_share;
      continue;
    }
    if (std::max({s.sd[0], s.sd[1], s.sd[2]}) > uneven_patch) {
      uneven.push_back(p + 1);
      continue;
    }
    SeenPatch patch;
    patch.linear = decoded(s.mean);
    patch.xyz = to_xyz(chart[static_cast<std::size_t>(p)], lamp, observer);
    patch.grey = p >= 18;
    patch.column = (p % 6) / 5.0 - 0.5, patch.row = (p / 6) / 3.0 - 0.5;
    seen.used.push_back(patch);
    seen.numbers.push_back(p + 1);
  }
  const Place where{file, 0, 0, "photo"};
  if (clipped_greys > 1 || clipped.size() > most_left_out)
    return Error{fmt::format("the picture is clipped: patches {} are at the end of the camera's range",
                             fmt::join(clipped, ", ")),
                 where, "at most the white patch clipped", "take it again, darker by a stop if the greys are white"};
  if (uneven.size() > most_left_out)
    return Error{fmt::format("patches {} are not even: gloss, a shadow's edge, or noise", fmt::join(uneven, ", ")),
                 where, "each patch of one colour", "move the lamp to the side, or the chart out of the shadow"};
  for (const auto& [which, why] : {std::pair{&clipped, "clipped"}, {&uneven, "uneven (gloss or a shadow's edge)"}})
    if (!which->empty())
      seen.notes.push_back({Severity::caution,
                            fmt::format("Patches {} are {} and were left out.", fmt::join(*which, ", "), why),
                            "photo"});
  return seen;
}

struct Fitted {
  const Choice* choice = nullptr;
  std::optional<CameraModel> model;
  LeftOut left_out;
  Light light;
};

// The model whose patches left out are missed least.
Fitted fit(const std::vector<SeenPatch>& patches, const Xyz& white) {
  Fitted fitted;
  for (const Choice& choice : choices) {
    LeftOut out = left_one_out(patches, white, choice);
    if (out.mean < fitted.left_out.mean) fitted.left_out = std::move(out), fitted.choice = &choice;
  }
  if (fitted.choice) fitted.model = CameraModel::fit(patches, white, fitted.choice->tone, fitted.choice->map);
  return fitted;
}

// Place on the chart, -0.5 to 0.5 across it, of a pixel; by the inverse of the homography.
std::array<double, 2> on_chart(const Homography& map, const PixelPoint& p) {
  Eigen::Matrix3d h;
  h << map.h[0], map.h[1], map.h[2], map.h[3], map.h[4], map.h[5], map.h[6], map.h[7], map.h[8];
  const Eigen::Vector3d at = h.inverse() * Eigen::Vector3d{p.x_px, p.y_px, 1};
  return {at(0) / at(2) / 5 - 0.5, at(1) / at(2) / 3 - 0.5};
}

struct Chart {
  const Image& image;
  const std::string& file;
  Homography map;
  Xyz white;
  std::vector<SeenPatch> patches;
  Fitted fitted;
  bool corrected = false;
};

// The uncertainty patches of like colour, worked out from the others, give a colour.
void add_uncertainty(const Chart& chart, PhotoSpotReading& reading) {
  double weights = 0, l = 0, a = 0, b = 0, squares = 0;
  for (std::size_t i = 0; i < chart.patches.size(); ++i) {
    const Lab theirs = to_lab(chart.patches[i].xyz, chart.white), &ours = chart.fitted.left_out.lab[i];
    const double weight = 1 / (1 + std::pow(delta_e_76(reading.lab, theirs) / alike_delta_e_76, 2));
    weights += weight;
    l += weight * std::pow(ours.l - theirs.l, 2), a += weight * std::pow(ours.a - theirs.a, 2);
    b += weight * std::pow(ours.b - theirs.b, 2);
    squares += weight * std::pow(chart.fitted.left_out.delta_e[i], 2);
  }
  reading.lab_sd = {std::sqrt(l / weights), std::sqrt(a / weights), std::sqrt(b / weights)};
  reading.likely_delta_e = std::sqrt(squares / weights);
}

Result<PhotoSpotReading> read_spot(const Chart& chart, const PhotoSpot& spot, double radius_px) {
  const Place where{chart.file, 0, 0, fmt::format("spots.{}", spot.name)};
  const PixelSample s = sample(chart.image, spot.at, radius_px);
  if (!s.inside)
    return Error{"the spot is partly outside the picture", where,
                 fmt::format("a square of {:.0f} px to each side within {} x {}", radius_px, chart.image.width,
                             chart.image.height),
                 "move it"};
  if (s.clipped_high_frac > clipped_share || s.clipped_low_frac > crushed_share)
    return Error{"the spot is clipped: it is at the end of the camera's range", where, "a colour inside the range",
                 s.clipped_high_frac > clipped_share ? "take the picture darker, or the spot off the gloss"
                                                     : "take the picture lighter"};
  const auto [column, row] = on_chart(chart.map, spot.at);
  const double light = chart.corrected ? chart.fitted.light.at(column, row) : 1;
  const auto lab_of = [&](const PixelSample& seen) {
    std::array<double, 3> linear = decoded(seen.mean);
    for (double& v : linear) v /= light;
    return to_lab(chart.fitted.model->xyz(linear), chart.white);
  };
  PhotoSpotReading reading;
  reading.lab = lab_of(s);
  add_uncertainty(chart, reading);
  // The spot's own unevenness, from its quarters.
  Lab uneven;
  for (const auto& [dx, dy] : {std::pair{-0.5, -0.5}, {0.5, -0.5}, {-0.5, 0.5}, {0.5, 0.5}}) {
    const PixelPoint at{spot.at.x_px + dx * radius_px, spot.at.y_px + dy * radius_px};
    const Lab lab = lab_of(sample(chart.image, at, radius_px / 2));
    uneven.l += std::pow(lab.l - reading.lab.l, 2) / 4, uneven.a += std::pow(lab.a - reading.lab.a, 2) / 4;
    uneven.b += std::pow(lab.b - reading.lab.b, 2) / 4;
  }
  // L* + 16 goes with the cube root of the light.
  const double of_light = chart.corrected ? (reading.lab.l + 16) / 3 * chart.fitted.light.log_sd(column, row) : 0;
  reading.lab_sd = {std::sqrt(std::pow(reading.lab_sd.l, 2) + uneven.l + of_light * of_light),
                    std::sqrt(std::pow(reading.lab_sd.a, 2) + uneven.a),
                    std::sqrt(std::pow(reading.lab_sd.b, 2) + uneven.b)};
  auto recovered = recovered_from_lab(spot.name, {reading.lab, lamp, observer}, where);
  if (!recovered) return recovered.errors();
  reading.reading = std::move(*recovered);
  auto& notes = reading.reading.notes;
  double lightest = 0, darkest = 100;
  for (const SeenPatch& p : chart.patches) {
    const double l = to_lab(p.xyz, chart.white).l;
    lightest = std::max(lightest, l), darkest = std::min(darkest, l);
  }
  if (reading.lab.l > lightest + 1 || reading.lab.l < darkest - 1)
    notes.push_back({Severity::caution, "It is lighter or darker than every patch used, so its colour is extrapolated.",
                     spot.name});
  if (std::sqrt(uneven.l + uneven.a + uneven.b) > 2)
    notes.push_back({Severity::caution, "The spot is not one even colour; its mean is given.", spot.name});
  if (chart.corrected && std::max(std::abs(column), std::abs(row)) > 1.5)
    notes.push_back({Severity::caution,
                     "The light was not even, and the spot is far from the chart, so the light there is a "
                     "guess.",
                     spot.name});
  return reading;
}

// Finds whether the light is even, and takes a change of it out where it is worth it. Errors: too uneven.
Result<Done> even_out(Chart& chart, UnevenLight uneven, PhotoReading& answer) {
  const Place where{chart.file, 0, 0, "photo"};
  const auto light = light_across(chart.patches, chart.white, *chart.fitted.choice);
  if (!light) {
    answer.notes.push_back({Severity::caution, "The patches can't show whether the light was even.", "photo"});
    return Done{};
  }
  answer.unevenness_frac = light->unevenness_frac(), answer.unevenness_sd_frac = light->sd_frac();
  if (answer.unevenness_frac < note_unevenness || answer.unevenness_frac < 2 * answer.unevenness_sd_frac) return Done{};
  const double percent = 100 * answer.unevenness_frac;
  if (answer.unevenness_frac > refused_unevenness && uneven == UnevenLight::refuse)
    return Error{fmt::format("the light changes by {:.0f} % across the chart", percent), where,
                 fmt::format("no more than {:.0f} %", 100 * refused_unevenness),
                 "take it again in the shade of an open sky, or with the lamp three times as far away, chart and work "
                 "side by side; where that cannot be done, uneven_light = \"correct\" takes an even slope of light "
                 "out and answers with a larger uncertainty"};
  chart.patches = evenly_lit(chart.patches, *light);
  chart.fitted = fit(chart.patches, chart.white);
  chart.fitted.light = *light;
  chart.corrected = answer.light_corrected = true;
  answer.notes.push_back(
      {Severity::caution,
       fmt::format("The light changes by {:.0f} % across the chart (sd {:.0f}); an even slope of that "
                   "size was taken out.",
                   percent, 100 * answer.unevenness_sd_frac),
       "photo"});
  return Done{};
}

}  // namespace

Result<PhotoReading> read_chart_photo(const Image& image, const ChartAim& aim, const std::vector<PhotoSpot>& spots,
                                      const std::optional<std::array<PixelPoint, 4>>& corners, UnevenLight uneven,
                                      const std::string& file) {
  const auto map = corners ? chart_at(image, aim, *corners, file) : find_chart(image, aim, file);
  if (!map) return map.errors();
  const auto seen = patches_seen(image, *map, aim, file);
  if (!seen) return seen.errors();
  const Place where{file, 0, 0, "photo"};
  const Xyz white = white_point(lamp, observer);

  PhotoReading answer;
  answer.notes = seen->notes;
  answer.corners = {(*map)(0, 0), (*map)(5, 0), (*map)(5, 3), (*map)(0, 3)};
  Chart chart{image, file, *map, white, seen->used, fit(seen->used, white)};
  if (!chart.fitted.model)
    return Error{"no camera model fits the patches", where, "patches in the chart's own order and colours",
                 "take the picture again"};
  if (const auto lit = even_out(chart, uneven, answer); !lit) return lit.errors();
  const LeftOut& left_out = chart.fitted.left_out;
  answer.camera = chart.fitted.choice->words;
  answer.left_out_mean = left_out.mean;
  for (int p = 0; p < 24; ++p) {
    PhotoPatch patch;
    patch.number = p + 1;
    patch.published = to_lab(aim[static_cast<std::size_t>(p)], lamp, observer);
    const auto found = std::find(seen->numbers.begin(), seen->numbers.end(), p + 1);
    patch.used = found != seen->numbers.end();
    if (patch.used) {
      const auto i = static_cast<std::size_t>(found - seen->numbers.begin());
      patch.left_out = left_out.lab[i], patch.left_out_delta_e = left_out.delta_e[i];
      answer.left_out_worst = std::max(answer.left_out_worst, patch.left_out_delta_e);
    }
    answer.patches.push_back(patch);
  }
  if (answer.left_out_mean > refused_left_out)
    return Error{fmt::format("patches left out of the fit are predicted {:.1f} Delta E 2000 wrong on average",
                             answer.left_out_mean),
                 where, fmt::format("{:.0f} or less", refused_left_out),
                 "mixed light, gloss, or a camera that edits its pictures: use one lamp and turn effects off"};
  if (answer.left_out_mean > note_left_out)
    answer.notes.push_back(
        {Severity::caution,
         fmt::format("Patches left out of the fit are predicted {:.1f} Delta E 2000 wrong on average: "
                     "good for a first look, not for a match.",
                     answer.left_out_mean),
         "photo"});
  answer.notes.push_back({Severity::information,
                          "A chart may differ from the published values by 1 to 2 Delta E, and it fades.", "photo"});

  std::vector<Error> faults;
  const double pitch_px = std::hypot((*map)(3, 1).x_px - (*map)(2, 1).x_px, (*map)(3, 1).y_px - (*map)(2, 1).y_px);
  for (const PhotoSpot& spot : spots) {
    auto reading = read_spot(chart, spot, spot.radius_px > 0 ? spot.radius_px : std::max(2.0, 0.2 * pitch_px));
    if (reading)
      answer.spots.push_back(std::move(*reading));
    else
      faults.insert(faults.end(), reading.errors().begin(), reading.errors().end());
  }
  if (!faults.empty()) return faults;
  return answer;
}

}  // namespace witnessline::match

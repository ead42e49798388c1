#include "match/camera_model.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

namespace witnessline::match {

namespace {
constexpr double darkest = 1e-4;  // of a channel, linear: a third of one 8-bit step of sRGB's curve
}

std::optional<CameraModel> CameraModel::fit(const std::vector<SeenPatch>& patches, const Xyz& white, ToneCurve tone,
                                            ColourMap map) {
  CameraModel model;
  model.tone_ = tone, model.map_ = map;
  if (tone == ToneCurve::from_greys) {
    std::vector<const SeenPatch*> greys;
    for (const SeenPatch& p : patches)
      if (p.grey) greys.push_back(&p);
    if (greys.size() < 4) return std::nullopt;
    for (std::size_t c = 0; c < 3; ++c) {
      Eigen::MatrixXd a(static_cast<Eigen::Index>(greys.size()), 3);
      Eigen::VectorXd b(a.rows());
      auto& range = model.range_[c] = {1e9, -1e9};
      for (Eigen::Index i = 0; i < a.rows(); ++i) {
        const SeenPatch& g = *greys[static_cast<std::size_t>(i)];
        const double v = std::log(std::max(g.linear[c], darkest));
        a.row(i) << 1, v, v * v;
        b(i) = std::log(g.xyz.y / white.y);
        range = {std::min(range[0], v), std::max(range[1], v)};
      }
      const Eigen::VectorXd k = a.colPivHouseholderQr().solve(b);
      model.curve_[c] = {k(0), k(1), k(2)};
      for (const double end : range)
        if (!(k(1) + 2 * k(2) * end > 0.1)) return std::nullopt;
    }
  }
  const std::size_t count = map == ColourMap::matrix ? 3 : 6;
  if (patches.size() < count + 4) return std::nullopt;
  for (std::size_t k = 0; k < 3; ++k) {
    Eigen::MatrixXd a(static_cast<Eigen::Index>(patches.size()), static_cast<Eigen::Index>(count));
    Eigen::VectorXd b(a.rows());
    for (Eigen::Index i = 0; i < a.rows(); ++i) {
      const SeenPatch& p = patches[static_cast<std::size_t>(i)];
      const std::array<double, 3> share{p.xyz.x / white.x, p.xyz.y / white.y, p.xyz.z / white.z};
      const double slope = std::pow(std::max(share[k], 0.01), -2.0 / 3);  // of the cube root in Lab
      const std::vector<double> terms = model.terms(p.linear);
      for (std::size_t t = 0; t < count; ++t) a(i, static_cast<Eigen::Index>(t)) = slope * terms[t];
      b(i) = slope * share[k];
    }
    const Eigen::VectorXd x = a.colPivHouseholderQr().solve(b);
    if (!x.allFinite()) return std::nullopt;
    const double scale = k == 0 ? white.x : k == 1 ? white.y : white.z;
    for (const double value : x) model.to_xyz_[k].push_back(scale * value);
  }
  return model;
}

double CameraModel::toned(std::size_t c, double v) const {
  v = std::max(v, 0.0);
  if (tone_ == ToneCurve::none) return v;
  // Beyond the greys the curve goes on with its slope at the end.
  const double at = std::log(std::max(v, darkest)), held = std::clamp(at, range_[c][0], range_[c][1]);
  const auto& k = curve_[c];
  return std::exp(k[0] + k[1] * held + k[2] * held * held + (k[1] + 2 * k[2] * held) * (at - held));
}

std::vector<double> CameraModel::terms(const std::array<double, 3>& linear) const {
  const double r = toned(0, linear[0]), g = toned(1, linear[1]), b = toned(2, linear[2]);
  if (map_ == ColourMap::matrix) return {r, g, b};
  return {r, g, b, std::sqrt(r * g), std::sqrt(g * b), std::sqrt(r * b)};
}

Xyz CameraModel::xyz(const std::array<double, 3>& linear) const {
  const std::vector<double> t = terms(linear);
  std::array<double, 3> sum{};
  for (std::size_t k = 0; k < 3; ++k)
    for (std::size_t i = 0; i < t.size(); ++i) sum[k] += to_xyz_[k][i] * t[i];
  return {std::max(sum[0], 0.0), std::max(sum[1], 0.0), std::max(sum[2], 0.0)};
}

}  // namespace witnessline::match

#include "numerics/linear.h"

#include <Eigen/Dense>

#include "base/result.h"

namespace witnessline::numerics {
namespace {

Eigen::Map<const Eigen::MatrixXd> view(const Matrix& a) { return {a.data(), a.rows(), a.columns()}; }
Eigen::Map<const Eigen::VectorXd> view(const std::vector<double>& v) {
  return {v.data(), static_cast<Eigen::Index>(v.size())};
}

}  // namespace

std::vector<double> solve(const Matrix& a, const std::vector<double>& b) {
  expects(a.rows() == a.columns() && static_cast<std::size_t>(a.rows()) == b.size(), "a square system");
  const Eigen::VectorXd x = view(a).fullPivLu().solve(view(b));
  return {x.data(), x.data() + x.size()};
}

std::vector<double> nonnegative_least_squares(const Matrix& a, const std::vector<double>& b) {
  expects(static_cast<std::size_t>(a.rows()) == b.size(), "one right-hand value a row");
  const auto matrix = view(a);
  const auto right = view(b);
  const Eigen::Index n = matrix.cols();
  std::vector<bool> free(static_cast<std::size_t>(n), false);
  Eigen::VectorXd x = Eigen::VectorXd::Zero(n);
  const double tolerance = 1e-12 * (1 + matrix.cwiseAbs().maxCoeff() * right.cwiseAbs().maxCoeff());

  const auto fit_free = [&] {
    std::vector<Eigen::Index> columns;
    for (Eigen::Index j = 0; j < n; ++j)
      if (free[static_cast<std::size_t>(j)]) columns.push_back(j);
    Eigen::VectorXd whole = Eigen::VectorXd::Zero(n);
    const Eigen::VectorXd part = matrix(Eigen::all, columns).colPivHouseholderQr().solve(right);
    for (std::size_t i = 0; i < columns.size(); ++i) whole[columns[i]] = part[static_cast<Eigen::Index>(i)];
    return whole;
  };

  for (Eigen::Index round = 0; round < 3 * n; ++round) {
    const Eigen::VectorXd gradient = matrix.transpose() * (right - matrix * x);
    Eigen::Index best = -1;
    for (Eigen::Index j = 0; j < n; ++j)
      if (!free[static_cast<std::size_t>(j)] && gradient[j] > tolerance && (best < 0 || gradient[j] > gradient[best]))
        best = j;
    if (best < 0) break;
    free[static_cast<std::size_t>(best)] = true;
    Eigen::VectorXd target = fit_free();
    while (true) {
      double length = 1;
      for (Eigen::Index j = 0; j < n; ++j)
        if (free[static_cast<std::size_t>(j)] && target[j] <= 0) length = std::min(length, x[j] / (x[j] - target[j]));
      if (length >= 1) break;
      x += length * (target - x);
      for (Eigen::Index j = 0; j < n; ++j)
        if (x[j] <= tolerance) {
          x[j] = 0;
          free[static_cast<std::size_t>(j)] = false;
        }
      target = fit_free();
    }
    x = target;
  }
  return {x.data(), x.data() + x.size()};
}

}  // namespace witnessline::numerics

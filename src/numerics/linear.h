// Small dense systems and fits with bounds.
#pragma once

#include <functional>
#include <vector>

#include "base/modules.h"

namespace witnessline::numerics {

/// Dense matrix, column after column.
class Matrix {
 public:
  Matrix(int rows, int columns)
      : rows_(rows), values_(static_cast<std::size_t>(rows) * static_cast<std::size_t>(columns)) {}
  double& operator()(int row, int column) { return values_[index(row, column)]; }
  double operator()(int row, int column) const { return values_[index(row, column)]; }
  int rows() const { return rows_; }
  int columns() const { return rows_ == 0 ? 0 : static_cast<int>(values_.size()) / rows_; }
  const double* data() const { return values_.data(); }

 private:
  std::size_t index(int row, int column) const {
    return static_cast<std::size_t>(column) * static_cast<std::size_t>(rows_) + static_cast<std::size_t>(row);
  }
  int rows_;
  std::vector<double> values_;
};

/// x of A x = b, by elimination with complete pivoting. Valid: A square and regular.
std::vector<double> solve(const Matrix& a, const std::vector<double>& b);

/// x that makes |A x - b| least with every x >= 0.
/// Law: active sets. Source: lawson1974, algorithm NNLS.
std::vector<double> nonnegative_least_squares(const Matrix& a, const std::vector<double>& b);

}  // namespace witnessline::numerics

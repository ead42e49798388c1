// Draws from a density given as a likelihood over a standard normal in many dimensions.
#pragma once

#include <functional>
#include <vector>

#include "numerics/linear.h"

namespace witnessline::numerics {

/// A normal distribution about `mean`, in the coordinates z = mean + lower x, x standard normal.
struct NormalGuess {
  std::vector<double> mean;
  Matrix lower{0, 0};  ///< lower triangle of the Cholesky factor; what stands above the diagonal is not read
};

/// Uniform on (0, 1); the sampler asks for one after the other.
using NextUniform = std::function<double()>;

/// `count` draws of z, one every `thin` moves after `burn` moves, from exp(log_likelihood(z)) x standard normal(z).
/// Law: elliptical slice sampling (murray2010), three moves in four about the guess with the ratio of the two normals
/// in the likelihood (nishihara2014), one about the prior, so that a guess that is too narrow costs time, not truth.
/// Valid: log_likelihood finite at the start. Departs: draws that follow each other are alike; see unlike_chains().
std::vector<std::vector<double>> elliptical_slice(
    const std::function<double(const std::vector<double>&)>& log_likelihood, const NormalGuess&,
    std::vector<double> start, int burn, int count, int thin, const NextUniform&);

/// How far chains disagree: root of the whole variance over that within halves of a chain [1]; 1: not at all.
/// Source: gelman1992, with halves. Valid: chains of one length, at least 4 draws each.
double potential_scale_reduction(const std::vector<std::vector<double>>& values_by_chain);

}  // namespace witnessline::numerics

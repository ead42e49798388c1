// How well does the plain two-constant model foresee the colour of a real mixture from its composition alone?
// Oil paints over black and white (geldof2018), every fifth mixture left out in turn; nothing is fitted to a left-out
// row. K and S of the colorants: the closed inverse of every training drawdown, then non-negative least squares in the
// composition, band by band, all films taken as equally thick. The baseline for better models
// (docs/validation/colour.md).
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

#include "colour/colour.h"
#include "numerics/linear.h"
#include "optics/face.h"
#include "optics/kubelka_munk.h"

using namespace witnessline;
using namespace witnessline::app;

namespace {

struct Sample {
  std::string name;
  std::vector<double> parts;                       // of each colorant, summing to 1
  std::map<std::string, Reflectance> reflectance;  // by surface
  bool is_mixture() const {
    return std::count_if(parts.begin(), parts.end(), [](double c) { return c > 0; }) > 1;
  }
};

std::vector<Sample> read_samples(const std::string& path) {
  std::ifstream in(path);
  std::vector<Sample> samples;
  std::size_t first_band = 0;
  for (std::string line; std::getline(in, line);) {
    if (line.starts_with("#")) continue;
    std::vector<std::string> cells;
    std::istringstream cut(line);
    for (std::string cell; std::getline(cut, cell, ',');) cells.push_back(cell);
    if (first_band == 0) {
      first_band = static_cast<std::size_t>(std::find(cells.begin(), cells.end(), "R400") - cells.begin());
      continue;
    }
    if (samples.empty() || samples.back().name != cells[0]) {
      Sample sample;
      sample.name = cells[0];
      double total = 0;
      for (std::size_t i = 2; i < first_band; ++i) {
        sample.parts.push_back(std::stod(cells[i]));
        total += sample.parts.back();
      }
      for (double& part : sample.parts) part /= total;
      samples.push_back(std::move(sample));
    }
    std::array<double, 31> read{};
    for (std::size_t i = 0; i < read.size(); ++i) read[i] = std::stod(cells[first_band + i]);
    samples.back().reflectance[cells[1]] = widened(read);
  }
  return samples;
}

double inside(double seen, const AirFace& face) { return std::clamp(inside_of(seen, face, 1), 1e-4, 0.9999); }

// A first guess of the colorants' depths at one band: least squares on the depths of the training films.
std::vector<double> first_guess(const std::vector<const Sample*>& training, const std::vector<double>& depth) {
  const int columns = static_cast<int>(training[0]->parts.size());
  Matrix a(static_cast<int>(training.size()), columns);
  std::vector<double> b(training.size());
  for (std::size_t row = 0; row < training.size(); ++row) {
    const double weight = 1 / (depth[row] + 0.02);
    b[row] = weight * depth[row];
    for (int c = 0; c < columns; ++c)
      a(static_cast<int>(row), c) = weight * training[row]->parts[static_cast<std::size_t>(c)];
  }
  return nonnegative_least_squares(a, b);
}

double seen(const Sample& sample, const std::vector<double>& log_depths, bool white, int band, const AirFace& face) {
  OpticalDepth depth;
  const std::size_t n = sample.parts.size();
  for (std::size_t c = 0; c < n; ++c) {
    if (sample.parts[c] == 0) continue;
    depth.absorption += sample.parts[c] * std::exp(log_depths[c]);
    depth.scattering += sample.parts[c] * std::exp(log_depths[n + c]);
  }
  const double card = inside(sample.reflectance.at(white ? "card_white" : "card_black")[band], face);
  return seen_outside(over_ground(film_optics(depth), card), face, 1);
}

// Levenberg and Marquardt on the cube roots of the reflectances, as lightness goes; a weak pull to the first guess
// holds what no training film determines.
std::vector<double> fit(const std::vector<const Sample*>& training, int band, const AirFace& face) {
  std::vector<double> absorption, scattering;
  for (const Sample* s : training) {
    const auto at = [&](const char* surface) { return inside(s->reflectance.at(surface)[band], face); };
    const InverseFilm film =
        film_from_two_grounds(at("over_black"), at("over_white"), at("card_black"), at("card_white"));
    absorption.push_back(film.depth.absorption);
    scattering.push_back(film.depth.scattering);
  }
  std::vector<double> guess;
  for (double k : first_guess(training, absorption)) guess.push_back(std::log(std::clamp(k, 1e-3, 50.0)));
  for (double s : first_guess(training, scattering)) guess.push_back(std::log(std::clamp(s, 1e-3, 50.0)));

  const int n = static_cast<int>(guess.size());
  constexpr double pull = 0.003;
  const auto residuals = [&](const std::vector<double>& at) {
    std::vector<double> r;
    for (const Sample* s : training)
      for (bool white : {false, true})
        r.push_back(std::cbrt(seen(*s, at, white, band, face)) -
                    std::cbrt(s->reflectance.at(white ? "over_white" : "over_black")[band]));
    for (std::size_t i = 0; i < guess.size(); ++i) r.push_back(pull * (at[i] - guess[i]));
    return r;
  };
  const auto square = [](const std::vector<double>& r) {
    double sum = 0;
    for (double v : r) sum += v * v;
    return sum;
  };
  std::vector<double> x = guess, r = residuals(x);
  double damping = 1e-2;
  for (int round = 0; round < 60 && damping < 1e6; ++round) {
    Matrix jacobian(static_cast<int>(r.size()), n);
    for (int j = 0; j < n; ++j) {
      std::vector<double> moved = x;
      moved[static_cast<std::size_t>(j)] += 1e-5;
      const std::vector<double> there = residuals(moved);
      for (std::size_t i = 0; i < r.size(); ++i) jacobian(static_cast<int>(i), j) = (there[i] - r[i]) / 1e-5;
    }
    Matrix normal(n, n);
    std::vector<double> right(static_cast<std::size_t>(n), 0.0);
    for (int a = 0; a < n; ++a) {
      for (int b = 0; b < n; ++b)
        for (int i = 0; i < jacobian.rows(); ++i) normal(a, b) += jacobian(i, a) * jacobian(i, b);
      for (int i = 0; i < jacobian.rows(); ++i)
        right[static_cast<std::size_t>(a)] += jacobian(i, a) * r[static_cast<std::size_t>(i)];
    }
    const double before = square(r);
    bool better = false;
    for (; damping < 1e6 && !better; damping *= better ? 0.2 : 4) {
      Matrix damped = normal;
      for (int a = 0; a < n; ++a) damped(a, a) += damping * (normal(a, a) + 1e-6);
      const std::vector<double> step = solve(damped, right);
      std::vector<double> moved = x;
      for (std::size_t i = 0; i < x.size(); ++i) moved[i] -= std::clamp(step[i], -2.0, 2.0);
      const std::vector<double> there = residuals(moved);
      if (square(there) < before) {
        better = true;
        x = moved;
        r = there;
      }
    }
    if (!better || before - square(r) < 1e-9) break;
  }
  return x;
}

// Delta E 2000 over black and over white of each left-out sample.
std::vector<double> predict(const std::vector<const Sample*>& training, const std::vector<const Sample*>& left_out,
                            const AirFace& face) {
  std::vector<std::array<Reflectance, 2>> predicted(left_out.size());
  for (int band = 0; band < bands; ++band) {
    const std::vector<double> log_depths = fit(training, band, face);
    for (std::size_t i = 0; i < left_out.size(); ++i)
      for (std::size_t g = 0; g < 2; ++g) predicted[i][g][band] = seen(*left_out[i], log_depths, g == 1, band, face);
  }
  std::vector<double> differences;
  for (std::size_t i = 0; i < left_out.size(); ++i)
    for (std::size_t g = 0; g < 2; ++g)
      differences.push_back(delta_e_2000(
          to_lab(predicted[i][g], Lamp::D65, Observer::deg10),
          to_lab(left_out[i]->reflectance.at(g == 0 ? "over_black" : "over_white"), Lamp::D65, Observer::deg10)));
  return differences;
}

void print(const char* what, std::vector<double> differences) {
  std::sort(differences.begin(), differences.end());
  double sum = 0;
  for (double d : differences) sum += d;
  const auto n = differences.size();
  fmt::print("{:<34} {:3} readings  mean {:.2f}  median {:.2f}  95th {:.2f}  max {:.2f}\n", what, n,
             sum / static_cast<double>(n), differences[n / 2], differences[n * 95 / 100], differences.back());
}

}  // namespace

int main() {
  const char* folder = std::getenv("WITNESSLINE_REFERENCE");
  const std::string path = std::string(folder ? folder : "../shared/reference") + "/colour/paint_mixtures_oil.csv";
  const std::vector<Sample> samples = read_samples(path);
  if (samples.empty()) {
    fmt::print("no samples: {} is not here; set WITNESSLINE_REFERENCE\n", path);
    return EXIT_SUCCESS;
  }
  const AirFace face = air_face(1.5, 8);
  std::vector<const Sample*> all, mixtures;
  for (const Sample& s : samples) {
    all.push_back(&s);
    if (s.is_mixture()) mixtures.push_back(&s);
  }
  fmt::print("Delta E 2000, D65, 10 degree; over black and over white counted alike\n");
  print("fitted, every row used", predict(all, all, face));
  constexpr std::size_t folds = 5;
  std::vector<double> unseen;
  for (std::size_t fold = 0; fold < folds; ++fold) {
    std::vector<const Sample*> training, left_out;
    for (const Sample* s : all) {
      const auto place = std::find(mixtures.begin(), mixtures.end(), s);
      const bool out = place != mixtures.end() && static_cast<std::size_t>(place - mixtures.begin()) % folds == fold;
      (out ? left_out : training).push_back(s);
    }
    const std::vector<double> some = predict(training, left_out, face);
    unseen.insert(unseen.end(), some.begin(), some.end());
  }
  print("left out, from composition alone", unseen);
}

// condition_drying FOLDER: fits what is not known of drying films to common practice, once, and writes
// FOLDER/practice/drying_unknowns.csv and drying_binders.csv. Build and run it again after a change of the drying
// model, of a coat's data or of FOLDER/practice/drying.csv; nothing of it runs when the program does.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <iostream>

#include "app/practice/drying.h"
#include "base/parallel.h"
#include "base/random.h"
#include "materials/csv.h"
#include "numerics/linear.h"

using namespace witnessline::app;

namespace {

// Conditioned together; the others keep what their own data say and widen a row instead.
constexpr std::array fitted{Unknown::jump,
                            Unknown::wet_diffusivity,
                            Unknown::glass,
                            Unknown::solvent_transition,
                            Unknown::resin_transition,
                            Unknown::hardness};
constexpr std::array nuisances{Unknown::transfer, Unknown::resin_transition, Unknown::laid};
// A lacquer's own: its datum keeps the middle, practice only rules out what never hardens.
constexpr std::size_t own = 4;
static_assert(fitted[own] == Unknown::resin_transition);
constexpr std::size_t n = fitted.size();
constexpr double model_sd = 0.25;  // ESTIMATE: of ln(value), what no setting of the unknowns can match

/// The draw, in terms of the tables inside this program, of these physical values; unknowns not named stay at 0.
Draw draw_of(const std::array<double, n>& value) {
  Draw draw{};
  for (std::size_t k = 0; k < n; ++k) {  // lower triangle: each settles before the next
    const auto u = static_cast<std::size_t>(fitted[k]);
    const double at0 = physical(draw, fitted[k]);
    Draw one = draw;
    one[u] = 1;
    draw[u] = (value[k] - at0) / (physical(one, fitted[k]) - at0);
  }
  return draw;
}

struct Fit {
  std::vector<PracticeRow> rows;
  const Library& library;

  std::vector<double> logs(const Draw& draw) const {
    std::vector<double> all(rows.size());
    for_chunks(rows.size(), 1, [&](std::size_t begin, std::size_t end) {
      for (std::size_t i = begin; i < end; ++i) {
        const Result<double> value = drying_value(rows[i], library, draw);
        if (!value) throw std::runtime_error(value.errors()[0].text());
        all[i] = std::log(std::max(*value, 1e-9));
      }
    });
    return all;
  }
  /// Variance of each row: its width, the model's, and what the unknowns that are not fitted make of it.
  std::vector<double> variances(const Draw& at, const std::vector<double>& here) const {
    std::vector<double> all;
    for (const PracticeRow& row : rows) all.push_back(row.log_sd() * row.log_sd() + model_sd * model_sd);
    for (const Unknown which : nuisances) {
      Draw beside = at;
      beside[static_cast<std::size_t>(which)] += 1;
      const std::vector<double> there = logs(beside);
      for (std::size_t i = 0; i < all.size(); ++i) all[i] += (there[i] - here[i]) * (there[i] - here[i]);
    }
    return all;
  }
};

Matrix inverse(const Matrix& a) {
  Matrix out(a.rows(), a.rows());
  for (int k = 0; k < a.rows(); ++k) {
    std::vector<double> unit(static_cast<std::size_t>(a.rows()), 0.0);
    unit[static_cast<std::size_t>(k)] = 1;
    const std::vector<double> column = solve(a, unit);
    for (int i = 0; i < a.rows(); ++i) out(i, k) = column[static_cast<std::size_t>(i)];
  }
  return out;
}

/// Lower triangle L of a positive matrix, L L^T. Law: Cholesky, in the order of Unknown, so that hardness comes last.
template <class At>
std::array<std::array<double, n>, n> root_of(const At& at) {
  std::array<std::array<double, n>, n> root{};
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t j = 0; j <= i; ++j) {
      double sum = at(static_cast<int>(i), static_cast<int>(j));
      for (std::size_t k = 0; k < j; ++k) sum -= root[i][k] * root[j][k];
      root[i][j] = i == j ? std::sqrt(std::max(sum, 1e-12)) : sum / root[j][j];
    }
  return root;
}

void report(const Fit& fit, const std::vector<double>& here) {
  for (std::size_t i = 0; i < fit.rows.size(); ++i)
    fmt::print("  {:6.2f}x  ours {:9.3g}  practice {:9.3g} {:<10} {}\n", std::exp(here[i]) / fit.rows[i].middle(),
               std::exp(here[i]), fit.rows[i].middle(), fit.rows[i].unit, fit.rows[i].claim);
}

int condition(const std::string& folder) {
  const Result<Library> library = read_library(folder);
  const Result<std::vector<PracticeRow>> rows = read_practice(folder);
  if (!library || !rows) {
    std::cerr << (library ? rows.errors() : library.errors())[0].text() << "\n";
    return 1;
  }
  const auto binder_of = [&](const PracticeRow& row) {
    const Material* material = library->find(row.subject);
    return material ? material->binder : Binder::none;
  };
  Fit lacquer{{}, *library};
  for (const PracticeRow& row : *rows)
    if (row.conditions && binder_of(row) == Binder::nitrocellulose) lacquer.rows.push_back(row);

  // Gauss and Newton in prior standard deviations.
  const std::array<Conditioned, unknown_count> known = conditioned_unknowns();
  const auto of = [&](std::size_t k) { return known[static_cast<std::size_t>(fitted[k])]; };
  const auto physical_of = [&](const std::vector<double>& z) {
    std::array<double, n> value;
    for (std::size_t k = 0; k < n; ++k) value[k] = of(k).prior + of(k).prior_sd * z[k];
    return value;
  };
  std::vector<double> z(n, 0.0);
  for (std::size_t k = 0; k < n; ++k)
    if (k != own) z[k] = (of(k).mean - of(k).prior) / of(k).prior_sd;
  Matrix precision(n, n);
  std::vector<double> here, variance;
  const auto cost_of = [&](const std::vector<double>& at, const std::vector<double>& values) {
    double sum = 0;
    for (const double one : at) sum += one * one;
    for (std::size_t i = 0; i < values.size(); ++i) {
      const double miss = std::log(lacquer.rows[i].middle()) - values[i];
      sum += miss * miss / variance[i];
    }
    return sum;
  };
  const auto slopes = [&] {
    std::vector<std::vector<double>> all;
    for (std::size_t k = 0; k < n; ++k) {
      std::vector<double> beside = z;
      beside[k] += 0.2;
      std::vector<double> there = lacquer.logs(draw_of(physical_of(beside)));
      for (std::size_t i = 0; i < there.size(); ++i) there[i] = (there[i] - here[i]) / 0.2;
      all.push_back(std::move(there));
    }
    return all;
  };
  for (int round = 0; round < 12; ++round) {
    here = lacquer.logs(draw_of(physical_of(z)));
    variance = lacquer.variances(draw_of(physical_of(z)), here);
    const std::vector<std::vector<double>> slope = slopes();
    std::vector<double> downhill(n);
    for (std::size_t k = 0; k < n; ++k) {
      downhill[k] = -z[k];
      for (std::size_t i = 0; i < here.size(); ++i)
        downhill[k] += slope[k][i] * (std::log(lacquer.rows[i].middle()) - here[i]) / variance[i];
      for (std::size_t j = 0; j < n; ++j) {
        double sum = k == j ? 1 : 0;
        for (std::size_t i = 0; i < here.size(); ++i) sum += slope[k][i] * slope[j][i] / variance[i];
        precision(static_cast<int>(k), static_cast<int>(j)) = sum;
      }
    }
    for (int k = 0; k < static_cast<int>(n); ++k)
      precision(k, static_cast<int>(own)) = precision(static_cast<int>(own), k) = k == static_cast<int>(own) ? 1 : 0;
    downhill[own] = 0;
    const std::vector<double> step = solve(precision, downhill);
    const double before = cost_of(z, here);
    double length = 1, now = before;
    for (int halving = 0; halving < 6; ++halving, length /= 2) {
      std::vector<double> next = z;
      for (std::size_t k = 0; k < n; ++k) next[k] += length * step[k];
      const std::vector<double> values = lacquer.logs(draw_of(physical_of(next)));
      if ((now = cost_of(next, values)) < before) {
        z = next, here = values;
        break;
      }
    }
    fmt::print("round {}: cost {:.4f} -> {:.4f}\n", round, before, std::min(now, before));
    if (before - now < 1e-3) break;
  }
  const Draw base = draw_of(physical_of(z));
  report(lacquer, here);
  const Matrix spread = inverse(precision);

  // One lacquer differs from the next by as much as practice's rows are wide: the fit's own covariance, which shrinks
  // with every row, is widened until its bands are on average as wide as the rows.
  double wide = 0, predicted = 0;
  for (std::size_t i = 0; i < here.size(); ++i) wide += lacquer.rows[i].log_sd() * lacquer.rows[i].log_sd();
  const std::vector<std::vector<double>> steep = slopes();
  for (std::size_t i = 0; i < here.size(); ++i)
    for (std::size_t k = 0; k < n; ++k)
      for (std::size_t j = 0; j < n; ++j)
        predicted += steep[k][i] * steep[j][i] * spread(static_cast<int>(k), static_cast<int>(j));
  const double widened = std::clamp(wide / predicted, 1.0, 9.0);
  fmt::print("covariance widened {:.2f} times\n", widened);

  // A normal spread also holds lacquers that never harden, which nobody could sell: draws from it are weighed by how well
  // practice could be true of them, and their covariance is kept.
  Matrix kept(n, n);
  {
    constexpr int tried = 400;
    constexpr double worth_rows = 8;  // ESTIMATE: the rows together count as eight: they come of one another
    const auto root = root_of([&](int i, int j) {
      return (i == static_cast<int>(own) ? 1.0 : widened) * spread(i, j);
    });
    std::vector<std::array<double, n>> draws(tried);
    std::vector<double> weight(tried);
    double sum = 0, squares = 0;
    for (std::size_t d = 0; d < tried; ++d) {
      std::array<double, n> unit{};
      std::vector<double> at(n);
      for (std::size_t i = 0; i < n; ++i) {
        unit[i] = normal(Key{11}.with(d).with(i));
        at[i] = z[i];
        for (std::size_t j = 0; j <= i; ++j) at[i] += root[i][j] * unit[j];
        draws[d][i] = at[i] - z[i];
      }
      const std::vector<double> values = lacquer.logs(draw_of(physical_of(at)));
      double misses = 0;
      for (std::size_t i = 0; i < values.size(); ++i) {
        const double miss = (std::log(lacquer.rows[i].middle()) - values[i]) / std::hypot(lacquer.rows[i].log_sd(), model_sd);
        misses += miss * miss / static_cast<double>(values.size());
      }
      weight[d] = std::exp(-0.5 * worth_rows * misses);
      sum += weight[d], squares += weight[d] * weight[d];
    }
    fmt::print("{} draws are worth {:.0f}\n", tried, sum * sum / squares);
    std::array<double, n> mean{};
    for (std::size_t d = 0; d < tried; ++d)
      for (std::size_t i = 0; i < n; ++i) mean[i] += weight[d] / sum * draws[d][i];
    for (std::size_t i = 0; i < n; ++i)
      for (std::size_t j = 0; j < n; ++j) {
        double moment = 0;
        for (std::size_t d = 0; d < tried; ++d)
          moment += weight[d] / sum * (draws[d][i] - mean[i]) * (draws[d][j] - mean[j]);
        kept(static_cast<int>(i), static_cast<int>(j)) = moment;
      }
  }
  const auto root = root_of([&](int i, int j) { return kept(i, j); });
  std::ofstream out(folder + "/practice/drying_unknowns.csv", std::ios::binary);
  out << "# Made by tools/condition_drying from drying.csv: what is not known of a drying film, before practice "
         "(prior) and\n"
         "# after it (mean, sd). The last columns are the root of the covariance: value = mean + sum over the columns "
         "of root x\n"
         "# standard normal. Law and meaning: docs/models/drying.md, docs/estimates.md.\n"
         "unknown,unit,prior,prior_sd,mean,sd";
  const auto names = words(static_cast<const Unknown*>(nullptr));
  for (const char* name : names) out << "," << name;
  out << "\n";
  for (std::size_t u = 0; u < unknown_count; ++u) {
    const auto at = std::find(fitted.begin(), fitted.end(), static_cast<Unknown>(u));
    const std::size_t i = static_cast<std::size_t>(at - fitted.begin());
    std::array<double, unknown_count> line{};
    double mean = known[u].prior, sd = known[u].prior_sd;
    if (at == fitted.end()) {
      line[u] = sd;
    } else {
      mean = physical_of(z)[i];
      double square = 0;
      for (std::size_t j = 0; j <= i; ++j) {
        line[static_cast<std::size_t>(fitted[j])] = known[u].prior_sd * root[i][j];
        square += root[i][j] * root[i][j];
      }
      sd = known[u].prior_sd * std::sqrt(square);
    }
    out << fmt::format("{},{},{:.4g},{:.4g},{:.4g},{:.4g}", names[u], known[u].unit, known[u].prior, known[u].prior_sd,
                       mean, sd);
    for (const double one : line) out << fmt::format(",{:.4g}", one);
    out << "\n";
  }

  // Each binder's own rate, with the lacquer's unknowns as they now are.
  const Result<CsvTable> binders = read_csv(folder + "/practice/drying_binders.csv");
  if (!binders) return 1;
  std::ofstream rates(folder + "/practice/drying_binders.csv.new", std::ios::binary);
  rates << "# Made by tools/condition_drying from drying.csv: what practice makes of each binder. hold: times the jump "
           "that the\n"
           "# solvent needs by its size; rate: of cure at 25 degC [1/h]; begun: degree of cure as laid; air: oxygen "
           "comes in\n"
           "# through the face. Both with the standard deviation of their logarithm.\n"
        << fmt::format("{}\n", fmt::join(binders->header, ","));
  const auto binder_names = words(static_cast<const Binder*>(nullptr));
  for (CsvRow row : binders->rows) {
    Fit mine{{}, *library};
    for (const PracticeRow& one : *rows)
      if (one.conditions && binder_names[static_cast<std::size_t>(binder_of(one))] == row.cells[0])
        mine.rows.push_back(one);
    const double start = std::log(*number_in(row.cells[2])), old_sd = *number_in(row.cells[3]),
                 prior = std::log(*number_in(row.cells[6])), prior_sd = *number_in(row.cells[7]);
    double at = start, sd = prior_sd;
    if (!mine.rows.empty()) {
      std::vector<double> values;
      const auto draw_at = [&](double value) {
        Draw draw = base;
        draw[static_cast<std::size_t>(Unknown::binder)] = (value - start) / old_sd;
        return draw;
      };
      for (int round = 0; round < 12; ++round) {
        values = mine.logs(draw_at(at));
        const std::vector<double> there = mine.logs(draw_at(at + 0.1)), var = mine.variances(draw_at(at), values);
        double downhill = (prior - at) / (prior_sd * prior_sd), curve = 1 / (prior_sd * prior_sd), wide_sum = 0,
               steep_sum = 0;
        for (std::size_t i = 0; i < values.size(); ++i) {
          const double slope = (there[i] - values[i]) / 0.1;
          downhill += slope * (std::log(mine.rows[i].middle()) - values[i]) / var[i];
          curve += slope * slope / var[i];
          wide_sum += mine.rows[i].log_sd() * mine.rows[i].log_sd(), steep_sum += slope * slope;
        }
        const double step = std::clamp(downhill / curve, -0.7, 0.7);
        at += step;
        // As above: as wide as practice, not as narrow as many rows together.
        sd = std::min(prior_sd, steep_sum > 0 ? std::sqrt(wide_sum / steep_sum) : prior_sd);
        if (std::abs(step) < 1e-3) break;
      }
      fmt::print("{}: {} {:.4g}, sd of its logarithm {:.3g}\n", row.cells[0], row.cells[1], std::exp(at), sd);
      report(mine, mine.logs(draw_at(at)));
    } else if (row.cells[0] == "spirit_varnish") {
      fmt::print("{}: no rows, kept\n", row.cells[0]);
      sd = old_sd;
    }
    row.cells[2] = fmt::format("{:.4g}", std::exp(at)), row.cells[3] = fmt::format("{:.3g}", sd);
    rates << fmt::format("{}\n", fmt::join(row.cells, ","));
  }
  rates.close();
  std::rename((folder + "/practice/drying_binders.csv.new").c_str(), (folder + "/practice/drying_binders.csv").c_str());
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 2) {
    std::cerr << "usage: condition_drying FOLDER   (the data folder)\n";
    return 2;
  }
  return condition(argv[1]);
}

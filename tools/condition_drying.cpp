// condition_drying FOLDER: fits what is not known of drying films to common practice, once, and writes
// FOLDER/practice/drying_unknowns.csv and drying_binders.csv. Build and run it again after a change of the drying
// model, of a coat's data or of FOLDER/practice/drying.csv; nothing of it runs when the program does.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <iostream>
#include <span>

#include "app/practice/drying.h"
#include "base/parallel.h"
#include "base/random.h"
#include "materials/csv.h"
#include "numerics/linear.h"

using namespace witnessline::app;

namespace {

// Conditioned together; the others keep what their own data say and widen a row instead.
constexpr std::array fitted{
    Unknown::jump, Unknown::wet_diffusivity, Unknown::glass, Unknown::solvent_transition, Unknown::resin_transition,
    Unknown::kept, Unknown::hardness};
constexpr std::array nuisances{Unknown::transfer, Unknown::resin_transition, Unknown::laid};
// A lacquer's own: its datum keeps the middle, practice only rules out what never hardens.
constexpr std::size_t own = 4;
static_assert(fitted[own] == Unknown::resin_transition);
constexpr std::size_t n = fitted.size();
/// Of ln(value), what no setting of the unknowns can match. ESTIMATE: 0.25; a ratio of two dates of one film is free of
/// most of it, so what practice says of warmth and thickness counts for more: 0.1.
double model_sd(const PracticeRow& row) { return row.quantity.rfind("factor", 0) == 0 ? 0.1 : 0.25; }

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
  std::vector<double> variances(const Draw& at, const std::vector<double>& here,
                                std::span<const Unknown> beside_them = nuisances) const {
    std::vector<double> all;
    for (const PracticeRow& row : rows) all.push_back(row.log_sd() * row.log_sd() + model_sd(row) * model_sd(row));
    for (const Unknown which : beside_them) {
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
    if (round > 4 && before - now < 1e-3) break;
  }
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

  // A normal spread also holds lacquers that never harden, which nobody could sell: draws from it are weighed by how
  // well practice could be true of them, and their covariance is kept.
  Matrix kept(n, n);
  {
    constexpr int tried = 400;
    constexpr double worth_rows = 8;  // ESTIMATE: the rows together count as eight: they come of one another
    const auto root =
        root_of([&](int i, int j) { return (i == static_cast<int>(own) ? 1.0 : widened) * spread(i, j); });
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
        const double miss = (std::log(lacquer.rows[i].middle()) - values[i]) /
                            std::hypot(lacquer.rows[i].log_sd(), model_sd(lacquer.rows[i]));
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
           "# through the face. Both with the standard deviation of their logarithm. transition: by how much practice "
           "moves\n"
           "# the glass transition, and how well it is known then, in its datum's sds; hold_per_transition: what "
           "ln(hold) gains\n"
           "# where it lies one of those higher.\n"
        << fmt::format("{}\n", fmt::join(binders->header, ","));
  const auto binder_names = words(static_cast<const Binder*>(nullptr));
  std::array<double, 5> as_shellac{};  // of the last binder that has rows
  for (CsvRow row : binders->rows) {
    Fit mine{{}, *library};
    for (const PracticeRow& one : *rows)
      if (one.conditions && binder_names[static_cast<std::size_t>(binder_of(one))] == row.cells[0])
        mine.rows.push_back(one);
    const auto number = [&](std::size_t cell) { return number_in(row.cells[cell]).value_or(0); };
    // Its own rate or hold; a resin that holds its alcohol is fitted together with its glass transition.
    const bool holds = row.cells[1] == "hold";
    const int count = holds ? 2 : 1;
    const std::array<double, 2> start{std::log(number(2)), number(8)}, prior{std::log(number(6)), 0},
        prior_sd{number(7), 1};
    const double old_sd = number(3), narrowed = number(9) > 0 ? number(9) / of(own).sd : 1,
                 slant = number(10) * narrowed;
    std::array<double, 2> at = start, sd{prior_sd[0], holds ? 1.0 : 0.0};
    double with_transition = 0;
    if (!mine.rows.empty()) {
      const auto values_at = [&](const std::array<double, 2>& here_at) {
        std::array<double, n> value = physical_of(z);
        const double resin_sds = value[own] = (here_at[1] - start[1]) / narrowed;
        Draw draw = draw_of(value);
        draw[static_cast<std::size_t>(Unknown::binder)] = (here_at[0] - start[0] - slant * resin_sds) / old_sd;
        return draw;
      };
      Matrix tight(count, count);
      std::vector<double> values;
      std::array<std::vector<double>, 2> slope;
      constexpr std::array widens{Unknown::transfer, Unknown::laid};
      for (int round = 0; round < 20; ++round) {
        values = mine.logs(values_at(at));
        const std::vector<double> var =
            mine.variances(values_at(at), values, holds ? std::span<const Unknown>(widens) : nuisances);
        std::vector<double> downhill(static_cast<std::size_t>(count));
        for (int k = 0; k < count; ++k) {
          const auto u = static_cast<std::size_t>(k);
          std::array<double, 2> beside = at;
          beside[u] += 0.1;
          slope[u] = mine.logs(values_at(beside));
          for (std::size_t i = 0; i < values.size(); ++i) slope[u][i] = (slope[u][i] - values[i]) / 0.1;
          downhill[u] = (prior[u] - at[u]) / (prior_sd[u] * prior_sd[u]);
          for (std::size_t i = 0; i < values.size(); ++i)
            downhill[u] += slope[u][i] * (std::log(mine.rows[i].middle()) - values[i]) / var[i];
        }
        for (int k = 0; k < count; ++k)
          for (int j = 0; j < count; ++j) {
            const auto u = static_cast<std::size_t>(k), v = static_cast<std::size_t>(j);
            double sum = u == v ? 1 / (prior_sd[u] * prior_sd[u]) : 0;
            for (std::size_t i = 0; i < values.size(); ++i) sum += slope[u][i] * slope[v][i] / var[i];
            tight(k, j) = sum;
          }
        const std::vector<double> step = solve(tight, downhill);
        double farthest = 0;
        for (std::size_t u = 0; u < step.size(); ++u) {
          const double by = std::clamp(step[u], -0.3, 0.3);
          at[u] += by, farthest = std::max(farthest, std::abs(by));
        }
        if (farthest < 1e-3) break;
      }
      // As above: as wide as practice, not as narrow as many rows together.
      const Matrix wide_as = inverse(tight);
      double wide_sum = 0, predicted_sum = 0;
      for (std::size_t i = 0; i < values.size(); ++i) {
        // A row remembered counts for less above; its width is what it states.
        const double stated = mine.rows[i].log_sd() / (mine.rows[i].how_known == "memory" ? 2 : 1);
        wide_sum += stated * stated;
        for (int k = 0; k < count; ++k)
          for (int j = 0; j < count; ++j)
            predicted_sum +=
                slope[static_cast<std::size_t>(k)][i] * slope[static_cast<std::size_t>(j)][i] * wide_as(k, j);
      }
      const double wider = std::clamp(wide_sum / predicted_sum, 1.0, 9.0);
      sd[0] = std::min(prior_sd[0], std::sqrt(wider * wide_as(0, 0)));
      if (holds) {
        sd[1] = std::min(1.0, std::sqrt(wider * wide_as(1, 1)));
        with_transition = wide_as(0, 1) / wide_as(1, 1);
        sd[0] *= std::sqrt(std::max(1e-4, 1 - wide_as(0, 1) * wide_as(0, 1) / (wide_as(0, 0) * wide_as(1, 1))));
      }
      fmt::print("{}: {} {:.4g}, sd of its logarithm {:.3g}; glass transition {:+.2f} sds, known to {:.2f}\n",
                 row.cells[0], row.cells[1], std::exp(at[0]), sd[0], at[1], sd[1]);
      report(mine, mine.logs(values_at(at)));
      as_shellac = {at[0], sd[0], at[1], sd[1], with_transition};
    } else {
      fmt::print("{}: no rows, as the one before\n", row.cells[0]);
      at = {as_shellac[0], as_shellac[2]}, sd = {as_shellac[1], as_shellac[3]}, with_transition = as_shellac[4];
    }
    row.cells[2] = fmt::format("{:.4g}", std::exp(at[0])), row.cells[3] = fmt::format("{:.3g}", sd[0]);
    row.cells[8] = fmt::format("{:.3g}", at[1]), row.cells[9] = fmt::format("{:.3g}", holds ? sd[1] : 0);
    row.cells[10] = fmt::format("{:.3g}", with_transition);
    rates << fmt::format("{}\n", fmt::join(row.cells, ","));
  }
  rates.close();
  std::rename((folder + "/practice/drying_binders.csv.new").c_str(), (folder + "/practice/drying_binders.csv").c_str());
  return 0;
}

/// Draws of the fitted unknowns, each kept as often as practice could be true of it: the bands of `dry`. A normal
/// spread alone also holds films that never harden, which nobody could sell.
int write_draws(const std::string& folder) {
  const Result<Library> library = read_library(folder);
  const Result<std::vector<PracticeRow>> rows = read_practice(folder);
  if (!library || !rows) return 1;
  std::ofstream out(folder + "/practice/drying_draws.csv", std::ios::binary);
  const auto unknowns = words(static_cast<const Unknown*>(nullptr));
  out << "# Made by tools/condition_drying FOLDER draws: equally likely draws, as standard normals of "
         "drying_unknowns.csv,\n"
         "# that every row of practice for this binder had a say in.\n"
      << fmt::format("binder,{}\n", fmt::join(unknowns, ","));
  const auto binder_names = words(static_cast<const Binder*>(nullptr));
  for (const Binder binder : {Binder::nitrocellulose, Binder::shellac}) {
    Fit fit{{}, *library};
    for (const PracticeRow& row : *rows)
      if (const Material* material = library->find(row.subject);
          row.conditions && row.quantity == "time_until" && material && material->binder == binder)
        fit.rows.push_back(row);
    constexpr std::size_t tried = 1200, kept = 80;
    constexpr double worth_rows = 5;  // ESTIMATE: dates of one film come of one another, and writers of one another
    std::vector<Draw> draws(tried);
    std::vector<double> up_to(tried);
    double sum = 0, squares = 0;
    for (std::size_t d = 0; d < tried; ++d) {
      for (std::size_t k = 0; k < unknown_count; ++k) draws[d][k] = normal(Key{17}.with(d).with(k));
      const std::vector<double> values = fit.logs(draws[d]);
      double misses = 0;
      for (std::size_t i = 0; i < values.size(); ++i) {
        const double miss =
            (std::log(fit.rows[i].middle()) - values[i]) / std::hypot(fit.rows[i].log_sd(), model_sd(fit.rows[i]));
        misses += miss * miss / static_cast<double>(values.size());
      }
      const double weight = std::exp(-0.5 * std::min<double>(worth_rows, static_cast<double>(values.size())) * misses);
      sum += weight, squares += weight * weight, up_to[d] = sum;
    }
    fmt::print("{}: {} draws are worth {:.0f}\n", binder_names[static_cast<std::size_t>(binder)], tried,
               sum * sum / squares);
    for (std::size_t n = 0; n < kept; ++n) {  // evenly through the weights
      const double at = sum * (static_cast<double>(n) + 0.5) / kept;
      const auto d = static_cast<std::size_t>(std::lower_bound(up_to.begin(), up_to.end(), at) - up_to.begin());
      out << binder_names[static_cast<std::size_t>(binder)];
      for (const double one : draws[d]) out << fmt::format(",{:.3f}", one);
      out << "\n";
    }
  }
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  const bool only_draws = argc == 3 && std::string(argv[2]) == "draws";
  if (argc != 2 && !only_draws) {
    std::cerr
        << "usage: condition_drying FOLDER [draws]   (the data folder; draws: once FOLDER's tables are built in)\n";
    return 2;
  }
  return only_draws ? write_draws(argv[1]) : condition(argv[1]);
}

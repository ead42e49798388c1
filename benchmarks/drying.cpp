// Question: does a column of thirty coats laid over fourteen days take less than 50 ms, and how much faster is it than
// a general stiff solver (CVODE, BDF with a band matrix) on the same cells and rates at equal error? The comparison is
// left out where CVODE is not installed; the program itself never needs it.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <ctime>
#include <vector>

#include "drying/column.h"
#include "solvents/blush.h"

#ifdef WITNESSLINE_CVODE
#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_band.h>
#include <sunmatrix/sunmatrix_band.h>
#endif

namespace {

using namespace witnessline;
using namespace witnessline::app;

constexpr int coats = 30;
constexpr double dry_m = 8e-6, wet_m = 80e-6, gap_s = 14 * 86400.0 / coats;
constexpr std::array stops_s{60.0, 600.0, 3600.0, gap_s};

double cpu_s() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

struct Setting {
  std::shared_ptr<const Transport> lacquer;
  AirSide air;
};
Setting setting() {
  const FilmSolvent acetate{
      {"butyl_acetate", {9.5, 1596.7, -43.85, 301, 424}, 0.11616, 882.5, 43860, 133.72, {15.8e3, 3.7e3, 6.3e3}, {}}};
  const Resin resin{318.15, 1300, 0.48, 0, false};
  return {transport_of(resin, acetate, {}, 294.15), AirSide(acetate.of, airflow_along(294.15, 0.3))};
}

struct Timed {
  double seconds = 0, books = 0;
  int steps = 0;
  std::vector<double> left_m;  ///< all solvent at every stop, and what the outer 10 um hold
};

Timed ours(const Setting& with, ColumnAccuracy accuracy) {
  Timed out;
  const double start_s = cpu_s();
  DryingColumn column(with.air, accuracy);
  for (int coat = 0; coat < coats; ++coat) {
    column.lay(with.lacquer, dry_m, wet_m);
    double now_s = 0;
    for (const double stop_s : stops_s) {
      column.dry(stop_s - now_s);
      now_s = stop_s;
      out.left_m.push_back(column.solvent_m());
      out.left_m.push_back(column.outer_fraction(10e-6));
    }
  }
  out.seconds = cpu_s() - start_s;
  out.steps = column.steps_taken();
  out.books = std::abs(column.solvent_m() + column.gone_m() - column.laid_m()) / column.laid_m();
  return out;
}

double worst(const Timed& a, const Timed& exact) {
  double most = 0;
  for (std::size_t i = 0; i < exact.left_m.size(); ++i)
    most = std::max(most, std::abs(a.left_m[i] / exact.left_m[i] - 1));
  return most;
}

#ifdef WITNESSLINE_CVODE
struct Rates {
  const DryingColumn* column;
  std::vector<double> cells, rates;
};
int rates_of(double, N_Vector y, N_Vector change, void* data) {
  auto& with = *static_cast<Rates*>(data);
  const double* from = N_VGetArrayPointer(y);
  std::copy_n(from, with.cells.size(), with.cells.begin());
  with.column->rates(with.cells, with.rates);
  std::copy_n(with.rates.begin(), with.cells.size(), N_VGetArrayPointer(change));
  return 0;
}

/// The same cells, the same rates, CVODE's own steps; its band Jacobian by differences, as it comes.
Timed cvode(const Setting& with, ColumnAccuracy accuracy, double tolerance) {
  Timed out;
  const double start_s = cpu_s();
  SUNContext context;
  SUNContext_Create(nullptr, &context);
  DryingColumn column(with.air, accuracy);
  for (int coat = 0; coat < coats; ++coat) {
    column.lay(with.lacquer, dry_m, wet_m);
    const std::size_t n = column.cells().size();
    Rates rates{&column, column.cells(), {}};
    N_Vector y = N_VNew_Serial(static_cast<sunindextype>(n), context);
    std::copy(rates.cells.begin(), rates.cells.end(), N_VGetArrayPointer(y));
    void* solver = CVodeCreate(CV_BDF, context);
    CVodeInit(solver, rates_of, 0.0, y);
    CVodeSStolerances(solver, tolerance, tolerance * 1e-3);
    CVodeSetUserData(solver, &rates);
    CVodeSetMaxNumSteps(solver, 1000000);
    SUNMatrix matrix = SUNBandMatrix(static_cast<sunindextype>(n), 1, 1, context);
    SUNLinearSolver linear = SUNLinSol_Band(y, matrix, context);
    CVodeSetLinearSolver(solver, linear, matrix);
    for (const double stop_s : stops_s) {
      double reached_s = 0;
      CVodeSetStopTime(solver, stop_s);
      if (CVode(solver, stop_s, y, &reached_s, CV_NORMAL) < 0) return out;
      column.set_cells({N_VGetArrayPointer(y), N_VGetArrayPointer(y) + n}, 0);
      out.left_m.push_back(column.solvent_m());
      out.left_m.push_back(column.outer_fraction(10e-6));
    }
    long steps = 0;
    CVodeGetNumSteps(solver, &steps);
    out.steps += static_cast<int>(steps);
    N_VDestroy(y), SUNLinSolFree(linear), SUNMatDestroy(matrix), CVodeFree(&solver);
  }
  SUNContext_Free(&context);
  out.seconds = cpu_s() - start_s;
  return out;
}
#endif

template <class Run>
Timed best_of(int rounds, const Run& run) {
  Timed best = run();
  for (int i = 1; i < rounds; ++i)
    if (Timed again = run(); again.seconds < best.seconds) best = std::move(again);
  return best;
}

}  // namespace

int main() {
  const Setting with = setting();
  const ColumnAccuracy usual;
  // The answer first: the same cells in very small steps, and finer cells.
  ColumnAccuracy exact_steps = usual, fine{1e-5, 48, 24, 0.95};
  exact_steps.tolerance = 1e-6;
  const Timed exact = ours(with, exact_steps), finer = ours(with, fine);
  const Timed asked = best_of(5, [&] { return ours(with, usual); });
  fmt::print("thirty coats over fourteen days: {:.1f} ms of one processor, {} steps, books to {:.0e}\n",
             1e3 * asked.seconds, asked.steps, asked.books);
  fmt::print(
      "worst of solvent left and outer 10 um at {} stops: {:.2f} % from smaller steps, {:.2f} % from finer cells\n",
      asked.left_m.size() / 2, 100 * worst(asked, exact), 100 * worst(asked, finer));
  bool within = asked.seconds < 0.05 && asked.books < 1e-8 && worst(asked, finer) < 0.03;

#ifdef WITNESSLINE_CVODE
  fmt::print("\n{:>10} {:>10} {:>8} {:>10}\n", "", "error", "steps", "ms");
  std::vector<std::pair<double, double>> other;  // log error, log seconds
  for (const double tolerance : {3e-3, 1e-3, 3e-4, 1e-4, 3e-5, 1e-5}) {
    const Timed run = best_of(3, [&] { return cvode(with, usual, tolerance); });
    if (run.left_m.size() < exact.left_m.size()) {
      fmt::print("{:>10} gave up at tolerance {:.0e}\n", "CVODE", tolerance);
      continue;
    }
    const double error = worst(run, exact);
    other.emplace_back(std::log(error), std::log(run.seconds));
    fmt::print("{:>10} {:>10.1e} {:>8} {:>10.1f}\n", "CVODE", error, run.steps, 1e3 * run.seconds);
  }
  std::sort(other.begin(), other.end());
  for (const double tolerance : {1e-2, 5e-3, 2e-3, 5e-4, 1e-4}) {
    ColumnAccuracy accuracy = usual;
    accuracy.tolerance = tolerance;
    const Timed run = best_of(3, [&] { return ours(with, accuracy); });
    const double error = worst(run, exact), at = std::log(error);
    std::string ratio = "outside CVODE's errors";
    for (std::size_t i = 1; i < other.size(); ++i)
      if (other[i - 1].first <= at && at <= other[i].first) {
        const double share = (at - other[i - 1].first) / (other[i].first - other[i - 1].first);
        ratio =
            fmt::format("CVODE takes {:.1f} times as long at this error",
                        std::exp(other[i - 1].second + share * (other[i].second - other[i - 1].second)) / run.seconds);
      }
    fmt::print("{:>10} {:>10.1e} {:>8} {:>10.1f}  {}\n", "ours", error, run.steps, 1e3 * run.seconds, ratio);
  }
#else
  fmt::print("CVODE is not installed: no comparison\n");
#endif
  fmt::print("{}\n", within ? "within the limits" : "NOT within the limits (50 ms a column, 1e-8, 3 %)");
  return within ? 0 : 1;
}

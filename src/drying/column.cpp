#include "drying/column.h"

#include <algorithm>
#include <cmath>

#include "base/result.h"

namespace witnessline::drying {

namespace {

double fraction(double u) { return u / (1.0 + u); }

/// Root of a falling function between two bounds, Newton from `start` inside them. `at(x)` -> value and slope.
template <class At>
double falling_root(double low, double high, double start, const At& at) {
  double x = std::clamp(start, low, high);
  for (int round = 0; round < 80; ++round) {
    const Sloped here = at(x);
    if (here.value == 0) return x;
    (here.value > 0 ? low : high) = x;
    double next = here.slope < 0 ? x - here.value / here.slope : 0.5 * (low + high);
    if (!(next >= low && next <= high)) next = 0.5 * (low + high);
    if (std::abs(next - x) <= 1e-12 * std::abs(x)) return next;
    x = next;
  }
  return x;
}

/// Flux through a face and how it changes with p on either side of it.
struct Through {
  double flux, by_below, by_above;
};

/// Two coats meet: equal activity, what leaves one enters the other.
Through meeting(const Transport& below, const Sloped& potential_below, double p_below, double half_below_m,
                const Transport& above, const Sloped& potential_above, double p_above, double half_above_m,
                double& activity) {
  const double a_below = below.activity(p_below).value, a_above = above.activity(p_above).value;
  double face_below = 0, face_above = 0;
  double conduct_below = 0, conduct_above = 0;  // d flux / d activity on either side
  const auto mismatch = [&](double a) -> Sloped {
    face_below = below.fraction_at(a), face_above = above.fraction_at(a);
    const Sloped f = below.flux_potential(face_below), g = above.flux_potential(face_above);
    conduct_below = f.slope / below.activity(face_below).slope / half_below_m;
    conduct_above = g.slope / above.activity(face_above).slope / half_above_m;
    return {(potential_below.value - f.value) / half_below_m - (g.value - potential_above.value) / half_above_m,
            -(conduct_below + conduct_above)};
  };
  activity = falling_root(std::min(a_below, a_above), std::max(a_below, a_above), activity, mismatch);
  const double left_over = mismatch(activity).value;
  const double sum = conduct_below + conduct_above;
  // What the search left over is shared out, so that the flux is right whichever side it is small against.
  const double flux =
      (potential_below.value - below.flux_potential(face_below).value) / half_below_m - left_over * conduct_below / sum;
  return {flux, potential_below.slope / half_below_m * conduct_above / sum,
          -potential_above.slope / half_above_m * conduct_below / sum};
}

/// The face to the air.
Through into_air(const Transport& coat, const Sloped& flux_potential, double p, double half_m, const AirSide& air,
                 double& face) {
  double film_slope = 0, air_slope = 0, flux = 0;
  const auto mismatch = [&](double at) -> Sloped {
    const Sloped f = coat.flux_potential(at), a = coat.activity(at);
    const Sloped g = air.flux_m_s(a.value);
    film_slope = f.slope / half_m, air_slope = g.slope * a.slope, flux = g.value;
    return {(flux_potential.value - f.value) / half_m - g.value, -(film_slope + air_slope)};
  };
  face = falling_root(std::min(0.0, p), std::max(0.0, p), face, mismatch);
  const double left_over = mismatch(face).value;
  flux += left_over * air_slope / (film_slope + air_slope);
  return {flux, flux_potential.slope / half_m * air_slope / (film_slope + air_slope), 0.0};
}

}  // namespace

DryingColumn::DryingColumn(AirSide air, ColumnAccuracy accuracy) : air_(std::move(air)), accuracy_(accuracy) {
  expects(accuracy.buried_cells > 0 && accuracy.cells % accuracy.buried_cells == 0, "cells a multiple of buried cells");
}

void DryingColumn::coarsen(Coat& coat) {
  const std::size_t now = coat.end - coat.begin, group = now / static_cast<std::size_t>(accuracy_.buried_cells);
  if (group <= 1) return;
  const std::size_t kept = now / group;
  for (std::size_t i = 0; i < kept; ++i) {
    double dry = 0, solvent = 0;
    for (std::size_t j = coat.begin + i * group; j < coat.begin + (i + 1) * group; ++j)
      dry += z_m_[j], solvent += u_[j] * z_m_[j];
    z_m_[coat.begin + i] = dry, u_[coat.begin + i] = solvent / dry;
  }
  coat.end = coat.begin + kept;
  z_m_.resize(coat.end), u_.resize(coat.end), transport_.resize(coat.end);
}

void DryingColumn::lay(const std::shared_ptr<const Transport>& transport, double dry_m, double solvent_m) {
  expects(dry_m > 0 && solvent_m >= 0, "a coat of dry film");
  if (!coats_.empty()) coarsen(coats_.back());
  const auto n = static_cast<std::size_t>(accuracy_.cells);
  const double r = accuracy_.grading;
  double cell_m = r == 1.0 ? dry_m / static_cast<double>(n) : dry_m * (1 - r) / (1 - std::pow(r, accuracy_.cells));
  coats_.push_back({transport, u_.size(), u_.size() + n});
  for (std::size_t i = 0; i < n; ++i, cell_m *= r) {
    z_m_.push_back(cell_m);
    u_.push_back(solvent_m / dry_m);
    transport_.push_back(transport.get());
  }
  laid_m_ += solvent_m;
  step_s_ = 0;
  work_.meeting.assign(coats_.size() + 1, 0.0);
}

double DryingColumn::dry_m(std::size_t coat) const {
  double sum = 0;
  for (std::size_t i = coats_[coat].begin; i < coats_[coat].end; ++i) sum += z_m_[i];
  return sum;
}
double DryingColumn::solvent_m(std::size_t coat) const {
  double sum = 0;
  for (std::size_t i = coats_[coat].begin; i < coats_[coat].end; ++i) sum += z_m_[i] * u_[i];
  return sum;
}
double DryingColumn::solvent_m() const {
  double sum = 0;
  for (std::size_t i = 0; i < u_.size(); ++i) sum += z_m_[i] * u_[i];
  return sum;
}

double DryingColumn::outer_fraction(double depth_m) const {
  double dry = 0, solvent = 0;
  for (std::size_t i = u_.size(); i-- > 0 && dry < depth_m;) {
    const double part = std::min(z_m_[i], depth_m - dry);
    dry += part, solvent += part * u_[i];
  }
  return dry > 0 ? solvent / (dry + solvent) : 0.0;
}

double DryingColumn::softest_outer_fraction(double depth_m) const {
  double dry = 0, solvent = 0, most = 0;
  for (std::size_t i = u_.size(); i-- > 0 && dry < depth_m;) {
    const double part = std::min(z_m_[i], depth_m - dry);
    dry += part, solvent += part * u_[i];
    most = std::max(most, solvent / (dry + solvent));
  }
  return most;
}

void DryingColumn::set_cells(std::vector<double> cells, double gone_m) {
  expects(cells.size() == u_.size(), "a value a cell");
  u_ = std::move(cells), gone_m_ = gone_m;
}

/// Fills the rates; with `slopes` also the three diagonals of their derivative. Returns d(into air)/d(u of last cell).
double DryingColumn::balance(const std::vector<double>& u, std::vector<double>& rate, bool slopes) const {
  Work& w = work_;
  const std::size_t n = u_.size();
  w.flux_potential.resize(n), w.slope.resize(n), w.share.resize(n);
  for (std::size_t i = 0; i < n; ++i) {
    const double p = fraction(u[i]);
    const Sloped flux_potential = transport_[i]->flux_potential(p);
    w.flux_potential[i] = flux_potential.value, w.slope[i] = flux_potential.slope, w.share[i] = p;
  }
  if (slopes) w.lower.assign(n, 0.0), w.diagonal.assign(n, 0.0), w.upper.assign(n, 0.0);
  rate.resize(n + 1);
  std::fill(rate.begin(), rate.end(), 0.0);
  const auto by_u = [&](std::size_t i) { return (1.0 - w.share[i]) * (1.0 - w.share[i]); };
  std::size_t meetings = 0;
  for (std::size_t i = 0; i + 1 < n; ++i) {
    Through f;
    if (transport_[i] == transport_[i + 1]) {
      const double way_m = 0.5 * (z_m_[i] + z_m_[i + 1]);
      f = {(w.flux_potential[i] - w.flux_potential[i + 1]) / way_m, w.slope[i] / way_m, -w.slope[i + 1] / way_m};
    } else {
      f = meeting(*transport_[i], {w.flux_potential[i], w.slope[i]}, w.share[i], 0.5 * z_m_[i], *transport_[i + 1],
                  {w.flux_potential[i + 1], w.slope[i + 1]}, w.share[i + 1], 0.5 * z_m_[i + 1], w.meeting[meetings++]);
    }
    rate[i] -= f.flux / z_m_[i], rate[i + 1] += f.flux / z_m_[i + 1];
    if (!slopes) continue;
    const double by_below = f.by_below * by_u(i), by_above = f.by_above * by_u(i + 1);
    w.diagonal[i] -= by_below / z_m_[i], w.upper[i] = -by_above / z_m_[i];
    w.lower[i + 1] = by_below / z_m_[i + 1], w.diagonal[i + 1] += by_above / z_m_[i + 1];
  }
  const std::size_t top = n - 1;
  const Through out = into_air(*transport_[top], {w.flux_potential[top], w.slope[top]}, w.share[top], 0.5 * z_m_[top],
                               air_, w.meeting.back());
  rate[top] -= out.flux / z_m_[top];
  rate[n] = out.flux;
  const double by_top = out.by_below * by_u(top);
  if (slopes) w.diagonal[top] -= by_top / z_m_[top];
  return by_top;
}

void DryingColumn::rates(const std::vector<double>& cells, std::vector<double>& rates) const {
  balance(cells, rates, false);
}

/// Thomas' elimination of shift I - J from the diagonals balance() left. It is diagonally dominant: no pivots.
void DryingColumn::eliminate(double shift_per_s) const {
  Work& w = work_;
  const std::size_t n = w.diagonal.size();
  for (std::size_t i = 0; i < n; ++i) {
    double d = shift_per_s - w.diagonal[i];
    if (i > 0) d -= w.lower[i] * w.upper[i - 1];  // lower turned to -J, upper already divided
    w.diagonal[i] = 1.0 / d;
    w.upper[i] = -w.upper[i] * w.diagonal[i];
    if (i + 1 < n) w.lower[i + 1] = -w.lower[i + 1];
  }
}

void DryingColumn::substitute(std::vector<double>& k) const {
  const Work& w = work_;
  const std::size_t n = k.size();
  k[0] *= w.diagonal[0];
  for (std::size_t i = 1; i < n; ++i) k[i] = (k[i] - w.lower[i] * k[i - 1]) * w.diagonal[i];
  for (std::size_t i = n - 1; i-- > 0;) k[i] -= w.upper[i] * k[i + 1];
}

/// One RODAS3 step of h into work_.next; returns the error over what is allowed.
double DryingColumn::step(double h_s, double& next_gone_m) const {
  // Source: sandu1997, RODAS3: L-stable, order 3 with 2 embedded, stiffly accurate.
  constexpr double gamma = 0.5;
  constexpr double c[4][3]{{}, {4, 0, 0}, {1, -1, 0}, {1, -1, -8.0 / 3.0}};
  Work& w = work_;
  const std::size_t n = u_.size();
  const double by_top = balance(u_, w.rate, true);
  eliminate(1.0 / (gamma * h_s));
  double k_gone[4] = {};
  for (int s = 0; s < 4; ++s) {
    std::vector<double>& k = w.k[s];
    k.resize(n);
    if (s >= 2) {
      w.at.resize(n);
      for (std::size_t i = 0; i < n; ++i) w.at[i] = u_[i] + 2 * w.k[0][i] + (s == 3 ? w.k[2][i] : 0.0);
      balance(w.at, w.rate, false);
    }
    for (std::size_t i = 0; i < n; ++i) {
      double right = w.rate[i];
      for (int j = 0; j < s; ++j) right += c[s][j] / h_s * w.k[j][i];
      k[i] = right;
    }
    substitute(k);
    k_gone[s] = w.rate[n] + by_top * k[n - 1];
    for (int j = 0; j < s; ++j) k_gone[s] += c[s][j] / h_s * k_gone[j];
    k_gone[s] *= gamma * h_s;
  }
  w.next.resize(n);
  double error = 0, whole = 0;
  for (std::size_t i = 0; i < n; ++i) {
    w.next[i] = u_[i] + 2 * w.k[0][i] + w.k[2][i] + w.k[3][i];
    const double allowed = accuracy_.tolerance * (std::max(std::abs(u_[i]), std::abs(w.next[i])) + 1e-3);
    const double over = w.k[3][i] / allowed;
    error += z_m_[i] * over * over, whole += z_m_[i];
  }
  next_gone_m = gone_m_ + 2 * k_gone[0] + k_gone[2] + k_gone[3];
  return std::sqrt(error / whole);
}

/// One linearly implicit Euler step of h into work_.next: first order, and positive wherever the film is near linear.
void DryingColumn::euler_step(double h_s, double& next_gone_m) const {
  Work& w = work_;
  const std::size_t n = u_.size();
  const double by_top = balance(u_, w.rate, true);
  eliminate(1.0 / h_s);
  std::vector<double>& k = w.k[0];
  k.assign(w.rate.begin(), w.rate.begin() + static_cast<std::ptrdiff_t>(n));
  substitute(k);
  for (std::size_t i = 0; i < n; ++i) w.next[i] = u_[i] + k[i];
  next_gone_m = gone_m_ + h_s * (w.rate[n] + by_top * k[n - 1]);
}

bool DryingColumn::dry(double duration_s, const std::function<void(double)>& seen) {
  if (duration_s <= 0 || u_.empty()) return true;
  constexpr double first_s = 1e-2, smallest_s = 1e-9, safety = 0.9, most_growth = 4.0, most_shrink = 0.2;
  double now_s = 0, planned_s = step_s_ > 0 ? step_s_ : std::min(first_s, duration_s);
  double next_gone_m = 0;
  // Less than this of the dry volume is below the rounding of any column's sum: such a cell is empty, not negative.
  constexpr double nothing = 1e-18;
  const auto negative = [this] {
    for (double& u : work_.next) {
      if (u < 0 && u > -nothing) u = 0;
      if (!(u >= 0)) return true;
    }
    return false;
  };
  while (now_s < duration_s) {
    const bool last = now_s + planned_s >= duration_s * (1 - 1e-12);
    const double h_s = last ? duration_s - now_s : planned_s;
    double error = step(h_s, next_gone_m);
    ++steps_;
    if (error <= 1.0 && negative()) {
      euler_step(h_s, next_gone_m);
      if (negative()) error = 8.0;
    }
    const double change = std::clamp(safety * std::pow(std::max(error, 1e-10), -1.0 / 3.0), most_shrink, most_growth);
    if (error > 1.0 || !std::isfinite(error)) {
      planned_s = h_s * (std::isfinite(error) ? std::min(change, 0.8) : most_shrink);
      if (planned_s < smallest_s) return false;
      continue;
    }
    u_.swap(work_.next), gone_m_ = next_gone_m;
    now_s = last ? duration_s : now_s + h_s;
    if (!last || h_s >= planned_s) planned_s = h_s * change;
    step_s_ = planned_s;
    if (seen) seen(now_s);
  }
  return true;
}

void DryingColumn::settle() {
  const std::size_t n = u_.size();
  const double held_m = solvent_m();
  if (n == 0 || held_m <= 0) return;
  double whole_m = 0;
  for (const double z : z_m_) whole_m += z;
  std::vector<double> shape(n);
  // From the face down: the flux falls in proportion to the film still below, F rises by flux x way.
  const auto shaped_m = [&](double face) {
    const double flux = air_.flux_m_s(transport_[n - 1]->activity(face).value).value;
    double p = face, below_m = whole_m, sum_m = 0;
    for (std::size_t i = n; i-- > 0;) {
      if (i + 1 < n && transport_[i] != transport_[i + 1])
        p = transport_[i]->fraction_at(transport_[i + 1]->activity(p).value);
      const auto down = [&](double way_m) {
        const double there = flux * (below_m - 0.5 * way_m) / whole_m;
        below_m -= way_m;
        p = std::min(0.99,
                     transport_[i]->fraction_at_potential(transport_[i]->flux_potential(p).value + there * way_m));
      };
      down(0.5 * z_m_[i]);
      shape[i] = p / (1 - p);
      down(0.5 * z_m_[i]);
      sum_m += shape[i] * z_m_[i];
    }
    return sum_m;
  };
  double low = 0, high = 0.99;
  for (int round = 0; round < 50; ++round) {
    const double middle = round < 40 && low == 0 ? high * 0.1 : 0.5 * (low + high);
    (shaped_m(middle) > held_m ? high : low) = middle;
  }
  shaped_m(0.5 * (low + high));
  for (const Coat& coat : coats_) {
    double mean_m = 0, kept_m = 0;
    for (std::size_t i = coat.begin; i < coat.end; ++i) mean_m += shape[i] * z_m_[i], kept_m += u_[i] * z_m_[i];
    if (mean_m <= 0) continue;
    for (std::size_t i = coat.begin; i < coat.end; ++i) u_[i] = shape[i] * kept_m / mean_m;
  }
}

}  // namespace witnessline::drying

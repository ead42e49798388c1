#include "solvents/thinner.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

#include "base/parallel.h"

namespace witnessline::solvents {

namespace {
constexpr int tenths = 10;
constexpr std::size_t most_parts = 4, looks = 10, tried_in_full = 80, bettered = 6, grown_to_four = 40;
// Blame for missing a wish by so much is 1.
constexpr double strain_scale = 0.1, most_strain = 5, humidity_scale = 0.1, time_scale_ln = 0.5, half_scale = 0.3,
                 mist_scale = 0.6;  // to mist and clear again is only half a fault
// What settles between thinners without fault: a price twice the shelf's mean, a solvent more.
constexpr double price_blame = 0.1, part_blame = 0.02;

constexpr double cannot_be_poured = 1e300;

double over(double value, double limit) { return std::max(0.0, value - limit); }

double spare_humidity(const SprayedFilm& film, const ThinnerWishes& wishes) {
  return std::min(1.0, film.air.relative_humidity + wishes.spare_humidity_frac);
}

double blame_of(double worst_strain, double no_mist, double no_blush, double time_50_s, double time_90_s,
                const SprayedFilm& film, const ThinnerWishes& wishes) {
  return over(std::min(most_strain, worst_strain), 1) / strain_scale +
         over(spare_humidity(film, wishes), no_blush) / humidity_scale +
         over(std::log(wishes.soonest_s), std::log(time_90_s)) / time_scale_ln +
         over(std::log(time_90_s), std::log(wishes.latest_s)) / time_scale_ln +
         over(time_50_s / time_90_s, wishes.half_gone_ratio) / half_scale +
         over(film.air.relative_humidity, no_mist) / mist_scale;
}

double mean_price(std::span<const ShelfSolvent> shelf) {
  double sum = 0;
  for (const ShelfSolvent& one : shelf) sum += one.price_per_L;
  return shelf.empty() ? 0 : sum / static_cast<double>(shelf.size());
}
double small_blame(double price, double mean, std::size_t parts) {
  return (mean > 0 ? price_blame * price / (2 * mean) : 0) + part_blame * static_cast<double>(parts);
}

std::vector<Volatile> volatiles_of(std::span<const ShelfSolvent> shelf) {
  std::vector<Volatile> all;
  for (const ShelfSolvent& one : shelf) all.push_back(one.of);
  return all;
}

/// Ideal, isothermal evaporation of any blend of the shelf, looked up: in warped time every solvent decays by itself.
class QuickLook {
 public:
  struct Blend {
    std::array<std::size_t, most_parts> which{};
    std::array<int, most_parts> share{};  ///< tenths
    std::size_t parts = 0;
    double blame = 0;
  };

  QuickLook(std::span<const ShelfSolvent> shelf, const SprayedFilm& film, const ThinnerWishes& wishes)
      : shelf_(shelf),
        film_(film),
        wishes_(wishes),
        mean_price_(mean_price(shelf)),
        judge_(volatiles_of(shelf), film.film_former) {
    Airflow held = film.air;
    held.heat_ratio = isothermal, held.relative_humidity = 0;
    double fastest = 0, slowest = 1e300;
    for (const ShelfSolvent& one : shelf) {
      const double pure[]{1.0};
      double flux[1];
      OpenFace({&one.of, 1}, held).flux_mol_m2s(pure, held.temperature_K, flux);
      rate_mol_m2s_.push_back(flux[0]);
      fastest = std::max(fastest, flux[0]);
      slowest = std::min(slowest, flux[0]);
    }
    for (std::size_t j = 0; j < looks; ++j) {  // from a twentieth of the fastest to all but a thousandth of the slowest
      const double first = 0.05 / fastest, last = 7 / slowest;
      const double warp = first * std::pow(last / first, static_cast<double>(j) / (looks - 1));
      for (const double rate : rate_mol_m2s_) left_.push_back(std::exp(-rate * warp));
    }
  }

  double blame(const Blend& blend) const {
    const double solvent_m = film_.wet_m * (1 - film_.solids_frac);
    const auto share_of = [&](std::size_t n) { return blend.share[n] / static_cast<double>(tenths); };
    double worst = 0, price = 0;
    for (std::size_t n = 0; n < blend.parts; ++n) price += share_of(n) * shelf_[blend.which[n]].price_per_L;
    double last_left = 1, last_s = 0, time_50_s = 0, time_90_s = 0, cooling_K = 0, first_cooling_K = 0;
    for (std::size_t j = 0; j <= looks; ++j) {
      const double* decay = j == 0 ? nullptr : &left_[(j - 1) * shelf_.size()];
      double left = 0, gone_s = 0, moles = 0, heat = 0;
      std::array<double, most_parts> held{};
      for (std::size_t n = 0; n < blend.parts; ++n) {
        const std::size_t i = blend.which[n];
        const Volatile& one = shelf_[i].of;
        const double kept = share_of(n) * (decay ? decay[i] : 1.0), amount = kept / one.molar_volume_m3_mol();
        left += kept, held[n] = kept;
        moles += amount;
        heat += amount * rate_mol_m2s_[i] * one.heat_of_vaporisation_J_mol;
        gone_s += (share_of(n) - kept) * solvent_m / one.molar_volume_m3_mol() / rate_mol_m2s_[i];
      }
      if (j == 0 || left > judged_until_left)
        worst = std::max(worst, judge_.of({blend.which.data(), blend.parts}, {held.data(), blend.parts}).strain);
      if (left > 0.4) {  // cold while half of the solvent is still there: one Newton step of the heat balance
        const double taken = heat / moles, arriving = film_.air.heat_ratio * film_.air.heat_coefficient_W_m2K;
        cooling_K = taken / (arriving + 0.05 * taken);
        if (j == 0) first_cooling_K = cooling_K;
      }
      const auto crossing_s = [&](double share) {
        const double along = (std::log(last_left) - std::log(share)) / (std::log(last_left) - std::log(left));
        return last_s + along * (gone_s - last_s);
      };
      if (left <= 0.5 && last_left > 0.5) time_50_s = crossing_s(0.5);
      if (left <= 0.1) {
        time_90_s = crossing_s(0.1);
        break;
      }
      last_left = left, last_s = gone_s;
    }
    // Vapour pressure of water falls 6.5 % a kelvin.
    const double no_blush = std::exp(-0.065 * cooling_K), no_mist = std::exp(-0.065 * first_cooling_K);
    return blame_of(worst, no_mist, no_blush, time_50_s, std::max(1.0, time_90_s), film_, wishes_) +
           small_blame(price, mean_price_, blend.parts);
  }

  /// The best shares of these solvents.
  Blend best_of(Blend blend) const {
    Blend best = blend;
    best.blame = cannot_be_poured;
    share_out(blend, 0, tenths, best);
    return best;
  }

 private:
  int most(std::size_t solvent) const { return static_cast<int>(shelf_[solvent].most_frac * tenths + 1e-9); }

  void share_out(Blend& blend, std::size_t part, int rest, Blend& best) const {
    if (part + 1 == blend.parts) {
      if (rest > most(blend.which[part])) return;
      blend.share[part] = rest;
      blend.blame = blame(blend);
      if (blend.blame < best.blame) best = blend;
      return;
    }
    const int highest = std::min(most(blend.which[part]), rest - static_cast<int>(blend.parts - part) + 1);
    for (int share = 1; share <= highest; ++share) {
      blend.share[part] = share;
      share_out(blend, part + 1, rest - share, best);
    }
  }

  std::span<const ShelfSolvent> shelf_;
  const SprayedFilm& film_;
  const ThinnerWishes& wishes_;
  double mean_price_ = 0;
  BlendJudge judge_;
  std::vector<double> rate_mol_m2s_;
  std::vector<double> left_;  ///< looks rows of a share for each solvent
};

/// The best shares of every choice of up to three solvents, and of those fours that the best threes grow into.
std::vector<QuickLook::Blend> looked_at(const QuickLook& look, std::size_t count, int most) {
  std::vector<QuickLook::Blend> all;
  const auto add = [&](auto&& again, QuickLook::Blend blend, std::size_t from) -> void {
    if (blend.parts > 0) all.push_back(blend);
    if (blend.parts == static_cast<std::size_t>(std::min(most, 3))) return;
    for (std::size_t i = from; i < count; ++i) {
      QuickLook::Blend more = blend;
      more.which[more.parts++] = i;
      again(again, more, i + 1);
    }
  };
  add(add, {}, 0);
  const auto look_from = [&](std::size_t first) {
    for_chunks(all.size() - first, 64, [&](std::size_t begin, std::size_t end) {
      for (std::size_t b = first + begin; b < first + end; ++b) all[b] = look.best_of(all[b]);
    });
    std::stable_sort(all.begin(), all.end(),
                     [](const auto& one, const auto& other) { return one.blame < other.blame; });
  };
  look_from(0);
  if (most < 4) return all;

  std::set<std::array<std::size_t, most_parts>> fours;
  std::size_t grown = 0;
  for (const QuickLook::Blend& blend : all) {
    if (blend.parts != 3) continue;
    if (++grown > grown_to_four) break;
    for (std::size_t i = 0; i < count; ++i) {
      std::array<std::size_t, most_parts> which = blend.which;
      if (std::find(which.begin(), which.begin() + 3, i) != which.begin() + 3) continue;
      which[3] = i;
      std::sort(which.begin(), which.end());
      fours.insert(which);
    }
  }
  const std::size_t before = all.size();
  for (const auto& which : fours) all.push_back({which, {}, most_parts, 0});
  look_from(before);
  return all;
}

double shared(const ThinnerTrial& one, const ThinnerTrial& other) {
  double sum = 0;
  for (std::size_t i = 0; i < one.volume_fraction.size(); ++i)
    sum += std::min(one.volume_fraction[i], other.volume_fraction[i]);
  return sum;
}

}  // namespace

std::string why_behind(const ThinnerTrial& one, const ThinnerTrial& first) {
  std::vector<std::string> why;
  if (one.worst.strain > std::max(1.0, first.worst.strain + 0.02))
    why.push_back("the solvent left at the end dissolves the resin less well");
  if (one.limits.no_blush < first.limits.no_blush - 0.01)
    why.push_back(fmt::format("it blushes from {:.0f} % humidity instead of {:.0f} %", 100 * one.limits.no_blush,
                              100 * first.limits.no_blush));
  if (one.limits.no_mist < first.limits.no_mist - 0.03)
    why.push_back(fmt::format("it mists from {:.0f} % humidity instead of {:.0f} %", 100 * one.limits.no_mist,
                              100 * first.limits.no_mist));
  if (one.price_per_L > 1.05 * first.price_per_L)
    why.push_back(fmt::format("it costs {:.2f} a litre instead of {:.2f}", one.price_per_L, first.price_per_L));
  for (const std::string& fault : one.faults)
    if (std::find(first.faults.begin(), first.faults.end(), fault) == first.faults.end() &&
        (fault.starts_with("dries") || fault.starts_with("stays runny")))
      why.push_back("it " + fault);
  const auto parts = [](const ThinnerTrial& t) {
    return std::count_if(t.volume_fraction.begin(), t.volume_fraction.end(), [](double x) { return x > 0; });
  };
  if (why.empty() && parts(one) > parts(first)) why.push_back("it needs more solvents for the same result");
  if (why.empty()) why.push_back("the model sees no difference");
  return fmt::format("{}", fmt::join(why, "; "));
}

ThinnerRun dry_thinner(std::span<const ShelfSolvent> shelf, std::span<const double> volume_fraction,
                       const SprayedFilm& film) {
  expects(volume_fraction.size() == shelf.size(), "a share for each solvent of the shelf");
  const double solvent_m = film.wet_m * (1 - film.solids_frac);
  std::vector<Volatile> solvents = film.tin_solvents;
  WetFilm wet{{}, film.wet_m * film.solids_frac};
  double from_tin = 0;
  for (const double share : film.tin_volume_fraction) {
    wet.solvent_m.push_back(solvent_m * share);
    from_tin += share;
  }
  for (std::size_t i = 0; i < shelf.size(); ++i) {
    if (volume_fraction[i] <= 0) continue;
    const double laid_m = solvent_m * (1 - from_tin) * volume_fraction[i];
    const auto same =
        std::find_if(solvents.begin(), solvents.end(), [&](const Volatile& one) { return one.id == shelf[i].of.id; });
    if (same != solvents.end()) {
      wet.solvent_m[static_cast<std::size_t>(same - solvents.begin())] += laid_m;
      continue;
    }
    solvents.push_back(shelf[i].of);
    wet.solvent_m.push_back(laid_m);
  }
  Solution solution(std::move(solvents), film.film_former, film.air.temperature_K);
  EvaporationRun run = evaporate(solution, wet, film.air, until_set_left);
  return {std::move(solution), std::move(wet), std::move(run)};
}

std::vector<std::string> missed_wishes(const ThinnerTrial& trial, const Airflow& air, const ThinnerWishes& wishes) {
  std::vector<std::string> missed;
  if (trial.worst.staying != Staying::stays)
    missed.push_back(trial.worst.staying == Staying::unsure ? "may let the resin precipitate as it dries"
                                                            : "lets the resin precipitate as it dries");
  if (trial.limits.no_blush < air.relative_humidity)
    missed.push_back(fmt::format("blushes at {:.0f} % humidity", 100 * air.relative_humidity));
  else if (trial.limits.no_mist < air.relative_humidity)
    missed.push_back(fmt::format("mists at {:.0f} % humidity and must clear again", 100 * air.relative_humidity));
  if (trial.limits.no_blush >= air.relative_humidity &&
      trial.limits.no_blush < std::min(1.0, air.relative_humidity + wishes.spare_humidity_frac))
    missed.push_back(fmt::format("blushes once the air passes {:.0f} %", 100 * trial.limits.no_blush));
  if (trial.time_90_s < wishes.soonest_s)
    missed.push_back(fmt::format("dries fast: 90 % gone in {:.1f} min", trial.time_90_s / 60));
  if (trial.time_90_s > wishes.latest_s)
    missed.push_back(fmt::format("dries slowly: 90 % gone in {:.1f} min", trial.time_90_s / 60));
  if (trial.time_50_s > wishes.half_gone_ratio * trial.time_90_s)
    missed.push_back(
        fmt::format("stays runny after it lands: half its solvent takes {:.0f} % of the time that 90 % takes",
                    100 * trial.time_50_s / trial.time_90_s));
  return missed;
}

ThinnerTrial try_thinner(std::span<const ShelfSolvent> shelf, std::vector<double> volume_fraction,
                         const SprayedFilm& film, const ThinnerWishes& wishes, double highest_humidity) {
  ThinnerTrial trial;
  std::size_t parts = 0;
  for (std::size_t i = 0; i < shelf.size(); ++i) {
    trial.price_per_L += volume_fraction[i] * shelf[i].price_per_L;
    parts += volume_fraction[i] > 0;
  }
  const auto [solution, wet, run] = dry_thinner(shelf, volume_fraction, film);
  const Solubility solubility = solubility_along(run, solution);
  trial.volume_fraction = std::move(volume_fraction);
  trial.first = solubility.first, trial.worst = solubility.worst;
  trial.time_10_s = run.time_to_lose_s(0.1).value_or(0);
  trial.time_50_s = run.time_to_lose_s(0.5).value_or(0);
  trial.time_90_s = run.time_to_lose_s(0.9).value_or(0);
  trial.coldest_K = run.coldest_K();
  trial.limits = humidity_limits(solution, wet, film.air, highest_humidity);
  trial.blame = blame_of(trial.worst.strain, trial.limits.no_mist, trial.limits.no_blush, trial.time_50_s,
                         trial.time_90_s, film, wishes) +
                small_blame(trial.price_per_L, mean_price(shelf), parts);

  trial.faults = missed_wishes(trial, film.air, wishes);
  return trial;
}

namespace {
/// Moves tenths between the parts of a thinner as long as the whole model blames it less.
ThinnerTrial climbed(std::span<const ShelfSolvent> shelf, ThinnerTrial best, const SprayedFilm& film,
                     const ThinnerWishes& wishes) {
  constexpr double tenth = 1.0 / tenths, rounding = 1e-9;
  for (bool better = true; better;) {
    better = false;
    const ThinnerTrial from = best;
    for (std::size_t giver = 0; giver < shelf.size(); ++giver)
      for (std::size_t taker = 0; taker < shelf.size(); ++taker) {
        if (from.volume_fraction[taker] + tenth > shelf[taker].most_frac + rounding) continue;
        if (giver == taker || from.volume_fraction[giver] <= 0 || from.volume_fraction[taker] <= 0) continue;
        std::vector<double> shares = from.volume_fraction;
        shares[giver] -= tenth, shares[taker] += tenth;
        if (shares[giver] < rounding) shares[giver] = 0;
        ThinnerTrial trial = try_thinner(shelf, std::move(shares), film, wishes, spare_humidity(film, wishes));
        if (trial.blame < best.blame - rounding) best = std::move(trial), better = true;
      }
  }
  return best;
}
}  // namespace

std::vector<ThinnerTrial> design_thinner(std::span<const ShelfSolvent> shelf, const SprayedFilm& film,
                                         const ThinnerWishes& wishes, std::size_t answers) {
  expects(wishes.most_solvents >= 1 && wishes.most_solvents <= static_cast<int>(most_parts), "1 to 4 solvents");
  const QuickLook look(shelf, film, wishes);
  std::vector<QuickLook::Blend> blends = looked_at(look, shelf.size(), wishes.most_solvents);
  std::erase_if(blends, [](const QuickLook::Blend& blend) { return blend.blame >= cannot_be_poured; });
  blends.resize(std::min(blends.size(), tried_in_full));

  std::vector<ThinnerTrial> trials(blends.size());
  for_chunks(blends.size(), 8, [&](std::size_t begin, std::size_t end) {
    for (std::size_t b = begin; b < end; ++b) {
      std::vector<double> shares(shelf.size(), 0.0);
      for (std::size_t n = 0; n < blends[b].parts; ++n)
        shares[blends[b].which[n]] = blends[b].share[n] / static_cast<double>(tenths);
      trials[b] = try_thinner(shelf, std::move(shares), film, wishes, spare_humidity(film, wishes));
    }
  });
  std::stable_sort(trials.begin(), trials.end(), [](const auto& a, const auto& b) { return a.blame < b.blame; });

  for_chunks(std::min(trials.size(), bettered), 1, [&](std::size_t begin, std::size_t end) {
    for (std::size_t b = begin; b < end; ++b) trials[b] = climbed(shelf, std::move(trials[b]), film, wishes);
  });
  std::stable_sort(trials.begin(), trials.end(), [](const auto& a, const auto& b) { return a.blame < b.blame; });

  constexpr double too_alike = 0.7;
  std::vector<ThinnerTrial> chosen;
  for (ThinnerTrial& trial : trials) {
    if (chosen.size() == answers) break;
    if (std::any_of(chosen.begin(), chosen.end(), [&](const auto& one) { return shared(one, trial) > too_alike; }))
      continue;
    // Ranked by no more than the weather asks; what is answered holds to the end.
    trial = try_thinner(shelf, std::move(trial.volume_fraction), film, wishes);
    if (!chosen.empty()) trial.loses = why_behind(trial, chosen.front());
    chosen.push_back(std::move(trial));
  }
  return chosen;
}

}  // namespace witnessline::solvents

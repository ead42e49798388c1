#include "bench/check_chance.h"

#include <algorithm>
#include <cmath>

#include "base/random.h"
#include "bench/cold.h"
#include "bench/starters.h"
#include "bench/wear_unknowns.h"
#include "materials/properties.h"

namespace witnessline::bench {

namespace {

constexpr int draws = 300;

double log_sd(const Material& m, Property p) {
  const Datum* d = m.find(p);
  return d && d->value > 0 ? std::sqrt(std::log1p(d->sd * d->sd / (d->value * d->value))) : 0;
}

CheckDraw draw_of(int i) {
  CheckDraw z;
  for (std::size_t d = 0; d < z.size(); ++d)
    z[d] = normal(Key{}.with("checks").with(static_cast<std::uint64_t>(i)).with(d));
  return z;
}

/// Half a weight of what practice says of distances (recalled, weak).
double weight_of_practice(double distance_m) {
  const ConditionedWear& usual = wear_unknown(WearUnknown::check_distance);
  const double off = std::log(1e3 * distance_m / usual.value) / usual.sd_ln;
  return std::exp(-0.5 * off * off);
}

/// The value at this share of the weight.
double weighted_quantile(std::vector<std::pair<double, double>> values, double share) {
  std::sort(values.begin(), values.end());
  double sum = 0, so_far = 0;
  for (const auto& [value, weight] : values) sum += weight;
  for (const auto& [value, weight] : values)
    if ((so_far += weight) >= share * sum) return value;
  return values.back().first;
}

}  // namespace

Result<FilmsInCold> FilmsInCold::of(const FilmInCold& asked, const Material& film, const Material& wood,
                                    double tangential_share) {
  expects(asked.thickness_m > 0 && asked.area_m2 > 0, "a film has a thickness and an area");
  FilmsInCold made(asked);
  const auto known_film = cracking_film(film);
  const auto known_wood = cracking_wood(wood, tangential_share);
  std::vector<Error> faults;
  const auto take = [&](const std::vector<Error>& errors, const char* key) {
    for (Error e : errors) e.where.key = key, faults.push_back(std::move(e));
  };
  if (!known_film) take(known_film.errors(), "film");
  if (!known_wood) take(known_wood.errors(), "wood");
  if (!faults.empty()) return faults;
  made.film_ = *known_film, made.wood_ = *known_wood, made.usual_ = usual_plasticiser_frac(film.binder);
  made.doubts_ = {{{"toughness of the film", log_sd(film, Property::fracture_energy)},
                   {"expansion of the film", log_sd(film, Property::expansion)},
                   {"stiffness of the film", log_sd(film, Property::modulus)},
                   {"glass transition of the film", film.find(Property::glass_transition)->sd},
                   {"shrinking of the film as it cures", log_sd(film, Property::cure_shrinkage)},
                   {"expansion of the wood across the grain", 0.25},  // scatter of four woods, kubler1973
                   {"plasticiser in the film", 0.3},                  // ESTIMATE
                   {"number of flaws", 0.8},                          // ESTIMATE
                   {"depth of the flaws", 0.4},                       // ESTIMATE
                   {"thickness of the film", 0.12},                   // ESTIMATE: from place to place
                   {"temperature the film reaches", 3.0}}};           // ESTIMATE
  made.survive();
  return made;
}

double FilmsInCold::grown(CheckUncertainty what, const CheckDraw& z) const {
  const auto d = static_cast<std::size_t>(what);
  return std::exp(doubts_[d].sd * z[d]);
}

CheckDrive FilmsInCold::drive(double to_K, const CheckDraw& z) const {
  using enum CheckUncertainty;
  const auto moved_K = [&](CheckUncertainty what) {
    return doubts_[static_cast<std::size_t>(what)].sd * z[static_cast<std::size_t>(what)];
  };
  CrackingFilm film = film_;
  film.fracture_energy_J_m2 *= grown(toughness, z), film.expansion_per_K *= grown(film_expansion, z);
  film.elastic.modulus_Pa *= grown(modulus, z), film.glass_transition_K += moved_K(transition);
  film.cure_shrinkage_frac *= grown(shrinkage, z);
  CrackingWood wood = wood_;
  wood.expansion_per_K.across *= grown(wood_expansion, z);
  FilmAge age{asked_.stood_s, asked_.plasticiser_frac.value_or(usual_) * grown(supple, z)};
  ColdHistory past = history_of_cold(to_K + moved_K(cold), asked_.shocks, asked_.by, asked_.room_K, asked_.wood_m);
  past.room_humidity = asked_.room_humidity.value_or(past.laid_humidity);
  const CoatPull pull = pull_of(film, age, usual_, wood, past);
  const double deep_m = asked_.thickness_m * grown(thickness, z);
  return {{&pull, 1}, {&deep_m, 1}, wood};
}

/// A check runs a quarter of the root of the area before it meets an edge or another: 115 mm of 485 mm in two cases
/// grown on a slab body (ESTIMATE).
ExpectedChecks FilmsInCold::expected(double to_K, const CheckDraw& z) const {
  return expected_checks(drive(to_K, z), {flaws_per_m2 * grown(CheckUncertainty::flaw_count, z),
                                          flaw_depth_share * grown(CheckUncertainty::flaw_depth, z), 0.28, 0.012,
                                          0.25 * std::sqrt(asked_.area_m2)});
}

double FilmsInCold::opening_K(const CheckDraw& z) const {
  double low = coldest_followed_K, high = asked_.room_K;
  const auto opens = [&](double at_K) { return expected(at_K, z).per_m2 * asked_.area_m2 >= 1; };
  if (!opens(low)) return low;
  if (opens(high)) return high;
  while (high - low > 0.25) {
    const double middle = (low + high) / 2;
    (opens(middle) ? low : high) = middle;
  }
  return low;
}

/// How likely a film of that draw shows no check yet, after the coldest it has been through.
double FilmsInCold::unchecked(const CheckDraw& z) const {
  return std::exp(-expected(asked_.unchecked_K.value_or(asked_.room_K - room_swing_K), z).per_m2 * asked_.area_m2);
}

/// Law: three times as many draws as are kept, resampled by how likely each has come through unchecked.
void FilmsInCold::survive() {
  constexpr int tried = 900;
  std::vector<double> up_to;
  std::vector<CheckDraw> all;
  double sum = 0;
  for (int i = 0; i < tried; ++i) {
    all.push_back(draw_of(i));
    sum += std::max(1e-9, unchecked(all.back()));
    up_to.push_back(sum);
  }
  for (int i = 0; i < draws; ++i) {
    const double at = (i + 0.5) / draws * sum;
    alike_.push_back(all[static_cast<std::size_t>(std::lower_bound(up_to.begin(), up_to.end(), at) - up_to.begin())]);
  }
}

CheckDraw FilmsInCold::usual() const {
  CheckDraw mean{};
  for (const CheckDraw& z : alike_)
    for (std::size_t d = 0; d < mean.size(); ++d) mean[d] += z[d] / draws;
  return mean;
}

ColdOutcome FilmsInCold::outcome(double to_K) const {
  ColdOutcome cold;
  double model_too_far = 0;
  std::vector<std::pair<double, double>> distances;
  for (const CheckDraw& z : alike_) {
    const ExpectedChecks e = expected(to_K, z);
    const double count = e.per_m2 * asked_.area_m2, none_opens = std::exp(-count);
    const double one_or_two = none_opens * count * (1 + count / 2), more = 1 - none_opens - one_or_two;
    cold.opens += (1 - none_opens) / draws, cold.few += one_or_two / draws;
    model_too_far += (e.spacing_m() < asked_.closest_m ? 1.0 : 0.0) / draws;
    // One or two have no distance, and none is further from the next than the place is wide.
    if (more > 0.5 && e.spacing_m() < std::sqrt(asked_.area_m2))
      distances.emplace_back(e.spacing_m(), weight_of_practice(e.spacing_m()));
  }
  cold.too_far = model_too_far;
  set_distance(cold, distances);
  return cold;
}

/// Found evidence decides: distance as counted, in this film's thickness, and whether that is closer than asked.
void FilmsInCold::set_distance(ColdOutcome& cold, const std::vector<std::pair<double, double>>& drawn) const {
  const std::optional<CountedChecks> counted = counted_checks(asked_.found);
  if (counted && counted->counted > 0) {
    const double middle_m = 1 / counted->in_film(asked_.thickness_m).per_m();
    const double sd_ln = std::hypot(0.3, 1 / std::sqrt(static_cast<double>(counted->counted)));  // ESTIMATE, and counts
    const double closer = 0.5 * std::erfc(std::log(middle_m / asked_.closest_m) / (sd_ln * std::sqrt(2.0)));
    cold.too_far = (cold.opens - cold.few) * closer;
    cold.as_counted = true;
    if (drawn.size() < draws / 10) return;
    cold.distance_m = middle_m, cold.distance = {middle_m * std::exp(-1.28 * sd_ln), middle_m * std::exp(1.28 * sd_ln)};
    return;
  }
  if (drawn.size() < draws / 10) return;
  const Band band{weighted_quantile(drawn, 0.1), weighted_quantile(drawn, 0.9)};
  if (band.high > 10 * band.low) return;  // that is no number
  cold.distance_m = weighted_quantile(drawn, 0.5), cold.distance = band;
}

}  // namespace witnessline::bench

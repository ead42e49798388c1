#include "bench/enough.h"

#include <algorithm>
#include <cmath>

#include "base/random.h"

namespace witnessline::bench {

namespace {

double normal_share_below(double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); }

/// The lognormal with the mean and variance of the sum of two. Values given are medians.
Spread sum_of(const Spread& a, const Spread& b) {
  if (a.value <= 0) return b;
  if (b.value <= 0) return a;
  const auto mean = [](const Spread& s) { return s.value * std::exp(0.5 * s.log_sd * s.log_sd); };
  const auto variance = [&](const Spread& s) { return mean(s) * mean(s) * std::expm1(s.log_sd * s.log_sd); };
  const double m = mean(a) + mean(b), v = variance(a) + variance(b);
  const double log_variance = std::log1p(v / (m * m));
  return {m * std::exp(-0.5 * log_variance), std::sqrt(log_variance)};
}

double squares(std::initializer_list<double> values) {
  double sum = 0;
  for (const double v : values) sum += v * v;
  return sum;
}

}  // namespace

Filling filling_of(Applicator with) {
  switch (with) {
    case Applicator::gun:
      break;
    case Applicator::small_gun:
      return {125e-6, 6e-6};
    case Applicator::airbrush:
      return {7e-6, 1e-6};
    case Applicator::brush:
      return {50e-6, 1e-6};
  }
  return {600e-6, 20e-6};
}

Applicator usual_applicator(double paint_m3) {
  for (const Applicator small : {Applicator::airbrush, Applicator::small_gun})
    if (paint_m3 <= 2 * filling_of(small).cup_m3) return small;
  return Applicator::gun;
}

double with_edges_m2(double area_m2, double edge_m, double overshoot_m) { return area_m2 + edge_m * overshoot_m; }

Need needed(const Covering& c) {
  const Spread area = sum_of(c.area_m2, c.panels_m2);
  Need need;
  need.fixed_m3 = c.fillings * c.lost_m3;
  const double laid_m3 = area.value * c.film_m.value / (c.volume_solids.value * c.transfer.value);
  need.log_sd = std::sqrt(squares({area.log_sd, c.film_m.log_sd, c.volume_solids.log_sd, c.transfer.log_sd}));
  need.middle_m3 = laid_m3 + need.fixed_m3;
  need.band_m3 = {laid_m3 * std::exp(-1.96 * need.log_sd) + need.fixed_m3,
                  laid_m3 * std::exp(1.96 * need.log_sd) + need.fixed_m3};
  return need;
}

double chance_enough(const Covering& c, const Spread& have) {
  const Need need = needed(c);
  const double laid_m3 = need.middle_m3 - need.fixed_m3, spare_m3 = have.value - need.fixed_m3;
  if (spare_m3 <= 0) return 0;
  // The loss is fixed, so what is left of the tin spreads more, in proportion, than the tin.
  const double spare_log_sd = have.log_sd * have.value / spare_m3;
  const double log_sd = std::sqrt(squares({need.log_sd, spare_log_sd}));
  if (log_sd <= 0) return spare_m3 >= laid_m3 ? 1 : 0;
  return normal_share_below(std::log(spare_m3 / laid_m3) / log_sd);
}

double chance_enough_drawn(const Covering& c, const Spread& have, std::uint64_t seed, int draws) {
  int enough = 0;
  for (int i = 0; i < draws; ++i) {
    const Key key = Key{seed}.with("enough").with(static_cast<std::uint64_t>(i));
    const auto draw = [&](const Spread& s, std::uint64_t n) {
      return s.value * std::exp(s.log_sd * normal(key.with(n)));
    };
    const double need_m3 = (draw(c.area_m2, 1) + draw(c.panels_m2, 2)) * draw(c.film_m, 3) /
                               (draw(c.volume_solids, 4) * draw(c.transfer, 5)) +
                           c.fillings * c.lost_m3;
    enough += draw(have, 6) >= need_m3;
  }
  return static_cast<double>(enough) / draws;
}

double chance_it_sprays(std::optional<TinVerdict> verdict) {
  constexpr double not_tried = 0.95, on_scrap_first = 0.80;
  if (!verdict) return not_tried;
  switch (*verdict) {
    case TinVerdict::use:
      return 1 - unforeseen;
    case TinVerdict::prove_on_scrap:
      return on_scrap_first;
    case TinVerdict::do_not_use:
      break;
  }
  return unforeseen;
}

Enough enough_of(const Covering& covering, const Spread& have, double sprays, double hidden_share,
                 double least_film_m) {
  constexpr double sure = 0.9;
  Enough e;
  e.need = needed(covering);
  e.chance_there_is = chance_enough(covering, have);
  e.chance = bounded_chance(e.chance_there_is * sprays);
  e.plenty = e.chance_there_is >= sure;
  e.offers = give_up(covering, have, hidden_share, least_film_m);
  for (GivenUp& offer : e.offers)
    offer.chance = bounded_chance(offer.chance * sprays),
    offer.chance_with = bounded_chance(offer.chance_with * sprays);
  return e;
}

std::vector<GivenUp> give_up(const Covering& c, const Spread& have, double hidden_share, double least_film_m) {
  std::vector<GivenUp> list;
  Covering so_far = c;
  const auto offer = [&](std::string what, auto change) {
    Covering alone = c;
    change(alone), change(so_far);
    list.push_back({std::move(what), chance_enough(alone, have), chance_enough(so_far, have)});
  };
  if (c.fillings > 1)
    offer("all but one filling of the gun: lay it in one go, a small cup, a strainer rinsed into the cup",
          [](Covering& x) { x.fillings = 1; });
  if (c.panels_m2.value > 0)
    offer("half of the panels: keep one card beside the job and one spray-out on scrap",
          [](Covering& x) { x.panels_m2.value *= 0.5; });
  if (c.transfer.value < 0.6)
    offer("mist beside the work: low pressure, a narrow fan, closer, until six tenths land",
          [](Covering& x) { x.transfer.value = 0.6; });
  if (hidden_share > 0)
    offer("what does not show: there a match from fresh material does",
          [&](Covering& x) { x.area_m2.value *= 1 - hidden_share; });
  if (least_film_m > 0 && least_film_m < c.film_m.value)
    offer("build: lay the thinnest film that serves, and take the level from clear coats",
          [&](Covering& x) { x.film_m.value = least_film_m; });
  return list;
}

}  // namespace witnessline::bench

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "bench/ageing_laws.h"
#include "history/history_sample.h"

namespace witnessline::history {

namespace {

class Gathering {
 public:
  Gathering(const LifeEvidence& from, Ask& ask) : from_(from), ask_(ask) {}

  Result<std::vector<Observation>> all() {
    for (std::size_t i = 0; i < from_.yellow.size(); ++i) yellow(from_.yellow[i], fmt::format("yellow[{}]", i + 1));
    for (std::size_t i = 0; i < from_.sheen.size(); ++i) sheen(from_.sheen[i], fmt::format("sheen[{}]", i + 1));
    for (const CheckCount& c : from_.checks) {
      const bool across = c.run == CheckRun::across;
      Observation s{across ? Observation::Kind::checks_across : Observation::Kind::checks_along,
                    across ? Driver::cold : Driver::seasons, c.name, static_cast<double>(c.counted)};
      s.film_m = c.film_m, s.over_m = c.over_m;
      found_.push_back(s);
    }
    for (const StringWear& w : from_.string_wear) {
      Observation s{Observation::Kind::string_wear, Driver::play, w.name, w.depth_m, w.sd_m, 0.3e-3};
      s.which = w.part == WornPart::fret ? 0 : 1;
      found_.push_back(s);
    }
    for (std::size_t i = 0; i < from_.film_wear.size(); ++i) {
      const FilmWear& w = from_.film_wear[i];
      const double sd_m = w.sd_m * std::sqrt(2.0);
      if (w.left_m > w.whole_m + 2 * sd_m)
        fault(fmt::format("film_wear[{}].left_um", i + 1), "more is left in the worn place than beside it",
              "at most whole_um", "measure both again, or change them over");
      Observation s{Observation::Kind::film_wear, Driver::play, w.name, w.whole_m - w.left_m, sd_m, 40e-6};
      s.film_m = w.whole_m, s.which = static_cast<std::size_t>(w.by);
      found_.push_back(s);
    }
    for (const MetalPart& m : from_.metal)
      found_.push_back({Observation::Kind::tarnish, Driver::age, m.name, static_cast<double>(m.tarnish)});
    constexpr double grades_kg_m2[] = {0.05e-3, 0.2e-3, 0.7e-3, 2e-3};  // ESTIMATE: about 1 g/m2 is visibly dirty
    for (const DirtFound& d : from_.dirt)
      found_.push_back({Observation::Kind::dirt, Driver::dirt, d.name,
                        std::log(grades_kg_m2[static_cast<std::size_t>(d.dirt)] / 1e-3), 0.5, 1.5});
    if (!faults_.empty()) return faults_;
    ask_.grounds = grounds_.size();
    return std::move(found_);
  }

 private:
  void fault(std::string key, std::string what, std::string expected, std::string fix) {
    faults_.push_back({std::move(what), {"", 0, 0, std::move(key)}, std::move(expected), std::move(fix)});
  }

  void yellow(const YellowSpot& y, const std::string& key) {
    if (y.yellowness.has_value() == !y.lab.empty())
      return fault(key, y.lab.empty() ? "neither yellowness nor lab is given" : "both yellowness and lab are given",
                   "one of the two", "");
    if (y.lamp != Lamp::C && y.lamp != Lamp::D65)
      return fault(key + ".lamp", "the yellowness index is defined for lamps C and D65 only", "C or D65",
                   "read it again under D65");
    double seen = y.yellowness.value_or(0);
    if (!y.lab.empty()) {
      if (y.lab.size() != 3 || !(y.lab[0] > 5 && y.lab[0] <= 100) || std::abs(y.lab[1]) > 128 ||
          std::abs(y.lab[2]) > 128)
        return fault(key + ".lab", "is no L*, a*, b* of a light spot", "three numbers, L* from 5 to 100", "");
      seen =
          yellowness_e313(to_xyz({y.lab[0], y.lab[1], y.lab[2]}, white_point(y.lamp, y.observer)), y.observer, y.lamp);
    }
    const auto at = std::find(grounds_.begin(), grounds_.end(), y.over);
    Observation s{Observation::Kind::yellow, Driver::light, y.name, seen, y.sd, 20};
    s.which = static_cast<std::size_t>(at - grounds_.begin());
    if (at == grounds_.end()) grounds_.push_back(y.over);
    constexpr double to_room[] = {1, 0, -1};
    s.share = y.exposure == Exposure::covered ? 0 : light_share(to_room[static_cast<std::size_t>(y.exposure)]);
    s.film_m = y.film_m;
    found_.push_back(s);
  }

  void sheen(const SheenSpot& g, const std::string& key) {
    const bool cards = g.card_below && g.card_above;
    if (g.gloss_60.has_value() == (g.card_below || g.card_above) || (!g.gloss_60 && !cards))
      return fault(key, g.gloss_60 ? "both a meter reading and cards are given" : "no meter reading and not both cards",
                   "gloss_60, or card_below and card_above", "");
    if (cards && !(*g.card_below < *g.card_above))
      return fault(key + ".card_below", "the duller card is not duller than the brighter one", "less than card_above",
                   "change them over");
    // Between two cards everything is alike: sd of an even distribution, with the eye's own 3 units.
    const double seen = cards ? 0.5 * (*g.card_below + *g.card_above) : *g.gloss_60;
    const double sd = cards ? std::hypot((*g.card_above - *g.card_below) / std::sqrt(12.0), 3.0) : g.sd;
    Observation s{
        Observation::Kind::sheen, g.handling == Handling::none ? Driver::age : Driver::handling, g.name, seen, sd, 30};
    constexpr double handled[] = {0, 0.3, 1};  // ESTIMATE
    s.share = handled[static_cast<std::size_t>(g.handling)];
    found_.push_back(s);
  }

  const LifeEvidence& from_;
  Ask& ask_;
  std::vector<Observation> found_;
  std::vector<std::string> grounds_;
  std::vector<Error> faults_;
};

}  // namespace

Result<std::vector<Observation>> sightings_of(const LifeEvidence& evidence, Ask& ask) {
  // Not dated: anything from a few years to more than a hundred.
  ask.age_s = evidence.age_s.value_or(40 * unit::year.scale), ask.log_sd = evidence.age_s ? 0 : 0.7;
  if (evidence.age_s) {
    const double sd_s = evidence.age_sd_s.value_or(std::max(unit::year.scale, 0.1 * *evidence.age_s));
    ask.log_sd = std::sqrt(std::log1p(sd_s * sd_s / (*evidence.age_s * *evidence.age_s)));
  }
  ask.strap = evidence.strap;
  return Gathering(evidence, ask).all();
}

}  // namespace witnessline::history

#include "match/characterise.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/parallel.h"
#include "match/fit_bands.h"
#include "match/noise_in_words.h"

namespace witnessline::match {

namespace {

constexpr double middling_log_absorption = -1.2;  // ESTIMATE: log 0.3, a film of middling strength
constexpr double middling_log_scattering = 0.0;   // ESTIMATE: a film that scatters about as much as it passes

// Where there are hardly more readings than constants the priors hold those; so much of the readings is left. ESTIMATE
constexpr double least_share_left = 0.25;

// Neighbouring bands misfit together: so many of them count as one. ESTIMATE
constexpr double bands_alike = 6;

double mean(const Spectrum& s) { return std::accumulate(s.at.begin(), s.at.end(), 0.0) / bands; }

// Grounds this near each other count as one [1].
constexpr double grounds_differ = 0.1;  // ESTIMATE

void check(const FilmReading& reading, std::size_t colorants, std::vector<Error>& faults) {
  const auto fault = [&](const std::string& what, const std::string& expected, const std::string& fix) {
    faults.push_back({fmt::format("sample '{}': {}", reading.sample, what), reading.where, expected, fix});
  };
  if (reading.shares.size() != colorants)
    return fault(fmt::format("{} shares for {} colorants", reading.shares.size(), colorants), "one share per colorant",
                 "");
  double sum = 0;
  for (const double share : reading.shares) {
    if (!(share >= 0) || !std::isfinite(share)) return fault("a share is below zero or not a number", "0 or more", "");
    sum += share;
  }
  if (std::abs(sum - 1) > 1e-6) return fault("the shares do not sum to 1", "shares of the whole", "");
  if (!(reading.thickness_ratio > 0) || !std::isfinite(reading.thickness_ratio) || !(reading.thickness_log_sd >= 0))
    return fault("the thickness is not above zero", "a thickness above zero", "leave it out where it is not known");
  if (reading.over.empty()) return fault("no ground was read", "a film and its bare ground", "");
  for (const OverGround& over : reading.over)
    for (int b = 0; b < bands; ++b)
      for (const double r : {over.ground[b], over.film[b]}) {
        if (!std::isfinite(r)) return fault("a reading is not a number", "a reflectance from 0 to 1", "");
        if (r > 1.5)
          return fault(fmt::format("reflectance {:g} at {:g} nm", r, band_nm(b)), "a factor from 0 to 1",
                       "per cent? divide by 100");
        if (r < 0)
          return fault(fmt::format("reflectance {:g} at {:g} nm", r, band_nm(b)), "0 or more", "read it again");
      }
}

// A film cannot both lie nearer to white over the dark ground and nearer to black over the light one.
bool grounds_changed_over(const FilmReading& reading) {
  for (const OverGround& a : reading.over)
    for (const OverGround& b : reading.over)
      if (mean(a.ground) > mean(b.ground) + grounds_differ && mean(a.film) < mean(b.film) - 0.02) return true;
  return false;
}

bool over_two_grounds(const FilmReading& reading) {
  double dark = 1e300, light = 0;
  for (const OverGround& over : reading.over)
    dark = std::min(dark, mean(over.ground)), light = std::max(light, mean(over.ground));
  return light - dark > grounds_differ;
}

// How a colorant's K could be told from its S.
enum class Separation { none, by_thickness, by_mixture, by_grounds };

Separation separation(std::size_t colorant, const std::vector<FilmReading>& readings) {
  Separation best = Separation::none;
  double thinnest = 1e300, thickest = 0;
  for (const FilmReading& r : readings) {
    if (!(r.shares[colorant] > 0)) continue;
    if (over_two_grounds(r)) return Separation::by_grounds;
    if (r.shares[colorant] < 0.999) best = Separation::by_mixture;
    if (r.thickness_log_sd < 0.2)
      thinnest = std::min(thinnest, r.thickness_ratio), thickest = std::max(thickest, r.thickness_ratio);
  }
  return best == Separation::none && thickest > 1.2 * thinnest ? Separation::by_thickness : best;
}

bool alike(const std::vector<double>& a, const std::vector<double>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](double x, double y) { return std::abs(x - y) < 1e-3; });  // what scales and pipettes resolve
}

class Fitting {
 public:
  Fitting(const std::vector<std::string>& names, const std::vector<FilmReading>& readings, const FilmFit& fit)
      : colorants_(names.size()),
        readings_(readings),
        fit_(fit),
        kin_(kin_of(names)),
        thickness_(readings.size()),
        weight_(readings.size()) {
    const std::size_t colorants = colorants_;
    for (std::size_t r = 0; r < readings.size(); ++r)
      weight_[r] = 1.0 / static_cast<double>(std::count_if(readings.begin(), readings.end(), [&](const FilmReading& o) {
                     return &o == &readings[r] || (fit.alike_as_one && alike(o.shares, readings[r].shares));
                   }));
    for (std::size_t r = 0; r < readings.size(); ++r) thickness_[r] = readings[r].thickness_ratio;
    LogConstants start(2 * colorants, middling_log_scattering);
    std::fill_n(start.begin(), colorants, middling_log_absorption);
    constants_.assign(bands, start);
  }

  void run() {
    // Where every thickness is known only the pooled means have to settle.
    const bool loose =
        std::any_of(readings_.begin(), readings_.end(), [](const FilmReading& r) { return r.thickness_log_sd > 0; });
    const int rounds = loose ? fit_.rounds : std::min(fit_.rounds, 2);
    for (int round = 0; round < rounds; ++round) {
      // Twice, so that the means log S is pooled to are those of this round.
      fit_constants(nullptr);
      if (fit_.pooling > 0) fit_constants(nullptr);
      if (round + 1 < rounds) fit_thicknesses();
    }
  }

  ColorantSet result(const std::vector<std::string>& names) {
    std::vector<Matrix> covariance(bands, Matrix(0, 0));
    fit_constants(&covariance);
    ColorantSet set = as_it_stands();
    for (std::size_t i = 0; i < colorants_; ++i) set.colorants[i].name = names[i];
    set.log_covariance = std::move(covariance);
    set.thickness_ratio = thickness_;
    return set;
  }

 private:
  void fit_constants(std::vector<Matrix>* covariance) {
    std::vector<double> pooled(colorants_, 0.0);
    for (const LogConstants& at : constants_)
      for (std::size_t i = 0; i < colorants_; ++i) pooled[i] += at[colorants_ + i] / bands;
    const std::vector<LogConstants> before = constants_;
    for_chunks(bands, 1, [&](std::size_t begin, std::size_t end) {
      for (std::size_t b = begin; b < end; ++b) {
        Pull pull{std::vector<double>(2 * colorants_, middling_log_absorption),
                  std::vector<double>(2 * colorants_, fit_.prior)};
        const double prior2 = fit_.prior * fit_.prior, pooling2 = fit_.pooling * fit_.pooling;
        for (std::size_t i = 0; i < colorants_; ++i) {
          pull.towards[colorants_ + i] =
              pooling2 + prior2 > 0 ? (prior2 * middling_log_scattering + pooling2 * pooled[i]) / (prior2 + pooling2)
                                    : 0;
          pull.firmness[colorants_ + i] = std::sqrt(prior2 + pooling2);
          lean_on_kin(i, before[b], pull), lean_on_kin(colorants_ + i, before[b], pull);
        }
        constants_[b] = fit_band(static_cast<int>(b), readings_, thickness_, weight_, constants_[b], pull, fit_,
                                 covariance ? &(*covariance)[b] : nullptr);
      }
    });
  }

  // `which`: of log K of every colorant, then log S.
  void lean_on_kin(std::size_t which, const LogConstants& at, Pull& pull) const {
    const std::size_t first = which < colorants_ ? 0 : colorants_;
    const std::vector<std::size_t>& kin = kin_[which - first];
    if (kin.empty() || fit_.kinship <= 0) return;
    double of_kin = 0;
    for (const std::size_t k : kin) of_kin += at[first + k] / static_cast<double>(kin.size());
    const double own2 = pull.firmness[which] * pull.firmness[which], kin2 = fit_.kinship * fit_.kinship;
    pull.towards[which] = (own2 * pull.towards[which] + kin2 * of_kin) / (own2 + kin2);
    pull.firmness[which] = std::sqrt(own2 + kin2);
  }

  void fit_thicknesses() {
    const ColorantSet set = as_it_stands();
    double drift = 0;
    int loose = 0;
    for (std::size_t r = 0; r < readings_.size(); ++r) {
      if (readings_[r].thickness_log_sd == 0) continue;
      thickness_[r] = thickness_from_reading(set, readings_[r], fit_.misfit).ratio;
      drift += std::log(thickness_[r] / readings_[r].thickness_ratio), ++loose;
    }
    // The unit of thickness is that of the set's typical film; only where no thickness is known does it have to be
    // held.
    if (loose == static_cast<int>(readings_.size()))
      for (double& t : thickness_) t *= std::exp(-drift / loose);
  }

  ColorantSet as_it_stands() const {
    ColorantSet set;
    set.face = fit_.face;
    for (std::size_t i = 0; i < colorants_; ++i) {
      ColorantModel model;
      for (int b = 0; b < bands; ++b) {
        const LogConstants& at = constants_[static_cast<std::size_t>(b)];
        model.absorption[b] = std::exp(at[i]), model.scattering[b] = std::exp(at[colorants_ + i]);
      }
      set.colorants.push_back(model);
    }
    return set;
  }

  std::size_t colorants_;
  const std::vector<FilmReading>& readings_;
  const FilmFit& fit_;
  std::vector<std::vector<std::size_t>> kin_;
  std::vector<double> thickness_, weight_;
  std::vector<LogConstants> constants_;  // a band
};

MixedFilm mixed(const ColorantSet& set, const std::vector<double>& shares, int band) {
  MixedFilm film;
  for (std::size_t i = 0; i < shares.size(); ++i) {
    film.absorption += shares[i] * set.colorants[i].absorption[band];
    film.scattering += shares[i] * set.colorants[i].scattering[band];
  }
  return film;
}

void say_uncertainty(ColorantSet& set, const std::vector<FilmReading>& readings, const FilmFit& fit) {
  double squares = 0, counted_squares = 0, count = 0;
  for (std::size_t r = 0; r < readings.size(); ++r)
    for (const OverGround& over : readings[r].over)
      for (int b = 0; b < bands; ++b) {
        const double made = film_reading(set, readings[r].shares, set.thickness_ratio[r], over.ground, b);
        const double off = made - over.film[b], counts = counted(made, fit) - counted(over.film[b], fit);
        squares += off * off, counted_squares += counts * counts, ++count;
      }
  set.misfit = std::sqrt(squares / count);
  const int n = static_cast<int>(set.colorants.size());
  // The readings that fixed the constants and the thicknesses cannot show how far these are off: what is left counts.
  double loose = 0, films = 0;
  for (const FilmReading& r : readings) loose += r.thickness_log_sd > 0, films += static_cast<double>(r.over.size());
  const double fixed = 2.0 * n + loose * bands_alike / bands;
  const double variance = counted_squares / count * films / std::max(films - fixed, least_share_left * films);
  for (int b = 0; b < bands; ++b) {
    Matrix& covariance = set.log_covariance[static_cast<std::size_t>(b)];
    for (int c = 0; c < 2 * n; ++c)
      for (int r = 0; r < 2 * n; ++r) covariance(r, c) *= variance;
    for (int i = 0; i < n; ++i) {
      ColorantModel& model = set.colorants[static_cast<std::size_t>(i)];
      model.absorption_log_sd[b] = std::sqrt(std::max(covariance(i, i), 0.0));
      model.scattering_log_sd[b] = std::sqrt(std::max(covariance(n + i, n + i), 0.0));
    }
  }
}

}  // namespace

FilmFit plain_two_constant_fit() {
  FilmFit plain;
  plain.face = {0.04, 0.6};
  plain.misfit = 0, plain.pooling = 0, plain.prior = 1e-3, plain.kinship = 0, plain.alike_as_one = false,
  plain.rounds = 1;
  return plain;
}

std::vector<std::vector<std::size_t>> kin_of(const std::vector<std::string>& names) {
  // The family of a colorant goes by the shortest name that its own begins with.
  std::vector<std::size_t> family(names.size());
  for (std::size_t i = 0; i < names.size(); ++i) {
    family[i] = i;
    for (std::size_t j = 0; j < names.size(); ++j)
      if (names[i].starts_with(names[j] + "_") && names[j].size() < names[family[i]].size()) family[i] = j;
  }
  std::vector<std::vector<std::size_t>> kin(names.size());
  for (std::size_t i = 0; i < names.size(); ++i)
    for (std::size_t j = 0; j < names.size(); ++j)
      if (i != j && family[i] == family[j]) kin[i].push_back(j);
  return kin;
}

Result<ColorantSet> characterise(const std::vector<std::string>& names, const std::vector<FilmReading>& readings,
                                 const FilmFit& fit) {
  std::vector<Error> faults;
  if (names.empty() || readings.empty())
    return Error{"there are no colorants, or no films to characterise them from", {}, "", ""};
  for (const FilmReading& reading : readings) {
    const std::size_t before = faults.size();
    check(reading, names.size(), faults);
    if (faults.size() == before && grounds_changed_over(reading))
      faults.push_back(
          {fmt::format("sample '{}': the film is lighter over the dark ground than over the light one", reading.sample),
           reading.where, "the lighter reading over the lighter ground",
           "were black and white swapped? swap them back"});
  }
  if (!faults.empty()) return faults;

  std::vector<Note> notes;
  std::vector<bool> separated(names.size(), true);
  for (std::size_t i = 0; i < names.size(); ++i) {
    const Separation how = separation(i, readings);
    separated[i] = how != Separation::none;
    if (how == Separation::none)
      notes.push_back({Severity::caution,
                       fmt::format("{} was read alone over one ground: absorption and scattering cannot be separated: "
                                   "draw it down over black and white, or mix it with a white that was.",
                                   names[i]),
                       names[i]});
    if (how == Separation::by_thickness)
      notes.push_back({Severity::caution,
                       fmt::format("{} was read over one ground at several thicknesses only: absorption and scattering "
                                   "are poorly separated. Its mixtures may be predicted badly.",
                                   names[i]),
                       names[i]});
  }
  if (std::none_of(separated.begin(), separated.end(), [](bool yes) { return yes; }))
    return Error{"one ground alone cannot separate absorption from scattering for any of the colorants",
                 readings[0].where, "each film over a black and a white ground, or mixtures",
                 "draw the colorants down over black and white"};

  Fitting fitting(names, readings, fit);
  fitting.run();
  ColorantSet set = fitting.result(names);
  for (std::size_t i = 0; i < names.size(); ++i) set.colorants[i].separated = separated[i];
  say_uncertainty(set, readings, fit);
  set.notes = std::move(notes);
  if (std::none_of(readings.begin(), readings.end(), over_two_grounds))
    set.notes.push_back({Severity::caution,
                         "No film was read over two grounds: how far these hide is not known, only how they mix where "
                         "they hide. Draw one down over black and white before a thin coat is reckoned with.",
                         ""});
  for (Note& note : describe_noise(set, readings)) set.notes.push_back(std::move(note));
  return set;
}

double film_reading(const ColorantSet& set, const std::vector<double>& shares, double thickness_ratio,
                    const Reflectance& ground, int band) {
  return film_reflectance(mixed(set, shares, band), thickness_ratio, ground_inside(ground[band], set.face), set.face);
}

FilmThickness thickness_from_reading(const ColorantSet& set, const FilmReading& reading, double misfit) {
  if (reading.thickness_log_sd == 0) return {reading.thickness_ratio, 0};
  const double limit = misfit > 0 ? misfit : 0.02;
  std::vector<MixedFilm> films;
  for (int b = 0; b < bands; ++b) films.push_back(mixed(set, reading.shares, b));
  const auto unlikely = [&](double log_ratio) {
    double sum = 0;
    for (const OverGround& over : reading.over)
      for (int b = 0; b < bands; ++b)
        sum += huber(film_reflectance(films[static_cast<std::size_t>(b)], reading.thickness_ratio * std::exp(log_ratio),
                                      ground_inside(over.ground[b], set.face), set.face) -
                         over.film[b],
                     limit);
    const double from_prior = log_ratio / reading.thickness_log_sd;
    return sum / (limit * limit * bands_alike) + from_prior * from_prior;
  };
  double best = 0, least = unlikely(0);
  const auto try_at = [&](double x) {
    const double u = unlikely(x);
    if (u < least) least = u, best = x;
  };
  // A grid first: over a ground of its own colour a film may have two likely thicknesses.
  for (int i = -20; i <= 20; ++i) try_at(0.1 * i);
  for (double step = 0.05; step > 1e-3; step /= 2) {
    const double centre = best;
    try_at(centre - step), try_at(centre + step);
  }
  const double h = 0.02, bend = (unlikely(best + h) + unlikely(best - h) - 2 * least) / (2 * h * h);
  const double sd = bend > 0 ? std::min(1 / std::sqrt(bend), reading.thickness_log_sd) : reading.thickness_log_sd;
  return {reading.thickness_ratio * std::exp(best), sd};
}

Result<Prediction> predict(const ColorantSet& set, const std::vector<double>& shares, const Reflectance& ground,
                           FilmThickness thickness) {
  FilmReading asked{"to predict", shares, thickness.ratio, thickness.log_sd, {{ground, ground}}, {}};
  std::vector<Error> faults;
  check(asked, set.colorants.size(), faults);
  if (!faults.empty()) return faults;
  for (std::size_t i = 0; i < shares.size(); ++i)
    if (shares[i] > 0 && !set.colorants[i].separated)
      return Error{fmt::format("{} has no absorption and scattering of its own", set.colorants[i].name),
                   {},
                   "a colorant read over two grounds or in mixtures",
                   "draw it down over black and white"};
  const std::size_t n = shares.size();
  Prediction p;
  Reflectance one_sd_off;
  for (int b = 0; b < bands; ++b) {
    const MixedFilm film = mixed(set, shares, b);
    const FilmSlopes at = film_slopes(film, thickness.ratio, ground_inside(ground[b], set.face), set.face);
    std::vector<double> slope(2 * n, 0.0);
    for (std::size_t i = 0; i < n; ++i) {
      slope[i] = at.on_log_absorption * shares[i] * set.colorants[i].absorption[b] / film.absorption;
      slope[n + i] = at.on_log_scattering * shares[i] * set.colorants[i].scattering[b] / film.scattering;
    }
    const Matrix& covariance = set.log_covariance[static_cast<std::size_t>(b)];
    double variance = set.misfit * set.misfit;
    for (std::size_t i = 0; i < 2 * n; ++i)
      for (std::size_t j = 0; j < 2 * n; ++j)
        variance += slope[i] * slope[j] * covariance(static_cast<int>(i), static_cast<int>(j));
    const double on_thickness = (at.on_log_absorption + at.on_log_scattering) * thickness.log_sd;
    p.reflectance[b] = at.reflectance;
    p.reflectance_sd[b] = std::sqrt(std::max(variance, 0.0) + on_thickness * on_thickness);
    one_sd_off[b] = std::min(p.reflectance[b] + p.reflectance_sd[b], 1.0);
  }
  p.lab = to_lab(p.reflectance, Lamp::D65, Observer::deg10);
  p.likely_delta_e = delta_e_2000(p.lab, to_lab(one_sd_off, Lamp::D65, Observer::deg10));
  return p;
}

}  // namespace witnessline::match

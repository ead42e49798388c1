#include "match/noise_in_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace witnessline::match {

namespace {

// Bands in words: "430, 450 and 470 nm", "430, 450, 470, 490 nm and 12 more bands".
std::string bands_in_words(const std::vector<int>& which) {
  constexpr std::size_t most = 4;
  std::string text;
  for (std::size_t i = 0; i < std::min(which.size(), most); ++i)
    text += fmt::format("{}{:.0f}", i == 0 ? "" : i + 1 == which.size() ? " and " : ", ", band_nm(which[i]));
  return which.size() > most ? fmt::format("{} nm and {} more bands", text, which.size() - most) : text + " nm";
}

}  // namespace

std::vector<Note> describe_noise(const ColorantSet& set, const std::vector<FilmReading>& readings) {
  std::vector<Note> notes;
  const double missed = std::max(0.05, 4 * set.misfit);  // ESTIMATE: far beyond what the model itself misses by
  constexpr double unresolved_log_sd = 2;                // a factor of seven each way: a trace, or nothing
  constexpr std::size_t most_named = 3;
  std::size_t films = 0;
  std::string named;
  for (std::size_t r = 0; r < readings.size(); ++r) {
    std::vector<int> off;
    double worst = 0;
    for (int b = 0; b < bands; ++b)
      for (const OverGround& over : readings[r].over) {
        const double by =
            std::abs(film_reading(set, readings[r].shares, set.thickness_ratio[r], over.ground, b) - over.film[b]);
        worst = std::max(worst, by);
        if (by > missed && (off.empty() || off.back() != b)) off.push_back(b);
      }
    if (off.empty() || films++ >= most_named) continue;
    const int line = readings[r].where.line;
    named += fmt::format("{}'{}'{} by up to {:.2f} at {}", named.empty() ? "" : "; ", readings[r].sample,
                         line > 0 ? fmt::format(" (line {})", line) : "", worst, bands_in_words(off));
  }
  if (films > 0)
    notes.push_back(
        {Severity::caution,
         fmt::format("These readings don't fit any film of these colorants: {}{}. Noisy, or the shares are wrong: read "
                     "three times and average.",
                     named, films > most_named ? fmt::format("; and {} more", films - most_named) : ""),
         ""});
  for (const ColorantModel& colorant : set.colorants) {
    std::vector<int> lost;
    for (int b = 0; b < bands; ++b)
      if (colorant.separated && colorant.absorption_log_sd[b] > unresolved_log_sd) lost.push_back(b);
    if (!lost.empty())
      notes.push_back({Severity::caution,
                       fmt::format("{} absorbs almost nothing at {}, within noise. Its absorption there is set "
                                   "just above zero and is not known. Average several readings of its films.",
                                   colorant.name, bands_in_words(lost)),
                       colorant.name});
  }
  return notes;
}

}  // namespace witnessline::match

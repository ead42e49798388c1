#include "history/check_photo.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "base/random.h"
#include "history/crossings.h"

namespace witnessline::history {

namespace {

constexpr double pi = std::numbers::pi;
constexpr double family_rad = 30 * pi / 180;  // ESTIMATE: checks bend less than this from their way
constexpr double apart_px = 4;                // of test lines
constexpr double mostly_false = 0.5;
constexpr double near_px = 5;  // a line this near to another is part of it

/// Angle between an undirected way and the grain, 0 to pi.
double bearing(Vec2d run, double grain_rad) {
  const double a = std::atan2(-run.y, run.x) - grain_rad;  // rows count down
  return a - pi * std::floor(a / pi);
}

/// Sum over a path of its parts as undirected ways, by length: twice their bearing, so that opposite ways agree.
Vec2d doubled(const FineLine& line, double grain_rad) {
  Vec2d sum;
  for (std::size_t i = 0; i + 1 < line.path.size(); ++i) {
    const Vec2d way = line.path[i + 1] - line.path[i];
    const double twice = 2 * bearing(way, grain_rad);
    sum = sum + length(way) * Vec2d{std::cos(twice), std::sin(twice)};
  }
  return sum;
}

/// Which pixels lie near a line.
class Near {
 public:
  Near(const Plane& like, double within_px)
      : width_(like.width), height_(like.height), within_(static_cast<int>(within_px)), is_(like.at.size(), 0) {}
  void add(const FineLine& line) {
    for (std::size_t i = 0; i + 1 < line.path.size(); ++i) {
      const Vec2d run = line.path[i + 1] - line.path[i];
      const int steps = std::max(1, static_cast<int>(length(run)));
      for (int s = 0; s <= steps; ++s) mark(line.path[i] + static_cast<double>(s) / steps * run);
    }
  }
  bool at(Vec2d p) const {
    const int x = static_cast<int>(std::lround(p.x)), y = static_cast<int>(std::lround(p.y));
    return x >= 0 && y >= 0 && x < width_ && y < height_ && is_[index(x, y)] != 0;
  }
  double share() const {
    return static_cast<double>(std::count(is_.begin(), is_.end(), 1)) / static_cast<double>(is_.size());
  }

 private:
  std::size_t index(int x, int y) const {
    return static_cast<std::size_t>(y) * static_cast<std::size_t>(width_) + static_cast<std::size_t>(x);
  }
  void mark(Vec2d p) {
    const int cx = static_cast<int>(std::lround(p.x)), cy = static_cast<int>(std::lround(p.y));
    for (int y = std::max(0, cy - within_); y <= std::min(height_ - 1, cy + within_); ++y)
      for (int x = std::max(0, cx - within_); x <= std::min(width_ - 1, cx + within_); ++x) is_[index(x, y)] = 1;
  }
  int width_, height_, within_;
  std::vector<std::uint8_t> is_;
};

/// Length of the parts of a path for which `counts` holds at their middle.
template <class Counts>
double length_where(const FineLine& line, const Counts& counts) {
  double sum = 0;
  for (std::size_t i = 0; i + 1 < line.path.size(); ++i) {
    const Vec2d run = line.path[i + 1] - line.path[i];
    if (counts(line.path[i] + 0.5 * run)) sum += length(run);
  }
  return sum;
}

/// 95 % of a mean whose Poisson count is `n` (not whole). Law: gamma of n + 1/2 by its cube root. Source: wilson1931.
Band poisson_band(double n) {
  const double a = n + 0.5;
  const auto at = [&](double z) {
    const double r = 1 - 1 / (9 * a) + z / (3 * std::sqrt(a));
    return r > 0 ? a * r * r * r : 0;
  };
  return {at(-1.96), at(1.96)};
}

class Counting {
 public:
  Counting(const Plane& picture, const CheckPhotoAsked& asked)
      : picture_(picture), asked_(asked), least_px_(std::max(20.0, least_check_m / asked.m_per_px)) {}

  CheckPhoto done() {
    const FineLines found = fine_lines(picture_, least_px_);
    const double m = found.margin_px;
    low_ = {m, m}, high_ = {picture_.width - m, picture_.height - m};
    photo_.area_m2 = (high_.x - low_.x) * (high_.y - low_.y) * asked_.m_per_px * asked_.m_per_px;
    photo_.least_contrast = 1 - std::exp(-found.least_dark_px * asked_.m_per_px / 50e-6);
    photo_.length_by_bearing_m.assign(12, 0);
    for (const FineLine& line : found.dark)
      if (line.width_px * asked_.m_per_px > broadest_check_m)
        photo_.broad_m += line.length_px * asked_.m_per_px;
      else
        narrow_.push_back(line);
    for (const FineLine& line : narrow_) {
      const std::optional<CheckRun> run = run_of(line);
      const double of_line_m = line.length_px * asked_.m_per_px;
      if (run)
        photo_.seen.push_back({*run, line});
      else
        photo_.aslant_m += of_line_m;
      for (std::size_t i = 0; i + 1 < line.path.size(); ++i) {
        const Vec2d way = line.path[i + 1] - line.path[i];
        const auto bin = static_cast<std::size_t>(std::lround(bearing(way, asked_.grain_rad) / pi * 12)) % 12;
        photo_.length_by_bearing_m[bin] += length(way) * asked_.m_per_px;
      }
    }
    std::stable_sort(photo_.seen.begin(), photo_.seen.end(),
                     [](const CheckSeen& a, const CheckSeen& b) { return a.line.length_px > b.line.length_px; });
    look_for_false(found.pale);
    look_for_missed();
    photo_.across = family(CheckRun::across), photo_.along = family(CheckRun::along);
    return std::move(photo_);
  }

 private:
  static constexpr std::size_t at(CheckRun run) { return static_cast<std::size_t>(run); }

  /// By the way most of its length goes.
  std::optional<CheckRun> run_of(const FineLine& line) const {
    const Vec2d way = doubled(line, asked_.grain_rad);
    const double mean = 0.5 * std::atan2(way.y, way.x);  // -pi/2 to pi/2, 0 along the grain
    if (std::abs(mean) < family_rad) return CheckRun::along;
    if (pi / 2 - std::abs(mean) < family_rad) return CheckRun::across;
    return std::nullopt;
  }

  /// Lines of the other kind, away from the flanks of those found, are what chance and texture draw.
  void look_for_false(const std::vector<FineLine>& other) {
    constexpr double flank_px = 8;
    Near flank(picture_, flank_px);
    for (const FineLine& line : narrow_) flank.add(line);
    const double open = std::max(0.05, 1 - flank.share());
    for (const FineLine& line : other) {
      const std::optional<CheckRun> run = run_of(line);
      if (!run || line.width_px * asked_.m_per_px > broadest_check_m) continue;
      const double away = length_where(line, [&](Vec2d p) { return !flank.at(p); });
      if (away > 0.5 * line.length_px) false_px_[at(*run)] += away / open;
    }
  }

  /// The lines found, laid in once more elsewhere: what share of them is found again.
  void look_for_missed() {
    constexpr std::size_t most_laid = 60;
    constexpr int tries = 30;
    constexpr double crowded = 0.2;
    Near taken(picture_, near_px);
    for (const CheckSeen& c : photo_.seen) taken.add(c.line);
    Plane with = picture_;
    std::vector<CheckSeen> laid;
    const std::size_t step = photo_.seen.size() / most_laid + 1;
    for (std::size_t i = 0; i < photo_.seen.size() && taken.share() < crowded + 0.2; i += step) {
      const FineLine& line = photo_.seen[i].line;
      for (int t = 0; t < tries; ++t) {
        const Key key = Key{}.with("laid again").with(i).with(static_cast<std::uint64_t>(t));
        const Vec2d by{(2 * uniform(key.with("x")) - 1) * 0.5 * picture_.width,
                       (2 * uniform(key.with("y")) - 1) * 0.5 * picture_.height};
        FineLine moved = line;
        for (Vec2d& p : moved.path) p = p + by;
        if (length_where(moved, [&](Vec2d p) { return inside(p) && !taken.at(p); }) < 0.6 * line.length_px) continue;
        lay_into(with, moved), taken.add(moved);
        laid.push_back({photo_.seen[i].run, std::move(moved)});
        break;
      }
    }
    if (laid.empty()) return;
    Near found(picture_, 3);
    for (const FineLine& line : fine_lines(with, least_px_).dark) found.add(line);
    Near before(picture_, near_px);
    for (const CheckSeen& c : photo_.seen) before.add(c.line);
    for (const CheckSeen& c : laid) {
      const auto counts = [&](Vec2d p) { return inside(p) && !before.at(p); };
      laid_px_[at(c.run)] += length_where(c.line, counts);
      again_px_[at(c.run)] += length_where(c.line, [&](Vec2d p) { return counts(p) && found.at(p); });
    }
  }

  bool inside(Vec2d p) const { return p.x > low_.x && p.y > low_.y && p.x < high_.x && p.y < high_.y; }

  ChecksRun family(CheckRun run) const {
    ChecksRun f;
    f.run = run;
    std::vector<const FineLine*> lines;
    double sum_px = 0, squares_px2 = 0;
    Vec2d way;
    for (const CheckSeen& seen : photo_.seen) {
      if (seen.run != run) continue;
      lines.push_back(&seen.line);
      sum_px += seen.line.length_px, squares_px2 += seen.line.length_px * seen.line.length_px;
      way = way + doubled(seen.line, asked_.grain_rad);
    }
    f.lines = static_cast<int>(lines.size());
    f.length_m = sum_px * asked_.m_per_px;
    const double ideal = run == CheckRun::along ? 0 : pi / 2;
    double mean = ideal;
    if (!lines.empty()) {
      mean = 0.5 * std::atan2(way.y, way.x);
      f.square_rad = std::remainder(mean - ideal, pi);
      const double r = length(way) / sum_px;
      f.spread_rad = 0.5 * std::sqrt(std::max(0.0, -2 * std::log(std::clamp(r, 1e-9, 1.0))));
    }
    const double on = mean + asked_.grain_rad + pi / 2;  // test lines, square to them
    const Crossings crossed = cross(lines, {std::cos(on), -std::sin(on)}, apart_px, low_, high_);
    const double test_m = crossed.test_px * asked_.m_per_px;
    const double one_line_m = photo_.area_m2 / std::max(1e-9, breadth_m(on));
    if (lines.empty() || !(crossed.count > 0)) {
      f.spacing_m = std::numeric_limits<double>::infinity();
      f.band = {one_line_m / poisson_band(0).high, f.spacing_m};
      f.evidence = CheckCount{asked_.name, run, 0, one_line_m, asked_.film_m};
      return f;
    }
    f.crossings_per_m = crossed.count / test_m;
    f.missed_frac = laid_px_[at(run)] > 0 ? 1 - again_px_[at(run)] / laid_px_[at(run)] : 0;
    f.false_frac = std::min(0.9, false_px_[at(run)] / sum_px);
    const double right = (1 - f.false_frac) / std::max(0.1, 1 - f.missed_frac);
    const double right_sd = 0.5 * std::hypot(f.false_frac, f.missed_frac);  // ESTIMATE
    f.spacing_m = 1 / (f.crossings_per_m * right);
    const double lines_like = sum_px * sum_px / squares_px2;
    const double n = 1 / (1 / lines_like + right_sd * right_sd + asked_.scale_sd_frac * asked_.scale_sd_frac);
    const Band of_n = poisson_band(n);
    f.band = {f.spacing_m * n / of_n.high, f.spacing_m * n / of_n.low};
    if (crossed.gaps_px.size() >= 8) {
      double sum = 0, sum2 = 0;
      for (const double g : crossed.gaps_px) sum += g, sum2 += g * g;
      const double count = static_cast<double>(crossed.gaps_px.size()), of = sum / count;
      f.evenness = std::sqrt(std::max(0.0, sum2 / count - of * of)) / of;
    } else {
      f.evenness = std::numeric_limits<double>::quiet_NaN();
    }
    if (f.false_frac > mostly_false) return f;
    constexpr double longest_m = 2;  // a line longer than this is asked of nobody
    const double over_m = std::min(longest_m, std::max(1.0, std::round(n)) * f.spacing_m);
    f.evidence =
        CheckCount{asked_.name, run, static_cast<int>(std::lround(over_m / f.spacing_m)), over_m, asked_.film_m};
    return f;
  }
  /// Of the box, square to a direction.
  double breadth_m(double on_rad) const {
    return asked_.m_per_px *
           (std::abs(std::sin(on_rad)) * (high_.x - low_.x) + std::abs(std::cos(on_rad)) * (high_.y - low_.y));
  }

  const Plane& picture_;
  const CheckPhotoAsked& asked_;
  double least_px_;
  Vec2d low_, high_;
  std::vector<FineLine> narrow_;
  std::array<double, 2> false_px_{}, laid_px_{}, again_px_{};
  CheckPhoto photo_;
};

double burnt_out(const Image& image) {
  std::size_t n = 0;
  for (std::size_t i = 0; i + 2 < image.rgb.size(); i += 3)
    n += std::min({image.rgb[i], image.rgb[i + 1], image.rgb[i + 2]}) == 255 ||
         std::max({image.rgb[i], image.rgb[i + 1], image.rgb[i + 2]}) < 8;
  return static_cast<double>(n) / std::max<double>(1, static_cast<double>(image.rgb.size() / 3));
}

}  // namespace

Result<CheckPhoto> count_checks(const Image& image, const CheckPhotoAsked& asked, const std::string& file) {
  expects(asked.m_per_px > 0, "a scale is a length a pixel");
  const auto fault = [&](std::string what, std::string expected, std::string fix) {
    return Error{std::move(what), {file, 0, 0, ""}, std::move(expected), std::move(fix)};
  };
  if (asked.m_per_px > coarsest_m)
    return fault(
        fmt::format("a pixel covers {:.2f} mm: a check is narrower than that and would not show", 1e3 * asked.m_per_px),
        fmt::format("{:.2f} mm a pixel at most", 1e3 * coarsest_m),
        "go nearer, or send the photograph at its full size");
  constexpr int least_px = 120;
  if (image.width < least_px || image.height < least_px)
    return fault("too small to count in", fmt::format("{} pixels each way", least_px), "take more of it");
  if (image.rgb.size() / 3 > most_pixels)
    return fault("too large to count in", fmt::format("{} million pixels at most", most_pixels / 1'000'000),
                 "name a part of it as area");
  constexpr double most_burnt = 0.2;
  const double burnt = burnt_out(image);
  if (burnt > most_burnt)
    return fault(fmt::format("{:.0f} % of it is burnt out or black: nothing can be seen there", 100 * burnt),
                 "no glare on the finish", "light it from the side, or name a part without glare as area");
  Plane picture = ground_evened(image);
  if (asked.pale)
    for (float& v : picture.at) v = -v;
  CheckPhoto photo = Counting(picture, asked).done();
  const double narrow_m = photo.across.length_m + photo.along.length_m + photo.aslant_m;
  if (photo.broad_m > 4 * narrow_m)
    return fault(fmt::format("the lines in it are broader than {:.1f} mm: no check is", 1e3 * broadest_check_m),
                 "a sharp photograph of the finish",
                 "if it is out of focus take it again; if it is the wood's figure there is no check to count");
  constexpr double too_faint = 0.5, faint = 0.2;
  constexpr int too_few = 3;
  for (const ChecksRun* f : {&photo.across, &photo.along})
    if (f->missed_frac > too_faint && f->lines >= too_few && f->length_m > 0.5 * narrow_m)
      return fault(
          fmt::format("the lines are too faint to count: of the same lines laid into it elsewhere {:.0f} % are "
                      "not found again",
                      100 * f->missed_frac),
          "lines darker than the noise and the figure about them",
          "light it low from the side, go nearer, keep the camera still");

  const auto note = [&](Severity severity, std::string text) {
    photo.notes.push_back({severity, std::move(text), ""});
  };
  if (burnt > 0.02)
    note(Severity::caution, fmt::format("{:.0f} % of the picture is burnt out or black and counts as without checks: "
                                        "the spacing is too wide by as much.",
                                        100 * burnt));
  if (photo.aslant_m > 0.3 * narrow_m)
    note(Severity::caution,
         fmt::format(
             "{:.0f} % of the length of fine lines runs neither across the grain nor along it. Either the way of "
             "the grain is wrong or these are scratches; they are not counted.",
             100 * photo.aslant_m / narrow_m));
  for (const ChecksRun* f : {&photo.across, &photo.along}) {
    const char* way = f->run == CheckRun::across ? "across" : "along";
    if (f->evenness < 0.25)
      note(Severity::caution, fmt::format("The lines {} the grain are as even as ruled ones; checks never are. Tool "
                                          "marks, a weave, or the wood?",
                                          way));
    if (f->missed_frac > faint && f->lines >= too_few)
      note(Severity::caution,
           fmt::format("The lines {} the grain are hardly darker than the noise: {:.0f} % of the like "
                       "are missed, and all fainter ones. They likely lie closer than said.",
                       way, 100 * f->missed_frac));
    if (f->false_frac > mostly_false)
      note(Severity::caution, fmt::format("Noise and figure draw as much line {} the grain as was found: whether there "
                                          "are checks that way this picture does not say.",
                                          way));
    if (f->run == CheckRun::along && f->evidence && f->evidence->counted > 0)
      note(Severity::caution,
           "Dirt in pores, late wood and scratches draw the same fine lines along the grain as checks do: look with a "
           "loupe before these are taken for checks.");
  }
  if (photo.broad_m > 0.2 * narrow_m)
    note(Severity::information,
         fmt::format("{:.0f} mm of lines broader than {:.1f} mm are left out: figure, or shadows.", 1e3 * photo.broad_m,
                     1e3 * broadest_check_m));
  if (photo.across.lines + photo.along.lines == 0)
    note(Severity::caution,
         "None found is evidence of none only if the picture is sharp: the fine marks of the scale must show in it.");
  return photo;
}

}  // namespace witnessline::history

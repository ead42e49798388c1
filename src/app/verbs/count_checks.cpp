#include "app/verbs/count_checks.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace witnessline::app {

namespace {

constexpr double clicked_px = 1;      // ESTIMATE: how well a mark is pointed at
constexpr double tilt_frac = 0.01;    // ESTIMATE: camera not quite square on
constexpr double stated_frac = 0.02;  // ESTIMATE: a scale that is only stated
constexpr double least_scale_px = 50;

struct Scale {
  double m_per_px = 0, sd_frac = 0;
};

Result<Scale> scale_of(const CountChecksRequest& asked, const Image& image) {
  const bool rule = asked.scale_from || asked.scale_to || asked.scale_m;
  if (!rule && !asked.m_per_px)
    return Error{"the photograph has no scale: nothing says how far apart its lines are",
                 {"", 0, 0, "scale_mm"},
                 "scale_from, scale_to and scale_mm, two marks of a rule in the picture; or um_per_px",
                 "lay a rule on the finish and take it again"};
  if (rule && asked.m_per_px)
    return Error{"two scales are given", {"", 0, 0, "um_per_px"}, "a rule or um_per_px", "leave one of them out"};
  if (asked.m_per_px) return Scale{*asked.m_per_px, stated_frac};
  std::vector<Error> faults;
  for (const auto& [there, key] : {std::pair{asked.scale_from.has_value(), "scale_from"},
                                   {asked.scale_to.has_value(), "scale_to"},
                                   {asked.scale_m.has_value(), "scale_mm"}})
    if (!there) faults.push_back({"is missing", {"", 0, 0, key}, "two marks of a rule and how far they are apart", ""});
  if (!faults.empty()) return faults;
  for (const auto& [p, key] : {std::pair{*asked.scale_from, "scale_from"}, {*asked.scale_to, "scale_to"}})
    if (!(p.x_px <= image.width && p.y_px <= image.height))
      faults.push_back({fmt::format("lies outside the photograph of {} x {} pixels", image.width, image.height),
                        {"", 0, 0, key},
                        "a point of it",
                        "read the pixel where the mark is"});
  if (!faults.empty()) return faults;
  const double apart_px =
      std::hypot(asked.scale_to->x_px - asked.scale_from->x_px, asked.scale_to->y_px - asked.scale_from->y_px);
  if (apart_px < least_scale_px)
    return Error{fmt::format("the two marks are {:.0f} pixels apart: too near for a scale", apart_px),
                 {"", 0, 0, "scale_to"},
                 fmt::format("{:.0f} pixels or more", least_scale_px),
                 "take marks further apart"};
  return Scale{*asked.scale_m / apart_px, std::hypot(std::sqrt(2.0) * clicked_px / apart_px, tilt_frac)};
}

struct Corner {
  int x = 0, y = 0;
};

/// The part to count in; whole where none is named.
Result<Image> part_of(const Image& image, const CountChecksRequest& asked, Corner& corner) {
  if (!asked.area_from && !asked.area_to) return image;
  if (!asked.area_from || !asked.area_to)
    return Error{"is missing", {"", 0, 0, asked.area_from ? "area_to" : "area_from"}, "both corners of the part", ""};
  const auto pixel = [](double at) { return static_cast<int>(std::lround(at)); };
  const auto [x0, x1] = std::minmax({pixel(asked.area_from->x_px), pixel(asked.area_to->x_px)});
  const auto [y0, y1] = std::minmax({pixel(asked.area_from->y_px), pixel(asked.area_to->y_px)});
  if (x1 > image.width || y1 > image.height)
    return Error{fmt::format("reaches outside the photograph of {} x {} pixels", image.width, image.height),
                 {"", 0, 0, "area_to"},
                 "a part of it",
                 ""};
  corner = {x0, y0};
  Image part{x1 - x0, y1 - y0, {}};
  for (int y = y0; y < y1; ++y) {
    const auto row = image.rgb.begin() + 3L * (static_cast<long>(y) * image.width + x0);
    part.rgb.insert(part.rgb.end(), row, row + 3L * part.width);
  }
  return part;
}

struct OnPhoto {
  CheckPhoto counted;
  Corner corner;
  double m_per_px = 0;
};

Result<OnPhoto> on_photo(const CountChecksRequest& asked, const Asking& asking) {
  const auto at_photo = [](std::vector<Error> errors) {
    for (Error& e : errors)
      if (e.where.key.empty()) e.where.key = "photo", e.where.file.clear();
    return errors;
  };
  const auto bytes = asking.file(asked.photo);
  if (!bytes) return at_photo(bytes.errors());
  const auto image = from_photo(*bytes, asked.photo);
  if (!image) return at_photo(image.errors());
  const Result<Scale> scale = scale_of(asked, *image);
  if (!scale) return scale.errors();
  OnPhoto on;
  on.m_per_px = scale->m_per_px;
  const Result<Image> part = part_of(*image, asked, on.corner);
  if (!part) return part.errors();
  Result<CheckPhoto> counted = count_checks(
      *part,
      {scale->m_per_px, scale->sd_frac, asked.grain_rad, asked.show == ChecksShow::pale, asked.film_m, asked.name},
      asked.photo);
  if (!counted) return at_photo(counted.errors());
  on.counted = std::move(*counted);
  const auto in_part = [&](const PixelPoint& p) {
    return p.x_px > on.corner.x && p.y_px > on.corner.y && p.x_px < on.corner.x + part->width &&
           p.y_px < on.corner.y + part->height;
  };
  if (asked.scale_from && (in_part(*asked.scale_from) || in_part(*asked.scale_to)))
    on.counted.notes.push_back({Severity::caution,
                                "The rule lies in the part that is counted: its marks count as lines. Name a part "
                                "without it as area.",
                                "area_from"});
  return on;
}

Figure figure(std::string name, double value, Quantity quantity, std::string law, std::string source, Kind kind) {
  Figure f;
  f.name = std::move(name), f.value = value, f.quantity = quantity;
  f.law = std::move(law), f.source = std::move(source), f.kind = kind;
  return f;
}

constexpr double no_value = std::numeric_limits<double>::quiet_NaN();

/// Two lines have a distance, no spacing.
bool enough(const ChecksRun& c) { return c.lines >= 3 && c.evidence; }

ChecksRunResult result_of(const ChecksRun& c) {
  ChecksRunResult t;
  t.run = c.run, t.lines = c.lines;
  t.spacing = figure("from one to the next", enough(c) ? c.spacing_m : no_value, Quantity::length,
                     "length of test lines square to them over what crosses them, put right for missed and false ones",
                     "santalo1976", Kind::measured);
  if (enough(c)) t.spacing.band = c.band;
  t.length =
      figure("length of them all", c.length_m, Quantity::length, "sum over their paths", "geometry", Kind::measured);
  const double deg = unit::deg.scale;
  t.turned = figure("turned from that way, degrees", c.square_rad / deg, Quantity::ratio,
                    "mean of their directions, by length", "geometry", Kind::measured);
  t.spread = figure("spread of single ones, degrees", c.spread_rad / deg, Quantity::ratio,
                    "standard deviation of their directions", "geometry", Kind::measured);
  t.missed = figure("missed", c.missed_frac, Quantity::fraction,
                    "share of the lines found that is not found again when laid in elsewhere", "", Kind::measured);
  t.false_ones =
      figure("false", c.false_frac, Quantity::fraction,
             "length of lines of the other kind, paler for darker, over the length found", "", Kind::measured);
  t.evenness = figure("scatter of the gaps over their mean", c.evenness, Quantity::ratio,
                      "standard deviation of gaps over their mean", "geometry", Kind::measured);
  return t;
}

std::string evidence_rows(const CheckPhoto& photo) {
  Tree list = Tree::empty_list(), file = Tree::empty_table();
  for (std::optional<CheckCount> row : {photo.across.evidence, photo.along.evidence}) {
    if (!row) continue;
    row->over_m = unit::mm.to_si(std::round(10 * unit::mm.from_si(row->over_m)) / 10);
    list.list.push_back(tree_of(*row));
  }
  file.put("checks", std::move(list));
  return print_toml(file);
}

}  // namespace

Result<CheckPhoto> counted_on_photo(const CountChecksRequest& asked, const Asking& asking) {
  Result<OnPhoto> on = on_photo(asked, asking);
  if (!on) return on.errors();
  return std::move(on->counted);
}

Result<CountChecksAnswer> count_checks_answer(const CountChecksRequest& asked, const Asking& asking) {
  const Result<OnPhoto> on = on_photo(asked, asking);
  if (!on) return on.errors();
  const CheckPhoto& photo = on->counted;
  CountChecksAnswer a;
  a.runs = {result_of(photo.across), result_of(photo.along)};
  a.area = figure("area looked at", photo.area_m2, Quantity::area, "pixels x scale", "geometry", Kind::measured);
  a.aslant = figure("fine lines neither across nor along", photo.aslant_m, Quantity::length, "sum over their paths",
                    "geometry", Kind::measured);
  a.broad = figure("lines too broad for checks", photo.broad_m, Quantity::length, "sum over their paths", "geometry",
                   Kind::measured);
  a.least_contrast = figure("contrast a line 50 um wide needs", photo.least_contrast, Quantity::fraction,
                            "six scatters of the picture's own response", "steger1998", Kind::estimate);
  const double all_m = photo.across.length_m + photo.along.length_m;
  for (const ChecksRun* c : {&photo.across, &photo.along}) {
    const char* way = c->run == CheckRun::across ? "Across the grain" : "Along the grain";
    const Shown s = shown(c->spacing_m, c->band, Quantity::length, asking.units);
    const std::string looked = show(photo.area_m2, Quantity::area, asking.units);
    if (c->lines == 0)
      a.sentences.push_back(fmt::format("{}: no check found on {} of finish.", way, looked));
    else if (!c->evidence)
      a.sentences.push_back(fmt::format("{}: not counted; see the notes.", way));
    else if (!enough(*c))
      a.sentences.push_back(
          fmt::format("{}: {} on {} of finish, too few to say how far apart they lie.", way, c->lines, looked));
    else
      a.sentences.push_back(fmt::format("{}: one every {} on average ({}); {} found, {:.0f} % of the length of all.",
                                        way, s.text, s.band, c->lines, 100 * c->length_m / all_m));
  }
  a.sentences.push_back(
      "Give these rows to life, or a count by eye of the same place, not both: they are one piece of evidence.");
  a.evidence = evidence_rows(photo);
  constexpr std::size_t most_listed = 100;
  for (std::size_t i = 0; i < std::min(most_listed, photo.seen.size()); ++i) {
    const FineLine& line = photo.seen[i].line;
    const auto place = [&](Vec2d p) {
      return PixelPoint{std::round(p.x + on->corner.x), std::round(p.y + on->corner.y)};
    };
    a.lines.push_back({photo.seen[i].run, place(line.path.front()), place(line.path.back()),
                       line.length_px * on->m_per_px, line.width_px * on->m_per_px, 1 - std::exp(-line.contrast)});
  }
  Curve by_way{"fine lines", "angle from the grain, against the clock [deg]", "length [mm]", {}, {}};
  for (std::size_t i = 0; i < photo.length_by_bearing_m.size(); ++i)
    by_way.x.push_back(15.0 * static_cast<double>(i)), by_way.y.push_back(1e3 * photo.length_by_bearing_m[i]);
  a.curves.push_back(std::move(by_way));
  a.notes = photo.notes;
  return a;
}

std::string format_answer(const CountChecksAnswer& a, BenchUnits units) {
  std::string text;
  for (const std::string& s : a.sentences) text += s + "\n";
  const auto line = [&](const Figure& f) {
    const Shown s = shown(f.value, f.band, f.quantity, units);
    text += fmt::format("  {}: {}{}\n", f.name, s.text, s.band.empty() ? "" : " (" + s.band + ")");
  };
  for (const ChecksRunResult& c : a.runs) {
    if (c.lines == 0) continue;
    text += fmt::format("\n{} the grain, {} lines\n", c.run == CheckRun::across ? "Across" : "Along", c.lines);
    for (const Figure* f : {&c.spacing, &c.length, &c.turned, &c.spread, &c.missed, &c.false_ones, &c.evenness})
      line(*f);
  }
  text += "\nThe picture\n";
  for (const Figure* f : {&a.area, &a.aslant, &a.broad, &a.least_contrast}) line(*f);
  text += "\nFor life\n" + a.evidence;
  for (const Note& n : a.notes) text += "\n" + n.text;
  return text + (a.notes.empty() ? "" : "\n");
}

Verb count_checks_verb() {
  return verb<CountChecksRequest, CountChecksAnswer>(
      "count_checks", "How far apart checks lie and which way they run, on a photograph with a scale", Work{},
      count_checks_answer, format_answer);
}

}  // namespace witnessline::app

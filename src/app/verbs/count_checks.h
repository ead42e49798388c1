// The verb `count_checks`: checks counted on a photograph with a scale, as evidence for `life`.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/answer_parts.h"
#include "app/verb.h"
#include "history/check_photo.h"
#include "match/chart_photo.h"

namespace witnessline::app {

/// Dirt in a check is dark on a light finish, pale on a dark one.
enum class ChecksShow { dark, pale };
constexpr auto words(const ChecksShow*) { return std::array{"dark", "pale"}; }

struct CountChecksRequest {
  std::string name = "checked place", photo;
  double grain_rad = 0;
  std::optional<PixelPoint> scale_from, scale_to;
  std::optional<double> scale_m, m_per_px;
  std::optional<PixelPoint> area_from, area_to;
  ChecksShow show{};
  double film_m = 60e-6;
};
template <class V>
void describe(V& v, CountChecksRequest& r) {
  v(member("name", "the part and the place"), r.name);
  v(member("photo", "PNG or JPEG, square on, sharp, at its full size").must(), r.photo);
  v(member("grain_deg", "way of the grain in it: 0 along its width, 90 up it, counted against the clock", unit::deg)
        .within(-180, 180)
        .must(),
    r.grain_rad);
  v(member("scale_from", "a mark of a rule that lies on the finish"), r.scale_from);
  v(member("scale_to", "another mark of it, far from the first"), r.scale_to);
  v(member("scale_mm", "from one to the other", unit::mm).within(1, 1000), r.scale_m);
  v(member("um_per_px", "instead, as of a scanner", unit::um).within(1, 1000), r.m_per_px);
  v(member("area_from", "a corner of the part to count in, without rule, edges and strings; absent: all of it"),
    r.area_from);
  v(member("area_to", "the corner across from it"), r.area_to);
  v(member("show", "checks are darker than the finish, or paler"), r.show);
  v(member("film_um", "finish there, as far as known", unit::um).within(1, 1000), r.film_m);
}

struct ChecksRunResult {
  CheckRun run{};
  int lines = 0;
  Figure spacing, length, turned, spread, missed, false_ones, evenness;
};
template <class V>
void describe(V& v, ChecksRunResult& c) {
  v(member("run", "across the grain or along it"), c.run);
  v(member("lines", "how many were found"), c.lines);
  v(member("spacing", "from one to the next along a line square to them; no value: none found"), c.spacing);
  v(member("length", "of them all, in the part counted"), c.length);
  v(member("turned", "how far their mean way is from that of the grain, or from square to it, degrees"), c.turned);
  v(member("spread", "how far single ones turn from it, degrees"), c.spread);
  v(member("missed", "share of such lines that is not found"), c.missed);
  v(member("false_ones", "share of the length found that noise and figure draw"), c.false_ones);
  v(member("evenness", "scatter of the gaps over their mean: 0 ruled, 1 as by chance; checks are never even"),
    c.evenness);
}

/// A line as it was found, to be held against the photograph.
struct LineResult {
  CheckRun run{};
  PixelPoint from, to;
  double length_m = 0, width_m = 0, contrast_frac = 0;
};
template <class V>
void describe(V& v, LineResult& l) {
  v(member("run", "across the grain or along it"), l.run);
  v(member("from", "one end, in pixels of the photograph"), l.from);
  v(member("to", "the other end"), l.to);
  v(member("length_mm", "along it", unit::mm), l.length_m);
  v(member("width_um", "as it shows, with the blur of the picture", unit::um), l.width_m);
  v(member("contrast_pct", "how much darker or paler than what lies beside it", unit::pct), l.contrast_frac);
}

struct CountChecksAnswer {
  std::vector<std::string> sentences;
  std::vector<ChecksRunResult> runs;
  Figure area, aslant, broad, least_contrast;
  std::string evidence;
  std::vector<LineResult> lines;
  std::vector<Curve> curves;
  std::vector<Note> notes;
};
template <class V>
void describe(V& v, CountChecksAnswer& a) {
  v(member("sentences", "what to know, most important first"), a.sentences);
  v(member("runs", "checks across the grain and along it"), a.runs);
  v(member("area", "looked at"), a.area);
  v(member("aslant", "fine lines neither across the grain nor along it, not counted"), a.aslant);
  v(member("broad", "lines too broad for checks, not counted"), a.broad);
  v(member("least_contrast", "a line 50 um wide must be this much darker or paler to be found"), a.least_contrast);
  v(member("evidence", "rows for a request to `life`"), a.evidence);
  v(member("lines", "the longest lines found, to be held against the photograph"), a.lines);
  v(member("curves", "length of fine lines by their way"), a.curves);
  v(member("notes", "notes, cautions and dangers"), a.notes);
}

/// Reads the photograph a request names. Errors: those of the request, of the file, of count_checks(); keys as in the
/// request.
Result<CheckPhoto> counted_on_photo(const CountChecksRequest&, const Asking&);

Result<CountChecksAnswer> count_checks_answer(const CountChecksRequest&, const Asking&);
std::string format_answer(const CountChecksAnswer&, BenchUnits);
Verb count_checks_verb();

}  // namespace witnessline::app

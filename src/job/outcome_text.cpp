// An outcome for a terminal: plans side by side first, then each plan's steps, materials, notes and open questions.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "base/chance.h"
#include "job/outcome.h"

namespace witnessline::job {
namespace {

constexpr std::size_t page_width = 100;

/// Characters a terminal shows: bytes that do not continue one.
std::size_t width_of(const std::string& text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) { return (c & 0xC0) != 0x80; }));
}

/// Columns as wide as their widest cell; the first `left` ones flush left, numbers flush right.
class Table {
 public:
  explicit Table(std::size_t left) : left_(left) {}
  void row(std::vector<std::string> cells) { rows_.push_back(std::move(cells)); }
  std::string text(const std::string& indent) const {
    std::vector<std::size_t> widths;
    for (const auto& cells : rows_)
      for (std::size_t i = 0; i < cells.size(); ++i) {
        if (i >= widths.size()) widths.push_back(0);
        widths[i] = std::max(widths[i], width_of(cells[i]));
      }
    std::string out;
    for (const auto& cells : rows_) {
      std::string line = indent;
      for (std::size_t i = 0; i < cells.size(); ++i) {
        const std::string pad(widths[i] - width_of(cells[i]), ' ');
        line += (i == 0 ? "" : "  ") + (i < left_ ? cells[i] + pad : pad + cells[i]);
      }
      line.erase(line.find_last_not_of(' ') + 1);
      out += line + "\n";
    }
    return out;
  }

 private:
  std::size_t left_;
  std::vector<std::vector<std::string>> rows_;
};

std::string wrapped(const std::string& text, const std::string& first, const std::string& rest) {
  std::string out = first;
  std::size_t column = width_of(first), from = 0;
  bool fresh = true;
  while (from < text.size()) {
    const std::size_t to = std::min(text.find_first_of(" \n", from), text.size());
    const std::string word = text.substr(from, to - from);
    if (!fresh && column + 1 + width_of(word) > page_width) out += "\n" + rest, column = width_of(rest), fresh = true;
    if (!fresh) out += ' ', ++column;
    out += word, column += width_of(word), fresh = false;
    from = to + 1;
  }
  return out + "\n";
}

class Text {
 public:
  explicit Text(BenchUnits units) : units_(units) {}

  std::string of(const Outcome& o) {
    std::string out = o.title.empty() ? o.job : o.title;
    out += o.invented ? "\n(demo: instrument, people and readings are invented)\n" : "\n";
    if (!o.plans.empty()) out += "\n" + side_by_side(o.plans);
    for (const PlanOutcome& p : o.plans) out += "\n" + plan(p);
    if (!o.notes.empty()) out += "\nFor the whole job\n" + notes(o.notes);
    return out;
  }

 private:
  std::string shown(const Figure& f) const { return show(f.value, f.quantity, units_); }
  std::string shown(const std::optional<Figure>& f) const { return f ? shown(*f) : "-"; }
  std::string with_band(const std::optional<Figure>& f) const { return f ? with_band(*f) : "-"; }
  std::string with_band(const Figure& f) const {
    const std::string band = base::shown(f.value, f.band, f.quantity, units_).band;
    return band.empty() ? shown(f) : shown(f) + " (" + band + ")";
  }

  /// Under a square centimetre there is nothing a rule could measure.
  std::string area_in_sight(const Figure& f) const {
    constexpr double least_m2 = 1e-4;
    const double most_m2 = std::isfinite(f.band.high) ? std::max(f.value, f.band.high) : f.value;
    return most_m2 < least_m2 ? "less than " + show(least_m2, Quantity::area, units_) : with_band(f);
  }
  std::string air_needed(const AirAsked& asked) const {
    if (std::isfinite(asked.ruling.value)) return shown(asked.ruling);
    return asked.at_least.value > 0 ? "at least " + shown(asked.at_least) : shown(asked.ruling);
  }
  static std::string verdict(const StepAir& air) {
    if (air.verdict == AirVerdict::enough_with_nobody_in) return "keep everyone out";
    if (air.verdict == AirVerdict::not_known) return "data missing";
    return plain(words(&air.verdict)[static_cast<std::size_t>(air.verdict)]);
  }

  static std::string plain(std::string word) {
    std::replace(word.begin(), word.end(), '_', ' ');
    return word;
  }

  std::string side_by_side(const std::vector<PlanOutcome>& plans) const {
    Table table(1);
    const auto row = [&](const std::string& what, const auto& cell) {
      std::vector<std::string> cells{what};
      for (const PlanOutcome& p : plans) cells.push_back(cell(p));
      table.row(std::move(cells));
    };
    const auto figure = [&](const std::string& what, const auto& member) {
      row(what, [&](const PlanOutcome& p) { return p.runs ? with_band(p.*member) : std::string("refused"); });
    };
    const auto kept = [&](const std::string& what, const auto& member) {
      row(what, [&](const PlanOutcome& p) {
        return p.runs && !p.steps.empty() ? with_band(p.steps.back().kept.*member) : std::string("-");
      });
    };
    row("Plans side by side", [](const PlanOutcome& p) { return p.id; });
    figure("original finish kept", &PlanOutcome::kept_fraction);
    kept("  of it in sight", &KeptReading::visible_area);
    kept("  of it covered by an opaque coat", &KeptReading::buried_area);
    kept("  melted into new finish", &KeptReading::dissolved_volume);
    figure("original finish cut or melted into", &PlanOutcome::touched_fraction);
    figure("colour from target, Delta E 2000", &PlanOutcome::to_target);
    row("chance it can be carried out as planned",
        [](const PlanOutcome& p) { return in_a_hundred(p.carried_out.value); });
    figure("work", &PlanOutcome::hands_on);
    figure("waiting", &PlanOutcome::waiting);
    figure("first day to last", &PlanOutcome::days);
    figure("cost", &PlanOutcome::cost);
    row("ready", [](const PlanOutcome& p) { return std::string(p.ready ? "yes" : "NO"); });
    row("open questions", [](const PlanOutcome& p) { return fmt::format("{}", p.open_hold_points.size()); });
    row("cautions", [](const PlanOutcome& p) { return fmt::format("{}", all_notes(p, Severity::caution).size()); });
    row("dangers", [](const PlanOutcome& p) { return fmt::format("{}", all_notes(p, Severity::danger).size()); });
    return table.text("");
  }

  std::string plan(const PlanOutcome& p) const {
    std::string out = p.id + ": " + p.title + (p.ready || !p.runs ? "" : "   [NOT READY]") + "\n";
    if (!p.summary.empty()) out += wrapped(p.summary, "  ", "  ");
    if (!p.runs) out += "  REFUSED: this plan can't be carried out as written.\n";
    out += steps(p);
    if (!p.steps.empty() && !p.steps.back().exposed.empty()) {
      Table table(1);
      for (const ExposedReading& e : p.steps.back().exposed)
        if (e.area.value > 0 || e.area.band.high > 0) table.row({plain(e.coat), area_in_sight(e.area)});
      out += "  Outermost at the end\n" + table.text("    ");
    }
    if (!p.used.empty()) {
      Table table(1);
      table.row({"material", "volume", "mass", "left on shelf", "needed", "chance it is enough"});
      for (const MaterialUse& m : p.used)
        table.row({m.name.empty() ? m.material : m.name, shown(m.volume), shown(m.mass), with_band(m.left_on_shelf),
                   with_band(m.needed), std::isfinite(m.enough.value) ? in_a_hundred(m.enough.value) : "-"});
      out += "  Materials\n" + table.text("    ");
    }
    const std::vector<Note> shown_text = all_notes(p, Severity::information);
    if (!shown_text.empty()) out += "  Notes\n" + notes(shown_text);
    if (!p.air.empty()) {
      Table table(2);
      table.row({"fresh air for", "", "vapour", "fire", "breathing", "booth", "needed", "fan", "verdict"});
      for (const StepAir& a : p.air)
        table.row({a.step, a.drying ? "drying" : a.word, shown(a.vapour_mass), shown(a.asked.fire),
                   shown(a.asked.breathing), shown(a.asked.face), air_needed(a.asked), shown(a.fan), verdict(a)});
      out += "  Fresh air\n" + table.text("    ");
    }
    for (const HoldPoint& h : p.open_hold_points) {
      std::string before;
      for (const std::string& word : h.before) before += (before.empty() ? "" : ", ") + word;
      const std::string so_far = h.answer.empty() ? "" : " So far: " + h.answer;
      out += wrapped(h.question + so_far + " (before: " + before + ")", "  HOLD  ", "        ");
    }
    return out;
  }

  std::string steps(const PlanOutcome& p) const {
    Table table(2);
    table.row({"step", "", "median film", "thinnest 5%", "thickest 5%", "kept", "from target", "work", "waiting"});
    for (const StepOutcome& s : p.steps) {
      const auto front = std::find_if(s.thickness.begin(), s.thickness.end(),
                                      [](const ThicknessReading& t) { return t.region == "front"; });
      const ThicknessReading* film = front != s.thickness.end() ? &*front
                                     : s.thickness.empty()      ? nullptr
                                                                : &s.thickness[0];
      const auto film_cell = [&](const Figure ThicknessReading::*member) { return film ? shown(film->*member) : "-"; };
      table.row({s.id, s.word, film_cell(&ThicknessReading::median), film_cell(&ThicknessReading::p5),
                 film_cell(&ThicknessReading::p95), shown(s.kept.kept_fraction), shown(s.to_target), shown(s.hands_on),
                 shown(s.waiting)});
    }
    return p.steps.empty() ? "" : table.text("  ");
  }

  /// Notes of a plan and its steps, the gravest first; what several steps share is shown once, with all their ids.
  static std::vector<Note> all_notes(const PlanOutcome& p, Severity least) {
    std::vector<Note> all;
    const auto add = [&](const Note& n) {
      if (n.severity < least) return;
      const auto same = std::find_if(all.begin(), all.end(),
                                     [&](const Note& a) { return a.severity == n.severity && a.text == n.text; });
      if (same == all.end())
        all.push_back(n);
      else if (!n.about.empty() && (", " + same->about + ",").find(", " + n.about + ",") == std::string::npos)
        same->about += (same->about.empty() ? "" : ", ") + n.about;
    };
    for (const StepOutcome& s : p.steps)
      for (Note n : s.notes) {
        if (n.about.empty()) n.about = s.id;
        add(n);
      }
    for (const Note& n : p.notes) add(n);
    std::stable_sort(all.begin(), all.end(), [](const Note& a, const Note& b) { return a.severity > b.severity; });
    return all;
  }

  static std::string notes(const std::vector<Note>& all) {
    std::string out;
    for (const Note& n : all) {
      const char* word = n.severity == Severity::danger    ? "DANGER"
                         : n.severity == Severity::caution ? "CAUTION"
                                                           : "note";
      out += wrapped((n.about.empty() ? "" : plain(n.about) + ": ") + n.text, fmt::format("    {:<8}", word),
                     "            ");
    }
    return out;
  }

  BenchUnits units_;
};

}  // namespace

std::string outcome_text(const Outcome& outcome, BenchUnits units) { return Text(units).of(outcome); }

}  // namespace witnessline::job

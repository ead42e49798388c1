// An old tin: what is tried on it, in the order it is tried, and what that says.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/describe.h"
#include "base/result.h"
#include "bench/paint_tin.h"
#include "materials/material.h"

namespace witnessline::bench {

enum class Finding { not_tried, good, doubtful, bad };
constexpr auto words(const Finding*) { return std::array{"not_tried", "good", "doubtful", "bad"}; }

/// A spray-out of the tin: on glass, and on a piece with each old coat it is meant for.
struct SprayOut {
  std::string on = "glass";  ///< "glass", or a coat of the job
  double waited_s = 0;       ///< between spraying and looking
  Finding found = Finding::not_tried;
  std::string remark;
};
template <class V>
void describe(V& v, SprayOut& s) {
  v(member("on", "glass, or a coat of the job").must(), s.on);
  v(member("waited_h", "between spraying and looking", unit::h).within(0, 20000), s.waited_s);
  v(member("found", "good: clear, even, hard; doubtful: haze, bits, slow; bad: stays soft, crawls, cracks"), s.found);
  v(member("remark", "in words"), s.remark);
}

/// One tin tried at the bench: the tin, and what was found.
struct TinTest : PaintTin {
  std::optional<double> opened_years_ago;
  std::optional<double> hardener_filled_years_ago, hardener_opened_years_ago;
  std::string date;
  Finding pressure = Finding::not_tried, rim = Finding::not_tried, stir_up = Finding::not_tried,
          gel = Finding::not_tried;
  std::optional<double> residue_kg, strained_m3;
  std::optional<CupReading> fresh_tin;  ///< a fresh tin of the same, or the figure on its label
  std::vector<SprayOut> spray_outs;
  std::string remark;
};
template <class V>
void describe(V& v, TinTest& t) {
  describe(v, static_cast<PaintTin&>(t));
  v(member("opened_years_ago", "since it was first opened; absent: sealed until now, or not known").within(0, 150),
    t.opened_years_ago);
  v(member("hardener_filled_years_ago", "of the hardener or catalyst that belongs to it").within(0, 150),
    t.hardener_filled_years_ago);
  v(member("hardener_opened_years_ago", "since the hardener was first opened; absent: still sealed").within(0, 150),
    t.hardener_opened_years_ago);
  v(member("date", "day it was tried, YYYY-MM-DD"), t.date);
  v(member("pressure", "lid eased under a cloth; good: none; doubtful: hisses; bad: swollen, spits"), t.pressure);
  v(member("rim", "good: clean; doubtful: dry crust wetted and taken off; bad: crust fell in"), t.rim);
  v(member("stir_up", "good: one liquid again; doubtful: soft cake, streaks; bad: hard cake"), t.stir_up);
  v(member("gel", "good: runs off the stick; doubtful: strings; bad: set"), t.gel);
  v(member("residue_g", "left on the strainer, blotted", unit::g).within(0, 10000), t.residue_kg);
  v(member("strained_mL", "what went through it", unit::mL).within(1, 100000), t.strained_m3);
  v(member("fresh_tin", "cup reading of a fresh tin of the same, or the figure on its label; compared with `readings`"),
    t.fresh_tin);
  v(member("spray_outs", "on glass and on each old coat it is meant for"), t.spray_outs);
  v(member("remark", "in words"), t.remark);
}

enum class TinVerdict { use, prove_on_scrap, do_not_use };
constexpr auto words(const TinVerdict*) { return std::array{"use", "prove_on_scrap", "do_not_use"}; }

struct Paint;

struct TinJudged {
  TinVerdict verdict = TinVerdict::prove_on_scrap;
  std::vector<std::string> reasons;    ///< what speaks against it, or for it
  std::vector<std::string> still_try;  ///< what has not been tried, in the order to try it
  std::vector<Note> notes;             ///< fire and breath
};

/// Law: anything bad rules a tin out; only a tin on which everything was tried and found good, spray-outs looked at
/// after a week, is used; all others are proved on scrap first. Source: common_practice. ESTIMATE: limits of residue
/// (0.5 and 2 % of the mass strained), of thickening (1.5 and 3 times the viscosity of a fresh tin, both brought to one
/// temperature) and the week. Age by the shelf life of what binds it (data/shelf_life.csv), the hardener's apart; a
/// binder without one is doubtful. `old_coats`: those the tin is to go over. Errors: a residue without what was
/// strained or the reverse; no such cup, a run-out outside its range.
Result<TinJudged> judge(const TinTest&, const Paint&, std::span<const ShelfLife>,
                        const std::vector<std::string>& old_coats);

/// The bench protocol, one step a line. Source: common_practice.
std::vector<std::string> tin_protocol();

}  // namespace witnessline::bench

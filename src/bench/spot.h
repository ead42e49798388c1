// Spot tests: a small place wiped, wetted or sprayed before the whole is; spraying waits for their answers.
#pragma once

#include <array>
#include <optional>
#include <string>

#include "base/describe.h"
#include "bench/paint_tin.h"
#include "body/where.h"

namespace witnessline::bench {

/// What a spot is tried for. Fisheye: does fresh finish crawl there (silicone, wax, oil). Bleed: does colour come up
/// out of what is below. Wrinkle: does the fresh solvent lift or craze it. Bond: does tape pull the dry spot off.
enum class SpotKind { fisheye, bleed, wrinkle, bond };
constexpr auto words(const SpotKind*) { return std::array{"fisheye", "bleed", "wrinkle", "bond"}; }

enum class SpotResult { not_done, clear, fails };
constexpr auto words(const SpotResult*) { return std::array{"not_done", "clear", "fails"}; }

struct SpotTest {
  SpotKind kind{};
  std::string coat;              ///< of the job, or "wood": what the spot was laid on
  std::optional<PaintTin> with;  ///< the tin it was laid from; absent: what the plan lays there
  Where where;
  SpotResult result = SpotResult::not_done;
  std::string date;
  std::string remark;
};
template <class V>
void describe(V& v, SpotTest& s) {
  v(member("kind", "fisheye, bleed, wrinkle or bond").must(), s.kind);
  v(member("coat", "coat of the job it was laid on, or wood").must(), s.coat);
  v(member("with",
           "tin it was laid from: it speaks for that paint, and with `batch` for that tin; absent: what the plan "
           "lays there"),
    s.with);
  v(member("where", "zone it speaks for; absent: wherever the coat shows"), s.where);
  v(member("result", "not_done, clear or fails"), s.result);
  v(member("date", "YYYY-MM-DD"), s.date);
  v(member("remark", "in words"), s.remark);
}

}  // namespace witnessline::bench

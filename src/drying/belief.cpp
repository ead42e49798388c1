#include "drying/belief.h"

#include <algorithm>
#include <cmath>

#include "base/random.h"
#include "base/result.h"
#include "drying/practice_tables.h"
#include "materials/csv.h"

namespace witnessline::drying {

namespace {

template <class Word>
std::optional<Word> word_in(const std::string& text) {
  const auto all = words(static_cast<const Word*>(nullptr));
  for (std::size_t i = 0; i < all.size(); ++i)
    if (text == all[i]) return static_cast<Word>(i);
  return std::nullopt;
}

/// Rows of a table inside the program: a fault in it is ours.
std::vector<CsvRow> rows_of(const char* text, const char* file) {
  Result<CsvTable> table = csv_table(text, file);
  expects(static_cast<bool>(table), "data/practice holds whole tables");
  return std::move(*table).rows;
}
double number_at(const CsvRow& row, std::size_t column) {
  const std::optional<double> number = number_in(row.cells.at(column));
  expects(number.has_value(), "data/practice holds numbers");
  return *number;
}

/// After practice: mean + root x draw, in the file's units.
struct Posterior {
  std::array<Conditioned, unknown_count> of;
  std::array<std::array<double, unknown_count>, unknown_count> root{};
};
const Posterior& posterior() {
  static const Posterior read = [] {
    Posterior made;
    std::size_t at = 0;
    static std::array<std::string, unknown_count> units;
    for (const CsvRow& row : rows_of(drying_unknowns_csv, "drying_unknowns.csv")) {
      const std::optional<Unknown> which = word_in<Unknown>(row.cells[0]);
      expects(which && static_cast<std::size_t>(*which) == at && at < unknown_count, "one row an unknown, in order");
      units[at] = row.cells[1];
      made.of[at] = {*which,           number_at(row, 2), number_at(row, 3), number_at(row, 4), number_at(row, 5),
                     units[at].c_str()};
      for (std::size_t k = 0; k < unknown_count; ++k) made.root[at][k] = number_at(row, 6 + k);
      ++at;
    }
    expects(at == unknown_count, "one row an unknown");
    return made;
  }();
  return read;
}

const std::array<BinderDrying, words(static_cast<const Binder*>(nullptr)).size()>& binders() {
  static const auto read = [] {
    std::array<BinderDrying, words(static_cast<const Binder*>(nullptr)).size()> made;
    for (const CsvRow& row : rows_of(drying_binders_csv, "drying_binders.csv")) {
      const std::optional<Binder> which = word_in<Binder>(row.cells[0]);
      expects(which.has_value(), "a binder a row");
      BinderDrying& one = made[static_cast<std::size_t>(*which)];
      const double value = number_at(row, 2), sd = number_at(row, 3);
      if (row.cells[1] == "hold")
        one.hold = value, one.hold_sd = sd, one.transition_sds = number_at(row, 8),
        one.transition_sd = number_at(row, 9), one.hold_per_transition = number_at(row, 10);
      else
        one.cure = {value / 3600, sd, number_at(row, 4), row.cells[5] == "air"};
    }
    return made;
  }();
  return read;
}

}  // namespace

double physical(const Draw& draw, Unknown which) {
  const auto u = static_cast<std::size_t>(which);
  double value = posterior().of[u].mean;
  for (std::size_t k = 0; k <= u; ++k) value += posterior().root[u][k] * draw[k];
  return value;
}

DrawnPhysics physics_of(const Draw& draw) {
  const auto value = [&](Unknown which) { return physical(draw, which); };
  DrawnPhysics made;
  made.how.jump = std::max(0.05, value(Unknown::jump));
  made.how.wet_m2_s = std::pow(10.0, value(Unknown::wet_diffusivity));
  made.how.glass_factor = std::max(0.0, value(Unknown::glass));
  made.solvent_transition_K = value(Unknown::solvent_transition);
  made.transfer = std::exp(value(Unknown::transfer));
  made.resin_sds = value(Unknown::resin_transition);
  made.laid = std::exp(value(Unknown::laid));
  made.binder_sds = value(Unknown::binder);
  made.how.glass_keeps = std::max(0.0, value(Unknown::kept));
  made.harder_K = value(Unknown::hardness);
  return made;
}

std::array<Conditioned, unknown_count> conditioned_unknowns() { return posterior().of; }

BinderDrying drying_of(Binder binder) { return binders()[static_cast<std::size_t>(binder)]; }

BinderDrying drying_of(const Material& material) {
  constexpr double filler_rate_per_h = 0.09, filler_rate_sd = 0.4;
  BinderDrying made = drying_of(material.binder);
  if (material.role == Role::filler && material.binder == Binder::oil_varnish)
    made.cure.rate_per_s = filler_rate_per_h / 3600, made.cure.rate_sd = filler_rate_sd;
  return made;
}

Belief usual_belief(int count, std::uint64_t seed) {
  Belief belief;
  belief.draws.resize(static_cast<std::size_t>(count));
  for (std::size_t i = 0; i < belief.draws.size(); ++i)
    for (std::size_t k = 0; k < unknown_count; ++k) belief.draws[i][k] = normal(Key{seed}.with(i).with(k));
  return belief;
}

Belief belief_of(Binder binder) {
  const bool spirit = binder == Binder::shellac || binder == Binder::spirit_varnish;
  const std::string wanted = words(
      static_cast<const Binder*>(nullptr))[static_cast<std::size_t>(spirit ? Binder::shellac : Binder::nitrocellulose)];
  Belief belief;
  for (const CsvRow& row : rows_of(drying_draws_csv, "drying_draws.csv")) {
    if (row.cells[0] != wanted) continue;
    Draw& draw = belief.draws.emplace_back();
    for (std::size_t k = 0; k < unknown_count; ++k) draw[k] = number_at(row, 1 + k);
  }
  expects(!belief.draws.empty(), "draws of a lacquer and of shellac");
  return belief;
}

double Belief::spread(Unknown which) const {
  const auto n = static_cast<double>(draws.size());
  double mean = 0, square = 0;
  for (const Draw& draw : draws) mean += physical(draw, which) / n;
  for (const Draw& draw : draws) square += (physical(draw, which) - mean) * (physical(draw, which) - mean) / n;
  return std::sqrt(square) / posterior().of[static_cast<std::size_t>(which)].sd;
}

}  // namespace witnessline::drying

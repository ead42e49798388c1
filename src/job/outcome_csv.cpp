// One row a figure: where it stands is told by the keys and ids on the way down to it.
#include <fmt/format.h>

#include <cmath>

#include "job/outcome.h"
#include "job/write.h"
#include "materials/csv.h"

namespace witnessline::job {
namespace {

std::string number(double si, Quantity quantity, BenchUnits units) {
  return std::isfinite(si) ? shortest(shown_unit(quantity, units).from_si(si), false) : "";
}

/// Visitor of describe(): goes down to every Figure.
class Rows {
 public:
  std::string text;

  template <class T>
  void operator()(const Member& m, T& value) {
    if constexpr (std::is_same_v<T, Figure>) {
      row(m, value);
    } else if constexpr (Optional<T>) {
      if (value) (*this)(m, *value);
    } else if constexpr (Text<T>) {
      return;
    } else if constexpr (requires(Rows & rows) { describe(rows, value.front()); }) {
      for (auto& item : value) down(m, item);
    } else if constexpr (requires(Rows & rows) { describe(rows, value); }) {
      down(m, value);
    }
  }

 private:
  template <class T>
  void down(const Member& m, T& value) {
    const std::string kept_plan = plan_, kept_step = step_, kept_about = about_;
    FirstText first;
    describe(first, value);
    if (m.key == "plans")
      plan_ = first.name;
    else if (m.key == "steps")
      step_ = first.name;
    else
      about_ = first.name.empty() ? std::string(m.key) : std::string(m.key) + ": " + first.name;
    describe(*this, value);
    plan_ = kept_plan, step_ = kept_step, about_ = kept_about;
  }

  /// The first text of a struct.
  struct FirstText {
    std::string name;
    bool found = false;
    template <class T>
    void operator()(const Member&, T& value) {
      if constexpr (Text<T>)
        if (!found) name = value, found = true;
    }
  };

  void row(const Member& m, const Figure& f) {
    const auto unit = [&](BenchUnits units) { return csv_cell(std::string(shown_unit(f.quantity, units).symbol)); };
    text += csv_cell(plan_) + "," + csv_cell(step_) + "," + csv_cell(about_) + "," + std::string(m.key);
    for (const BenchUnits units : {BenchUnits::metric, BenchUnits::us})
      text += fmt::format(",{},{},{},{}", number(f.value, f.quantity, units), unit(units),
                          number(f.band.low, f.quantity, units), number(f.band.high, f.quantity, units));
    text += "," + word_for(f.kind) + "," + csv_cell(f.source) + "," + csv_cell(f.law) + "\n";
  }

  std::string plan_, step_, about_;
};

}  // namespace

std::string outcome_csv(const Outcome& outcome) {
  Rows rows;
  rows.text = "plan,step,about,figure,value,unit,low,high,value_us,unit_us,low_us,high_us,kind,source,law\n";
  Outcome copy = outcome;
  describe(rows, copy);
  return rows.text;
}

}  // namespace witnessline::job

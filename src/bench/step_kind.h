// StepKind: all that a kind of step must bring, so that everything that lists, reads, checks, draws and carries steps
// out can do so without knowing the kinds.
#pragma once

#include <concepts>
#include <functional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "base/describe.h"
#include "base/figure.h"
#include "bench/traits.h"
#include "body/where.h"
#include "materials/material.h"

namespace witnessline::bench {

class StepContext;
struct StepResult;

/// What the settings of a step name elsewhere in the job, and where they contradict each other: reading a job asks it.
/// Keys are those of the step's description; an empty id or name means none.
class StepCheck {
 public:
  virtual void where(std::string_view key, const Where&) = 0;
  virtual void patches(std::string_view key, const std::vector<Patch>&) = 0;
  /// A material of the library in one of these roles.
  virtual void material(std::string_view key, const std::string& id, const std::vector<Role>&) = 0;
  /// A mixture of the job or a material of the library.
  virtual void paint(std::string_view key, const std::string& id) = 0;
  /// A coat found or laid before this step.
  virtual void coat(std::string_view key, const std::string& name) = 0;
  virtual void coat_or_wood(std::string_view key, const std::string& name) = 0;
  virtual void life(std::string_view key, const std::string& id) = 0;
  /// Whether the file gives this key.
  virtual bool given(std::string_view key) const = 0;
  virtual double shop_K() const = 0;
  /// `key` may be empty: the step itself.
  virtual void fault(std::string_view key, std::string what, std::string expected, std::string fix = {}) = 0;

  /// Two settings of which exactly one is given.
  void one_of(const std::string& a, bool has_a, const std::string& b, bool has_b, std::string fix = {}) {
    if (has_a != has_b) return;
    fault("", has_a ? "has both " + a + " and " + b : "has neither " + a + " nor " + b, "one of the two",
          std::move(fix));
  }
  void thinned(double parts, const std::string& thinner) {
    material("thinner", thinner, {Role::solvent});
    if (parts > 0 && thinner.empty()) fault("", "is thinned with nothing", "thinner, a material id");
  }

 protected:
  ~StepCheck() = default;
};

/// The one number of a step that must not be misread, for its card; empty: it has none.
struct Headline {
  std::string number, caption;
};
/// A value [SI] in the units a person chose.
using ShowQuantity = std::function<std::string(double, Quantity)>;

/// A kind of step has a word, says its traits, which of its inputs vary, what it names and its headline; each by
/// itself, none taken over from a base. Beside it stand describe() and work().
template <class S>
concept StepKind = requires {
  { S::word } -> std::convertible_to<std::string_view>;
  { &S::traits } -> std::same_as<Traits (S::*)() const>;
  { &S::vary } -> std::same_as<void (S::*)(VariedInput&)>;
  { &S::check } -> std::same_as<void (S::*)(StepCheck&) const>;
  { &S::headline } -> std::same_as<Headline (S::*)(const ShowQuantity&) const>;
};

/// One of the kinds of step. A kind that lacks something does not compile.
template <StepKind... Kinds>
using OneOf = std::variant<Kinds...>;

}  // namespace witnessline::bench

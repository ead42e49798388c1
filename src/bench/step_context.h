// StepContext: one step under way: what it reads, the result it fills, and how it says what went wrong.
#pragma once

#include <string>
#include <vector>

#include "bench/columns.h"
#include "bench/laws.h"
#include "bench/noise.h"
#include "bench/paint.h"
#include "bench/run.h"

namespace witnessline::bench {

/// Weights 0..1 a vertex: as asked for, and what is left of that where no tape or plug covers.
struct Reach {
  std::vector<float> asked, open;
  double open_m2 = 0;  ///< area, weights counted
};

class StepContext {
 public:
  StepContext(const PlannedStep&, const Film& before, const Bench&);

  const PlannedStep& planned;
  const Film& before;
  const Bench& bench;
  const Body& body;
  StepResult result;  ///< its film starts as a copy of `before`

  Film& film() { return result.film; }
  /// Key of a draw of this step, e.g. key("grip").
  Key key(std::string_view draw) const;
  /// "steps.<id>.<member>"
  std::string place(std::string_view member = {}) const;
  Error error(std::string what, std::string_view member, std::string expected = {}, std::string fix = {}) const;
  void note(Severity, std::string text);

  /// Errors: a region that is not there; nothing open under `where`.
  Result<Reach> reach(const Where&) const;
  /// The same while the instrument is lived with, its parts on: less what they cover; and less what lies close beside
  /// them where hands and straps are meant. Errors: nothing is left.
  Result<Reach> reach_in_use(const Where&, Shelter least_kept_off) const;
  /// Index of the outermost layer laid by `coat`. Errors: no such coat, with the nearest right name.
  Result<std::size_t> coat_named(const std::string& coat, std::string_view member) const;
  /// A life of the job. Errors: no such life, with the nearest right name.
  Result<const Life*> life_named(const std::string& life) const;
  /// Weight 0..1 of what lies under parts. Errors: a patch that is on no face.
  Result<std::vector<float>> under_parts(const std::vector<Patch>&) const;
  /// The paint a layer was laid with; its materials were checked when it was laid.
  Result<std::vector<Paint>> paints() const;

  /// Puts the books into the result's ledger; notes every coat below `may_go` that was gone through.
  void keep(const MassBalance&, std::size_t may_go);
  /// `mixture`: of the job, of which it is a part; empty: used by itself.
  void use(const std::string& material, double volume_m3, double density_kg_m3, const std::string& mixture = {});
  /// Dangers of cutting into what the layers hold.
  /// Says so where the film to be cut still holds much solvent (15 % of the dry film, ESTIMATE).
  void warn_of_wet_film(const std::vector<float>& weights);
  void warn_of_dust(const MassBalance&, const std::vector<Paint>&, const std::vector<float>& weights);
  void worked(double hands_on_h, double waiting_s = 0);
  /// Work of the shop that belongs to this step, at the shop's own time where its log has one.
  void worked(ShopWork);
  Result<StepResult> done();
};

/// next(vertex, value) -> new value, at every vertex, in parallel; chunks that stay the same stay shared.
template <class T, class Next>
void change(Field<T>& field, const Next& next) {
  for_chunks(field.size(), field_chunk, [&](std::size_t begin, std::size_t end) {
    thread_local std::vector<T> values;
    values.resize(field_chunk);
    const std::size_t c = begin / field_chunk;
    field.read(c, values.data());
    bool changed = false;
    for (std::size_t v = begin; v < end; ++v) {
      const T now = next(v, values[v - begin]);
      changed |= now != values[v - begin];
      values[v - begin] = now;
    }
    if (changed) field.write(c, values.data());
  });
}

/// Moves a value towards `to` by a weight.
inline float towards(float from, double to, float weight) {
  return static_cast<float>(static_cast<double>(from) + static_cast<double>(weight) * (to - static_cast<double>(from)));
}

/// "3.2 cm2"
std::string area_text(double area_m2);

/// A value inside a triangle from those at its corners: of(vertex).
template <class Of>
double value_at(const SurfacePoint& at, const Body& body, const Of& of) {
  const Triangle& t = body.triangles()[at.triangle];
  const double u = static_cast<double>(at.u), v = static_cast<double>(at.v);
  return (1 - u - v) * static_cast<double>(of(t[0])) + u * static_cast<double>(of(t[1])) +
         v * static_cast<double>(of(t[2]));
}

/// Marks get shallower by what was cut where they lie, ridges `ridge_factor` times faster. Each point of a mark goes by
/// its own place: where it is cut through the mark ends, and what is left on either side is a mark of its own, as deep
/// as its points are on average.
void wear_marks(StepContext&, double ridge_factor);

}  // namespace witnessline::bench

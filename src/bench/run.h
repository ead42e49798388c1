// run: the loop that takes a plan from one film state to the next and keeps the books.
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "base/result.h"
#include "bench/paint_tin.h"
#include "bench/shop_time.h"
#include "bench/step.h"
#include "body/body.h"
#include "drying/common_practice.h"
#include "film/film.h"
#include "materials/life.h"

namespace witnessline::bench {

/// What the shop is like while a plan runs.
struct Shop {
  double temperature_K = 294.15;
  double relative_humidity = 0.5;
  double air_speed_m_s = 0.3;
  double pace = 1.0;                 ///< hours of this shop over the usual hours
  double rate_per_h = 0;             ///< price of one hour in the shop's own currency; 0: not given
  std::vector<ShopTime> times = {};  ///< the shop's own, from its log
};

/// Everything a step needs to know that is not in the film.
struct Bench {
  Body body;
  const Library& library;
  std::vector<std::shared_ptr<const Material>> woods;  ///< by Body::wood_of
  std::map<std::string, std::shared_ptr<const Mixture>>
      mixtures;  ///< of the job, by id; a material id stands for itself
  Shop shop;
  std::uint64_t seed = 0;
  std::map<std::string, Life> lives = {};  ///< of the job, by id
  std::vector<PaintTin> tins = {};         ///< of the shop's shelf: a step lays what stands there under its name
  std::vector<Shelter> shelter = {};       ///< a vertex; empty: no parts
};

/// Volumes of one coat gained and lost in one step [m3], each term accumulated where it happens.
struct CoatVolumes {
  std::string coat;  ///< Provenance::laid_by
  Origin origin{};
  double laid_m3 = 0, cut_m3 = 0, lifted_m3 = 0;  ///< dry solids
  double dissolved_m3 = 0;                        ///< dry solids melted into the coat above; they stay in this coat
  double gone_through_m2 = 0;                     ///< area where the last of this coat went
  double solvent_laid_m3 = 0, solvent_left_m3 = 0,
         solvent_cut_m3 = 0;     ///< solvent: laid, evaporated, removed with the film
  double solvent_soaked_m3 = 0;  ///< solvent taken up from other coats; negative: given to them
};
template <class V>
void describe(V& v, CoatVolumes& c) {
  v(member("coat", "coat of the job, or step that laid it"), c.coat);
  v(member("origin", "original, later or this plan"), c.origin);
  v(member("laid_mL", "dry solids laid", unit::mL), c.laid_m3);
  v(member("cut_mL", "dry solids cut away", unit::mL), c.cut_m3);
  v(member("lifted_mL", "dry solids lifted", unit::mL), c.lifted_m3);
  v(member("dissolved_mL", "dry solids melted into the coat above", unit::mL), c.dissolved_m3);
  v(member("gone_through_cm2", "area where the last of this coat went", unit::cm2), c.gone_through_m2);
  v(member("solvent_laid_mL", "solvent laid with the film", unit::mL), c.solvent_laid_m3);
  v(member("solvent_left_mL", "solvent that has left into the air", unit::mL), c.solvent_left_m3);
  v(member("solvent_cut_mL", "solvent removed with the film", unit::mL), c.solvent_cut_m3);
  v(member("solvent_soaked_mL", "solvent taken up from other coats; negative: given to them", unit::mL),
    c.solvent_soaked_m3);
}
struct Used {
  std::string material;
  double volume_m3 = 0;  ///< of the liquid as bought
  double mass_kg = 0;
  std::string mixture = {};  ///< of the job, of which it was a part; empty: used by itself
};
struct Ledger {
  std::vector<CoatVolumes> coats;
  double wood_cut_m3 = 0;
  double overspray_solids_m3 = 0, overspray_solvent_m3 = 0;
  std::vector<Used> used;
};

/// Where a new coat came to lie on one that was there before.
struct LaidOn {
  std::string coat;  ///< Provenance::laid_by; "wood": bare wood
  Origin origin{};
  double area_m2 = 0;
  Meeting meeting = Meeting::unknown;  ///< how the two will take to each other; of bare wood: bites_in
};

/// One step done.
struct StepResult {
  std::string id, word;
  Film film;      ///< after the step
  Ledger ledger;  ///< of this step alone
  double hands_on_s = 0, waiting_s = 0;
  double gun_on_s = 0;  ///< of the hands-on time, while the gun sprays
  std::vector<Note> notes;
  std::vector<LaidOn> laid_on{};  ///< of a step that lays
  bool wears = false;             ///< Traits::wears of the step
  double too_soft_m2 = 0;         ///< area of a step that cuts where the film is still too soft for it
  SurfaceEffect surface = SurfaceEffect::none;
};

/// A plan worked out: steps[0] is the film before anything was done (id "before").
struct Run {
  std::string plan;
  std::vector<StepResult> steps;
};

/// Works a plan out from `before`. Errors: a forbidden order, a step on a coat that is not there, an unknown material.
/// `progress(done, total)` is called after each step; may be empty.
Result<Run> run(const Plan&, const Film& before, const Bench&,
                const std::function<void(int done, int total)>& progress = {});

/// One step as a pure function. Errors name the key "steps.<id>"; run() puts "plans.<plan>." before it.
Result<StepResult> run_step(const PlannedStep&, const Film& before, const Bench&);

/// Keeps the states of earlier runs by hash(step, upstream, library, body): an edit recomputes only from there.
class RunCache {
 public:
  explicit RunCache(std::size_t most_bytes = std::size_t{2} << 30);
  Result<Run> run(const Plan&, const Film& before, const Bench&, const std::function<void(int, int)>& progress = {});
  int steps_computed_last_time() const;
  struct Data;

 private:
  std::shared_ptr<Data> data_;
};

}  // namespace witnessline::bench

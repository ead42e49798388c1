// WearPlausibility: wear that was laid or found, beside what contact would have worn; and where wear surprises least.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bench/contact.h"
#include "bench/run.h"
#include "view/ageing.h"

namespace witnessline::history {

/// A joined place of the surface.
struct WornPlace {
  Vec3 at;                           ///< its deepest point [m]
  std::vector<std::string> regions;  ///< regions that point lies in, for a person to find it
  double area_m2 = 0;
  double laid_m = 0;     ///< deepest wear that was laid or found there
  double contact_m = 0;  ///< deepest that contact would have worn there
  double film_m = 0;     ///< all coats at that point before any wear: contact wears no deeper, it stops at the wood
  int most = -1;         ///< Touch that does most at that point; -1: nothing touches it
};

/// What of a coat shows where wear was laid.
struct WornRing {
  std::string coat;  ///< or "wood"
  double area_m2 = 0;
  std::optional<double> width_m;  ///< mean; infinite where it has no edge; absent: worn thinner, not gone through to
};

/// A cut of paper or wheel that rubbed through a coat where no contact reaches and stays in sight: it is not play wear.
struct WorkLoss {
  std::string step, word;
  double area_m2 = 0;
};

/// A loose patch or bubble the survey found.
struct LoosePatch {
  WornPlace place;
  std::string remark;
  bool may_pass_for_wear = false;  ///< contact would have gone through the film there
};

struct WearPlausibility {
  bool by_steps = false;                          ///< wear steps are judged; else what the finish came with
  double laid_m2 = 0;                             ///< area where more than `seen_m` was worn
  double unexplained_m2 = 0;                      ///< of it, what no contact explains
  double untouched_m2 = 0;                        ///< area a life would have worn and the plan leaves as it is
  std::vector<WornPlace> unexplained, untouched;  ///< largest first
  std::vector<WornRing> rings;                    ///< wood first
  std::vector<WornEdge> edges;                    ///< the thickest first
  int chips = 0;                                  ///< of knocks: they count in no area above
  double chipped_m2 = 0, chip_deepest_m = 0;
  std::vector<WorkLoss> by_work;
  std::vector<LoosePatch> loose;
  std::vector<Contact> contacts;
  std::vector<Note> notes;
};

/// ESTIMATE: wear less deep than this is not seen as wear.
inline constexpr double wear_seen_m = 5e-6;
/// ESTIMATE: contact is known to this factor either way, in 9 cases of 10: what practice leaves of K
/// (bench/wear_unknowns.h).
double contact_known_to();

/// Law: laid wear above 3 x what contact wears there, and above 5 um, is unexplained; contact above 3 x 5 um where a
/// third of it was not laid is untouched. The wear laid is what the `wear` steps of the run took off; strips and cuts
/// of the plan are none. A run without one is read as found, before its first step: an original coat that is gone where
/// its neighbours have it counts as worn, unless something newer lies there. Errors: a coat whose paint is not known.
Result<WearPlausibility> wear_plausibility(const Run&, const Bench&, const Life&);

/// Where `area_m2` of a coat would show first, as contact goes: the places and how much longer or shorter a life that
/// takes. share: of the life given; infinite: contact never bares so much of it.
struct Showing {
  std::string coat;
  double asked_m2 = 0, shows_m2 = 0;  ///< as it is now
  double share = 0;
  std::vector<WornPlace> places;  ///< laid_m: depth to cut there
};
/// Errors: no such coat.
Result<Showing> most_plausible(const std::string& coat, double area_m2, const Film&, const Bench&, const Life&);

/// Depth a life would wear off a film at every vertex [m]. Errors: a coat whose paint is not known.
Result<std::vector<float>> contact_wear_m(const Film&, const Bench&, const Life&);

/// A life of one who plays it and takes it out: every touch that comes about as it is held, with its usual hours
/// (ESTIMATE), for when none is known.
Life usual_life(Hold = Hold::unstated);

}  // namespace witnessline::history

// A shelf, an aim and a laying as the search sees them.
#pragma once

#include "match/match.h"

namespace witnessline::match {

/// Every fault of a request that is not about one answer.
std::vector<Error> faults_of(const std::vector<Tin>&, const Aim&, const LaidFilm&, const Weighing&);

/// Why a reading is none of a surface that only reflects: a value that cannot be, or more than all light on average.
/// Empty: it may be one.
std::string why_no_reflectance(const Reflectance&);
/// Says where a reading lies above all light.
void note_above_white(std::vector<Note>&, const Reflectance&, const std::string& what);

/// Says which tins cannot be used.
void note_left_out(std::vector<Note>&, const std::vector<Tin>&);

/// What lies behind the face of the ground [1]. A reading below the face's own reflection counts as black.
Spectrum ground_inside(const LaidFilm&, double specular_share);
/// Of the clear, there and back [1].
Spectrum through_clear(const LaidFilm&, bool aged);

/// The views that are shown; those that count come first.
std::vector<View> views_that_count(const Aim&, const LaidFilm&);
std::vector<View> all_views(const Aim&, const LaidFilm&);

/// The search's problem for the views that count. Bounds: what is left of each tin in a batch of `batch_kg`.
SearchProblem problem_of(const std::vector<Tin>&, const Aim&, const LaidFilm&, double batch_kg);

/// K and S per metre of a mixture of masses.
struct MixedTins {
  Spectrum absorption_per_m, scattering_per_m;
};
MixedTins mixed_tins(const std::vector<Tin>&, const std::vector<double>& mass_kg);

/// What the laid film reads [1], in double precision. Law: as MixtureKernel.
Reflectance laid(const MixedTins&, const LaidFilm&, double specular_share, bool aged);

/// Aim, colour and difference under each of `views`.
std::vector<ViewDifference> differences(const std::vector<View>&, const Aim&, const Reflectance& on_the_day,
                                        const Reflectance& as_aged);
/// One number of several views. `count`: how many of them, from the first, count.
double closeness_of(const std::vector<ViewDifference>&, std::size_t count, const Aim&);

/// What keeps the best recipe from being closer.
void say_why(Match&, const std::vector<Tin>&, const Aim&, const LaidFilm&, double batch_kg, const Candidate& best);

}  // namespace witnessline::match

// What `match` and `correct` are both asked with: a shelf, a target, and how the colour will be laid.
#pragma once

#include "app/answer_parts.h"
#include "app/verbs/surface.h"
#include "bench/paint_tin.h"
#include "match/correct.h"

namespace witnessline::app {

/// A tin of the shop's shelf, of a material, a mixture or a colorant the shop has read itself; with what only mixing
/// colours asks of it.
struct TinGiven : PaintTin {
  double in_cup_kg = 0, density_kg_m3 = 0;
  std::vector<double> absorption_per_m, scattering_per_m, absorption_log_sd, scattering_log_sd;
};
inline constexpr Unit per_mm{"per mm", 1e3};
template <class V>
void describe(V& v, TinGiven& t) {
  describe(v, static_cast<PaintTin&>(t));
  v(member("in_cup_g", "already in the batch that is to be corrected", unit::g).within(0, 1e6), t.in_cup_kg);
  v(member("density_g_L", "of the liquid as it is weighed; absent: the library's; a colorant of `readings` needs it",
           grams_per_litre)
        .within(0, 5000),
    t.density_kg_m3);
  v(member("absorption_per_mm", "K of its dry film as last known, 36 bands; in place of readings", per_mm)
        .within(0, 1e6),
    t.absorption_per_m);
  v(member("scattering_per_mm", "S of it", per_mm).within(0, 1e6), t.scattering_per_m);
  v(member("absorption_log_sd", "standard uncertainty of log K; absent: tin_sd_pct").within(0, 10),
    t.absorption_log_sd);
  v(member("scattering_log_sd", "of log S").within(0, 10), t.scattering_log_sd);
}

struct MixGiven {
  std::vector<TinGiven> shelf;
  std::string readings;
  double unit_film_m = 0, tin_sd_fraction = 0.15;
  SurfaceGiven target, ground;
  std::vector<CoatGiven> over;
  double light_ahead_lx_s = 0;
  std::vector<Lamp> lamps{Lamp::D65, Lamp::A, Lamp::LED_B3};
  std::vector<double> lamp_weights;
  Observer observer = Observer::deg10;
  Closeness closeness = Closeness::worst;
  MatchWhen when = MatchWhen::on_the_day;
  bool specular_included = false;
  double film_m = 0, film_sd_fraction = 0.15, coat_m = 12e-6, scale_kg = 1e-5;
};
template <class V>
void describe_mix(V& v, MixGiven& m) {
  v(member("shelf", "colorants to choose from, up to 40").must(), m.shelf);
  v(member("readings",
           "table of films of the shop's own colorants, tins of `shelf` named as its columns: docs/formats.md, Colour "
           "prediction tables"),
    m.readings);
  v(member("unit_film_um", "dry film that thickness 1 in `readings` stands for; 0: 50 is assumed", unit::um)
        .within(0, 2000),
    m.unit_film_m);
  v(member("tin_sd_pct", "how well K and S of a tin are known that says nothing of it", unit::pct).within(1, 100),
    m.tin_sd_fraction);
  v(member("target", "the colour to be met, as it is or was").must(), m.target);
  v(member("ground", "what the colour is laid over, as it is").must(), m.ground);
  v(member("over", "clear that will lie on the colour, in order"), m.over);
  v(member("light_ahead_Mlx_h", "light the clear will have had when it counts as aged", unit::Mlx_h).within(0, 2000),
    m.light_ahead_lx_s);
  v(member("lamps", "judged under; metamerism is counted from the first"), m.lamps);
  v(member("lamp_weights", "one a lamp; absent: all alike").within(0, 1000), m.lamp_weights);
  v(member("observer", "judged by"), m.observer);
  v(member("closeness", "worst lamp, or weighted mean of the lamps"), m.closeness);
  v(member("when", "when it has to match: on the day, as the clear will have aged, or both"), m.when);
  v(member("specular_included", "target, ground and panel were read with the face's reflection"), m.specular_included);
  v(member("film_um", "dry film of the colour that is planned", unit::um).within(0, 2000).must(), m.film_m);
  v(member("film_sd_pct", "how well a panel's dry film is kept to", unit::pct).within(0, 100), m.film_sd_fraction);
  v(member("coat_um", "dry film one coat leaves", unit::um).within(0.5, 500), m.coat_m);
  v(member("scale_g", "resolution of the scale", unit::g).within(1e-4, 100), m.scale_kg);
}

/// The request as the engine takes it.
struct Mix {
  std::vector<Tin> shelf;
  std::vector<double> density_kg_m3;  ///< of each
  ShelfKnowledge known;
  Aim aim;
  LaidFilm laying;
  std::vector<Note> notes;
};
/// Errors: each with its key.
Result<Mix> mix_of(const MixGiven&, const Asking&);
/// A reading of the request: as the engine takes it.
Result<Reflectance> read_surface(const SurfaceGiven&, const std::string& key, const MixGiven&, const Asking&,
                                 std::vector<Note>&);

/// One pour, in weighing order.
struct PourResult {
  std::string material, name, batch;
  double mass_kg = 0, exact_kg = 0, running_kg = 0;
};
template <class V>
void describe(V& v, PourResult& p) {
  v(member("material", "material id"), p.material);
  v(member("name", "as said at the bench"), p.name);
  v(member("batch", "tin or batch"), p.batch);
  v(member("mass_g", "to weigh", unit::g), p.mass_kg);
  v(member("exact_g", "before rounding to the scale", unit::g), p.exact_kg);
  v(member("running_g", "what the scale then shows, not set to zero in between", unit::g), p.running_kg);
}
/// What must be said of the paints that are poured: those with poisonous metals first, as dangers.
void add_cautions(const std::vector<PourResult>&, const Asking&, std::vector<Note>&);
/// The dangers among notes, one a line, for the head of a text.
std::string dangers_of(const std::vector<Note>&);

std::vector<PourResult> result_of(const std::vector<Pour>&, const MixGiven&, const Mix&);
/// "1. 132.40 g zinc white (scale shows 132.40 g)", a line each.
std::string format_text(const std::vector<PourResult>&, BenchUnits);

/// One lamp, on the day or as aged.
struct ViewResult {
  Lamp lamp = Lamp::D65;
  bool aged = false;
  Lab aim, lab;
  double delta_e = 0;
};
template <class V>
void describe(V& v, ViewResult& d) {
  v(member("lamp", "lamp"), d.lamp);
  v(member("aged", "with the clear as it will have aged"), d.aged);
  v(member("aim", "L*a*b* of the target"), d.aim);
  v(member("lab", "L*a*b* of the mixture"), d.lab);
  v(member("delta_e", "Delta E 2000"), d.delta_e);
}
std::vector<ViewResult> result_of(const std::vector<ViewDifference>&);
std::string format_text(const std::vector<ViewResult>&);

}  // namespace witnessline::app

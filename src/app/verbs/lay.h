// Verb `lay`: what the gun lays in a coat, how wet it may be before it runs, and what weather changes.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/answer_parts.h"
#include "app/verb.h"
#include "bench/tin_facts.h"
#include "drying/wet_coat.h"
#include "job/job.h"

namespace witnessline::app {

struct LayRequest {
  PaintTin tin;
  std::string thinner;
  double thinning = 0;
  Gun gun;
  double film_m = 0;
  std::optional<double> viscosity_Pa_s;
  double temperature_K = 294.15, relative_humidity = 0.5, air_speed_m_s = 0.3;
  double colder_K = 6, wetter_humidity = 0.25;
  double visible_m = usual_visible_run_m;
  std::optional<double> lost_in_flight;
};
template <class V>
void describe(V& v, LayRequest& r) {
  v(member("tin", "what is laid").must(), r.tin);
  v(member("thinner", "solvent or thinner, a material id; absent: as supplied"), r.thinner);
  v(member("thinning", "parts thinner by volume to one part of paint").within(0, 20), r.thinning);
  v(member("flow_mL_min", "liquid through the nozzle, weighed or measured over a minute", mL_min)
        .within(1, 2000)
        .must(),
    r.gun.flow_m3_s);
  v(member("transfer_pct", "share of it that lands (ESTIMATE unless the shop weighed it)", unit::pct).within(5, 95),
    r.gun.transfer);
  v(member("speed_m_s", "of the hand", unit::m_s).within(0.02, 3), r.gun.speed_m_s);
  v(member("fan_mm", "width of the fan on the work", unit::mm).within(5, 600), r.gun.fan_m);
  v(member("overlap_pct", "of one pass by the next", unit::pct).within(0, 95), r.gun.overlap);
  v(member("fan_power", "shape of the fan: 2 a parabola, 1.5 flatter, 3 more peaked").within(1.1, 8), r.gun.fan_power);
  v(member("film_um", "dry film of all coats", unit::um).within(0.5, 1000).must(), r.film_m);
  v(member("viscosity_mPa_s",
           "as thinned, at the temperature of the shop; absent: from the tin's cup readings, or the library's figure",
           unit::mPa_s)
        .within(1, 5000),
    r.viscosity_Pa_s);
  v(member("temperature_degC", "air of the shop", unit::degC).within(0, 45), r.temperature_K);
  v(member("relative_humidity_pct", "of the shop's air", unit::pct).within(1, 100), r.relative_humidity);
  v(member("air_speed_m_s", "over the wet film", unit::m_s).within(0.02, 5), r.air_speed_m_s);
  v(member("colder_K", "how much colder the other day is", unit::K).within(0, 30), r.colder_K);
  v(member("wetter_pct", "how much more humid the other day is", unit::pct).within(0, 90), r.wetter_humidity);
  v(member("visible_mm", "how far a film may run at an edge or a hole before it shows (ESTIMATE 3, 1 to 6)", unit::mm)
        .within(0.1, 50),
    r.visible_m);
  v(member("lost_in_flight_pct",
           "solvent that leaves between gun and work; absent: by the viscosity of the mix (ESTIMATE, 10 to 40)",
           unit::pct)
        .within(0, 80),
    r.lost_in_flight);
}

/// One day's weather and what it makes of a coat.
struct LaidDay {
  std::string name;
  Figure viscosity_ratio, wet_for, thickest, thickest_open, runs, coldest, dew_point, no_mist, no_blush;
  Holds holds = Holds::everywhere;
  Blush blush = Blush::none;
};
template <class V>
void describe(V& v, LaidDay& d) {
  v(member("name", "which day"), d.name);
  v(member("viscosity_ratio", "viscosity in the gun over that of today"), d.viscosity_ratio);
  v(member("wet_for", "until a tenth of the solvent of one coat is left"), d.wet_for);
  v(member("thickest", "wet film, as mixed, that holds at edges and holes"), d.thickest);
  v(member("thickest_open", "wet film, as mixed, that holds on an open upright face"), d.thickest_open);
  v(member("runs", "how far this coat runs on an upright face before it sets"), d.runs);
  v(member("coldest", "coldest the film gets"), d.coldest);
  v(member("dew_point", "of the air"), d.dew_point);
  v(member("no_mist", "humidity up to which no water settles on it"), d.no_mist);
  v(member("no_blush", "humidity up to which it is gone again before the film sets"), d.no_blush);
  v(member("holds", "where this coat stays on an upright face: everywhere, on open faces only, or nowhere"), d.holds);
  v(member("blush", "water of the air on it: none, clears before it sets, or stays"), d.blush);
}

struct LayAnswer {
  std::vector<std::string> sentences;
  Figure wet, dry, unevenness, coats, gauge_at_once, gauge_after, solvent_left;
  std::vector<LaidDay> days;
  std::vector<Curve> curves;
  std::vector<Note> notes;
};
template <class V>
void describe(V& v, LayAnswer& a) {
  v(member("sentences", "in plain words"), a.sentences);
  v(member("wet", "wet film of one coat, as mixed"), a.wet);
  v(member("dry", "dry film it leaves"), a.dry);
  v(member("unevenness", "thickest less thinnest over the mean, of one coat of parallel passes"), a.unevenness);
  v(member("coats", "coats for the film asked for"), a.coats);
  v(member("gauge_at_once", "what a comb gauge should read at once"), a.gauge_at_once);
  v(member("gauge_after", "what it should read after a minute"), a.gauge_after);
  v(member("solvent_left", "relative energy difference of the solvent left to what binds the paint, at its worst"),
    a.solvent_left);
  v(member("days", "today, a colder and a wetter day"), a.days);
  v(member("curves", "the coat while it dries"), a.curves);
  v(member("notes", "notes, cautions and dangers"), a.notes);
}

Verb lay_verb();

}  // namespace witnessline::app

#include "app/verbs/enough.h"

#include <fmt/format.h>

#include <cmath>

#include "bench/enough.h"
#include "bench/tin_facts.h"
#include "job/job.h"
#include "materials/coverage.h"

namespace witnessline::app {

namespace {

struct EnoughRequest {
  PaintTin tin;
  double have_sd = usual::tin_sd;
  std::optional<double> sprays;
  double area_m2 = 0, area_sd = usual::area_sd;
  double edge_m = 0, overshoot_m = 0.05;
  double panels_m2 = 0;
  double film_m = 0, film_sd = usual::film_sd;
  std::optional<double> solids_sd;
  double transfer = 0.5, transfer_sd = usual::transfer_sd;
  std::optional<Applicator> with;
  double fillings = 1;
  std::optional<double> lost_m3;
  double hidden_fraction = 0, least_film_m = 0;
};
template <class V>
void describe(V& v, EnoughRequest& r) {
  v(member("tin", "the paint, with how much is left of it before thinning (volume_mL)").must(), r.tin);
  v(member("have_sd_pct", "how well that is known", unit::pct).within(0, 50), r.have_sd);
  v(member("sprays_pct",
           "chance that this tin sprays and dries as it should: 98 tried and found good, 80 to be proved on scrap; "
           "absent: 95, an untested tin",
           unit::pct)
        .within(0, 100),
    r.sprays);
  v(member("area_cm2", "to be covered", unit::cm2).within(1, 1e6).must(), r.area_m2);
  v(member("area_sd_pct", "how well that is known", unit::pct).within(0, 50), r.area_sd);
  v(member("edge_mm", "length of edge the fan runs out over", unit::mm).within(0, 1e5), r.edge_m);
  v(member("overshoot_mm", "how far it runs out", unit::mm).within(0, 500), r.overshoot_m);
  v(member("panels_cm2", "spray-out cards and test panels, same film", unit::cm2).within(0, 1e6), r.panels_m2);
  v(member("film_um", "dry film of all coats, as laid", unit::um).within(0.5, 1000).must(), r.film_m);
  v(member("film_sd_pct", "how evenly and truly it is laid", unit::pct).within(0, 50), r.film_sd);
  v(member("solids_sd_pct",
           "how well its volume solids are known, share of itself; absent: as its label or the library", unit::pct)
        .within(0, 80),
    r.solids_sd);
  v(member("transfer_pct", "share of the solids that lands (ESTIMATE unless the shop weighed it)", unit::pct)
        .within(5, 95),
    r.transfer);
  v(member("transfer_sd_pct", "how well that is known, share of itself", unit::pct).within(0, 80), r.transfer_sd);
  v(member("with", "what it is put on with; absent: what so much paint is usually put on with"), r.with);
  v(member("fillings", "times it is filled and emptied").within(1, 100), r.fillings);
  v(member("lost_mL",
           "each time, in cup, hose and strainer; absent: gun 20, small gun 6, airbrush and brush 1 (ESTIMATE)",
           unit::mL)
        .within(0, 1000),
    r.lost_m3);
  v(member("hidden_pct", "share of the area that shows least and could take fresh material", unit::pct).within(0, 90),
    r.hidden_fraction);
  v(member("least_film_um", "thinnest film that still serves; absent: it is not to be thinner", unit::um)
        .within(0, 1000),
    r.least_film_m);
}

struct Offered {
  std::string what;
  Figure alone, with_all_before;
};
template <class V>
void describe(V& v, Offered& o) {
  v(member("what", "what could be given up"), o.what);
  v(member("alone", "chance that the tin is enough with this alone given up"), o.alone);
  v(member("with_all_before", "and with everything listed before it"), o.with_all_before);
}

struct EnoughAnswer {
  std::vector<std::string> sentences;
  Figure need, fixed_loss, chance, drawn, coverage, left;
  std::vector<Offered> give_up;
  std::vector<Note> notes;
};
template <class V>
void describe(V& v, EnoughAnswer& a) {
  v(member("sentences", "in plain words"), a.sentences);
  v(member("need", "paint the job takes, as it stands in the tin"), a.need);
  v(member("fixed_loss", "of that, what stays in cup, hose and strainer"), a.fixed_loss);
  v(member("chance", "chance that the tin is enough"), a.chance);
  v(member("drawn", "the same by draws, to check the closed form"), a.drawn);
  v(member("coverage", "area a litre covers with this film, loss beside the work counted"), a.coverage);
  v(member("left", "left in the tin after the job; below zero: short by so much"), a.left);
  v(member("give_up", "what to give up, first things first (order: common practice, no source)"), a.give_up);
  v(member("notes", "notes, cautions and dangers"), a.notes);
}

Figure figure(std::string name, double value, Band band, Quantity quantity, std::string law, std::string source,
              std::vector<Input> inputs = {}) {
  Figure f;
  f.name = std::move(name), f.value = value, f.band = band, f.quantity = quantity, f.law = std::move(law);
  f.source = std::move(source), f.inputs = std::move(inputs), f.kind = Kind::estimate;
  return f;
}

Result<EnoughAnswer> enough(const EnoughRequest& asked, const Asking& asking) {
  const Result<Paint> paint = paint_of(asked.tin, asking.library, "tin");
  std::vector<Error> faults;
  if (!paint) faults = paint.errors();
  if (paint && !(paint->volume_solids > 0))
    faults.push_back({fmt::format("'{}' leaves no film", asked.tin.material),
                      {"", 0, 0, "tin.material"},
                      "a paint",
                      "name what is laid; thinner comes out of its own tin"});
  if (!(asked.tin.volume_m3 > 0))
    faults.push_back({"nothing says how much is in the tin",
                      {"", 0, 0, "tin.volume_mL"},
                      "more than 0 mL",
                      "weigh the tin, take off an empty one of its kind, and divide by the density on its label"});
  if (asked.least_film_m > asked.film_m)
    faults.push_back({"the thinnest film that serves is thicker than the film asked for",
                      {"", 0, 0, "least_film_um"},
                      "at most film_um",
                      ""});
  if (!faults.empty()) return faults;
  const double solids_fraction = paint->volume_solids;
  const Datum* solids = asked.tin.solids_frac || !paint->main ? nullptr : paint->main->find(Property::volume_solids);
  const double solids_sd = asked.solids_sd.value_or(solids_sd_of(asked.tin, *paint) / solids_fraction);
  Covering covering{{with_edges_m2(asked.area_m2, asked.edge_m, asked.overshoot_m), asked.area_sd},
                    {asked.panels_m2, asked.area_sd},
                    {asked.film_m, asked.film_sd},
                    {solids_fraction, solids_sd},
                    {asked.transfer, asked.transfer_sd},
                    asked.fillings,
                    0};
  const Applicator with = asked.with.value_or(usual_applicator(needed(covering).middle_m3));
  covering.lost_m3 = asked.lost_m3.value_or(filling_of(with).lost_m3);
  const Spread have{asked.tin.volume_m3, asked.have_sd};
  const double sprays = asked.sprays ? bounded_chance(*asked.sprays) : chance_it_sprays({});
  const Enough all = enough_of(covering, have, sprays, asked.hidden_fraction, asked.least_film_m);
  const Need& need = all.need;

  EnoughAnswer a;
  a.need = figure("paint needed", need.middle_m3, need.band_m3, Quantity::film_volume,
                  "(area + panels) x film / (volume solids x transfer) + fillings x loss", "geometry",
                  {{"area with edges", covering.area_m2.value, Quantity::area, Kind::measured, ""},
                   {"panels", covering.panels_m2.value, Quantity::area, Kind::measured, ""},
                   {"dry film", asked.film_m, Quantity::film_thickness, Kind::measured, ""},
                   {"volume solids", solids_fraction, Quantity::fraction, solids ? solids->kind : Kind::published,
                    solids ? solids->source : ""},
                   {"transfer", asked.transfer, Quantity::fraction, Kind::estimate, "transfer_primer"}});
  a.fixed_loss = figure("lost in cup, hose and strainer", need.fixed_m3, {}, Quantity::film_volume,
                        "fillings x loss (ESTIMATE)", "estimate");
  a.chance = figure(
      "chance that it is enough", all.chance, {}, Quantity::fraction,
      "normal distribution of ln((have - loss) / need) x chance that it sprays", "fenton1960",
      {{"that there is enough of it", bounded_chance(all.chance_there_is), Quantity::fraction, Kind::estimate, ""},
       {"that it sprays as it should", sprays, Quantity::fraction, Kind::estimate, ""}});
  a.drawn = figure("the same by 20000 draws", bounded_chance(chance_enough_drawn(covering, have, 1) * sprays), {},
                   Quantity::fraction, "share of keyed draws in which it is x chance that it sprays", "geometry");
  a.coverage = figure("a litre covers", 1e-3 * coverage_m2_m3(asked.film_m, solids_fraction, asked.transfer), {},
                      Quantity::area, "volume solids x transfer / film", "geometry");
  a.left = figure("left over", asked.tin.volume_m3 - need.middle_m3,
                  {asked.tin.volume_m3 - need.band_m3.high, asked.tin.volume_m3 - need.band_m3.low},
                  Quantity::film_volume, "what there is - what is needed", "geometry");
  std::string first;
  for (const GivenUp& g : all.offers) {
    a.give_up.push_back(
        {g.what, figure("chance", g.chance, {}, Quantity::fraction, "as above, with this given up", "fenton1960"),
         figure("chance", g.chance_with, {}, Quantity::fraction, "as above, with this and all before it given up",
                "fenton1960")});
    if (first.empty() && g.chance_with >= 0.9 * sprays) first = g.what;
  }
  a.sentences.push_back(fmt::format("{}: {}.",
                                    all.plenty                   ? "It should be enough"
                                    : all.chance_there_is >= 0.1 ? "It may not be enough"
                                                                 : "It is not enough",
                                    in_a_hundred(all.chance)));
  if (!asked.sprays)
    a.sentences.push_back(
        fmt::format("This includes the chance that the tin sprays as it should: {} for an untested tin. "
                    "Spray it out on scrap first.",
                    in_a_hundred(sprays)));
  if (!all.plenty)
    a.sentences.push_back(first.empty() ? "Nothing in the list makes it likely enough: plan without this tin."
                                        : "Give up, in this order, down to: " + first + ".");
  a.sentences.emplace_back("Never give up the spray-out of this tin on scrap that carries the old coats.");
  a.notes.push_back({Severity::information,
                     "A pass is one stroke of the gun; a coat is every pass it takes to wet the zone once, overlap "
                     "counted. Volumes are of paint as it stands in the tin, before thinning.",
                     ""});
  return a;
}

std::string format_answer(const EnoughAnswer& a, BenchUnits units) {
  std::string text;
  for (const std::string& s : a.sentences) text += s + "\n";
  const Shown need = shown(a.need.value, a.need.band, a.need.quantity, units);
  text += fmt::format("\nNeeded: {} ({}), of that {} lost in the gun. {}.\n", need.text, need.band,
                      show(a.fixed_loss.value, Quantity::film_volume, units),
                      units == BenchUnits::us  // 0.946 L to a quart, 10.76 ft2 to a m2
                          ? fmt::format("A quart covers about {:.2g} ft2", 0.946 * 10.76 * a.coverage.value)
                          : fmt::format("A litre covers about {:.2g} m2", a.coverage.value));
  const std::string chance = in_a_hundred(a.chance.value), drawn = in_a_hundred(a.drawn.value);
  text += fmt::format("Chance: {}{}.\n", chance, chance == drawn ? "" : fmt::format(" (by draws {})", drawn));
  // Where it is enough as it is, there is nothing to give up.
  const bool short_of_it = !a.give_up.empty() && a.left.band.low < 0;
  if (short_of_it) text += "\nTo give up, first things first: chance with it alone, with all so far\n";
  for (const Offered& o : short_of_it ? a.give_up : std::vector<Offered>{})
    text += fmt::format("  {}, {}: {}\n", in_a_hundred(o.alone.value), in_a_hundred(o.with_all_before.value), o.what);
  text += "\n";
  for (const Note& n : a.notes) text += n.text + "\n";
  return text;
}

}  // namespace

Verb enough_verb() {
  return verb<EnoughRequest, EnoughAnswer>(
      "enough", "Whether the paint in a tin is enough, how sure that is, and what to give up first",
      Work{.sprays = true}, enough, format_answer);
}

}  // namespace witnessline::app

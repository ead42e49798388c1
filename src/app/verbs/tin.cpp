#include "app/verbs/tin.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/verbs/on_job.h"
#include "bench/strainer.h"
#include "bench/tin.h"
#include "bench/tin_facts.h"
#include "job/job.h"
#include "safety/handled.h"
#include "solvents/settling.h"

namespace witnessline::app {

namespace {

struct TinRequest {
  TinTest tin;
  std::string job;
  std::vector<std::string> over;
  double viscosity_Pa_s = 25e-3, density_kg_m3 = 900;
  double depth_m = 0.08;
  double tip_m = 1.3e-3;
};
template <class V>
void describe(V& v, TinRequest& r) {
  v(member("tin", "what was tried on it").must(), r.tin);
  v(member("job", "job file whose mixtures the tin may be named by; absent: none"), r.job);
  v(member("over", "coats it is meant to go over, as in the spray-outs"), r.over);
  v(member("viscosity_mPa_s", "as thinned for the gun", unit::mPa_s).within(0.2, 5000), r.viscosity_Pa_s);
  v(member("density_kg_m3", "of the liquid without its grains", unit::kg_m3).within(600, 2000), r.density_kg_m3);
  v(member("depth_mm", "of liquid in the cup of the gun", unit::mm).within(5, 400), r.depth_m);
  v(member("tip_mm", "opening of the gun's nozzle", unit::mm).within(0.1, 5), r.tip_m);
}

struct Settles {
  std::string name;
  Figure speed, upright, as_sphere, good_for;
};
template <class V>
void describe(V& v, Settles& s) {
  v(member("name", "which grains"), s.name);
  v(member("speed", "how far they fall in an hour, crowding counted; flakes lying flat"), s.speed);
  v(member("upright", "flakes on edge"), s.upright);
  v(member("as_sphere", "what a sphere as wide as the flake would fall, to see how wrong that is"), s.as_sphere);
  v(member("good_for", "until a fiftieth of them has fallen out of the liquid"), s.good_for);
}

struct TinAnswer {
  std::vector<std::string> sentences;
  TinVerdict verdict = TinVerdict::prove_on_scrap;
  std::vector<std::string> reasons, still_try, protocol;
  std::vector<Settles> settling;
  Figure strainer, good_for;
  std::vector<Note> notes;
};
template <class V>
void describe(V& v, TinAnswer& a) {
  v(member("sentences", "in plain words"), a.sentences);
  v(member("verdict", "what the tests say"), a.verdict);
  v(member("reasons", "why"), a.reasons);
  v(member("still_try", "what has not been tried, in order"), a.still_try);
  v(member("protocol", "how a tin is judged at the bench (common practice, no source)"), a.protocol);
  v(member("settling", "what sinks"), a.settling);
  v(member("strainer", "opening of the strainer"), a.strainer);
  v(member("good_for", "time it may be sprayed after stirring"), a.good_for);
  v(member("notes", "notes, cautions and dangers"), a.notes);
}

const char* plain(TinVerdict v) {
  switch (v) {
    case TinVerdict::use:
      return "It may be used.";
    case TinVerdict::do_not_use:
      return "Do not use it.";
    case TinVerdict::prove_on_scrap:
      break;
  }
  return "Prove it on scrap first.";
}

Figure figure(std::string name, double value, Quantity quantity, std::string law, std::string source, Kind kind) {
  Figure f;
  f.name = std::move(name), f.value = value, f.quantity = quantity;
  f.law = std::move(law), f.source = std::move(source), f.kind = kind;
  return f;
}

/// Whole minutes a person at a gun keeps to, never later than the grains allow but for the first.
int stirred_every_min(double good_for_s) {
  int every = 1;
  for (const int minutes : {2, 5, 10, 15, 20, 30})
    if (60.0 * minutes <= good_for_s) every = minutes;
  return every;
}

constexpr double hour_s = 3600, fallen_share = 0.02;  // ESTIMATE: a fiftieth of a pigment gone is not seen

Settles settles(const Grains& g, const TinRequest& asked, std::vector<Note>& notes) {
  const Liquid liquid{asked.viscosity_Pa_s, asked.density_kg_m3};
  const double crowd = hindered(g.volume_fraction);
  const double round_m_s = sphere_fall_m_s(g.diameter_m, g.density_kg_m3, liquid) * crowd;
  const double flat_m_s =
      g.thickness_m ? disc_fall_m_s(g.diameter_m, *g.thickness_m, g.density_kg_m3, liquid) * crowd : round_m_s;
  Settles s;
  s.name = g.name;
  s.speed = figure("falls in an hour", flat_m_s * hour_s, Quantity::length,
                   g.thickness_m ? "weight less lift over 16 mu a, times (1 - phi)^4.65"
                                 : "(rho_p - rho) g d^2 / (18 mu), times (1 - phi)^4.65",
                   g.thickness_m ? "happel1983" : "bird2002", Kind::computed);
  if (g.thickness_m) {
    s.upright =
        figure("falls in an hour on edge",
               disc_fall_m_s(g.diameter_m, *g.thickness_m, g.density_kg_m3, liquid, Lie::on_edge) * crowd * hour_s,
               Quantity::length, "weight less lift over 32/3 mu a", "happel1983", Kind::computed);
    s.as_sphere = figure("a sphere of that width would fall", round_m_s * hour_s, Quantity::length,
                         "(rho_p - rho) g d^2 / (18 mu)", "bird2002", Kind::computed);
    if (*g.thickness_m > 0.1 * g.diameter_m)
      notes.push_back(
          {Severity::caution,
           fmt::format("{}: thicker than a tenth of its width, the law for thin discs is too fast.", g.name),
           "tin.grains"});
  }
  const double time_s = time_to_fall_out_s(fallen_share, asked.depth_m, flat_m_s);
  if (std::isfinite(time_s))
    s.good_for = figure("until a fiftieth has fallen out", time_s, Quantity::duration,
                        "a fiftieth (ESTIMATE) x depth / speed", "estimate", Kind::estimate);
  if (reynolds_of_fall(flat_m_s, g.diameter_m, liquid) > 0.1)
    notes.push_back(
        {Severity::caution, fmt::format("{}: falls too fast for the law of slow flow.", g.name), "tin.grains"});
  if (g.density_kg_m3 < asked.density_kg_m3)
    notes.push_back({Severity::caution,
                     fmt::format("{}: lighter than the liquid, so it rises; check its density.", g.name),
                     "tin.grains"});
  if (!g.thickness_m && g.diameter_m < 0.3e-6)
    notes.push_back({Severity::information,
                     fmt::format("{}: below 0.3 um grains stay up by their own motion unless they clump.", g.name),
                     "tin.grains"});
  return s;
}

Figure strainer(const TinRequest& asked, const Paint& paint, std::vector<Note>& notes) {
  std::optional<double> widest_m;
  for (const Grains& g : asked.tin.grains) widest_m = std::max(widest_m.value_or(0), g.diameter_m);
  const double chosen_m = strainer_m(paint, widest_m);
  if (chosen_m > asked.tip_m / 3)
    notes.push_back({Severity::caution,
                     "The strainer its grains ask for is coarser than a third of the nozzle: a wider nozzle, or it "
                     "will spit.",
                     "tip_mm"});
  return figure("strainer", chosen_m, Quantity::film_thickness,
                widest_m ? "finest of the usual openings at least five times the widest grain (ESTIMATE)"
                         : "the usual opening for this kind of paint (common practice)",
                widest_m ? "estimate" : "common_practice", Kind::estimate);
}

Result<TinAnswer> as_tried(const TinRequest& given, const Asking& asking) {
  TinRequest asked = given;
  Result<PaintTin> known = tin_of_job(asked.tin, asked.job, asking);
  if (!known) return known.errors();
  asked.tin.parts = std::move(known->parts);
  const Result<Paint> paint = paint_of(asked.tin, asking.library, "tin");
  std::vector<Error> faults;
  if (!paint) faults = paint.errors();
  const std::vector<Grains>& grains = asked.tin.grains;
  for (std::size_t i = 0; i < grains.size(); ++i)
    if (grains[i].thickness_m && *grains[i].thickness_m > grains[i].diameter_m)
      faults.push_back({"a flake thicker than it is wide",
                        {"", 0, 0, fmt::format("tin.grains[{}].thickness_um", i + 1)},
                        "less than diameter_um",
                        "leave thickness_um out for round grains"});
  if (!paint) return faults;
  Result<TinJudged> judged = judge(asked.tin, *paint, asking.library.shelf_lives(), asked.over);
  if (!judged)
    for (Error e : judged.errors()) e.where.key = "tin." + e.where.key, faults.push_back(std::move(e));
  if (!faults.empty()) return faults;
  TinAnswer a;
  a.verdict = judged->verdict, a.reasons = judged->reasons, a.still_try = judged->still_try;
  a.notes = judged->notes, a.protocol = tin_protocol();
  double soonest_s = INFINITY;
  for (const Grains& g : grains) {
    a.settling.push_back(settles(g, asked, a.notes));
    if (std::isfinite(a.settling.back().good_for.value))
      soonest_s = std::min(soonest_s, a.settling.back().good_for.value);
  }
  a.strainer = strainer(asked, *paint, a.notes);
  // Round grains are pigment: with them a tin is coloured whatever its liquid.
  const bool pigmented = std::any_of(grains.begin(), grains.end(),
                                     [](const Grains& g) { return !g.thickness_m && g.volume_fraction > 0; });
  bool not_sprayed = false, any_old_colour = false;
  for (const Paint::Share& part : paint->shares) {
    const Material* material = asking.library.find(part.material);
    const bool old_colour = (material->opaque() || pigmented) && counts_as_leaded(asked.tin.filled_years_ago);
    if (asking.handled) asking.handled->push_back({material, "", old_colour});
    not_sprayed |= !metals_of(*material).empty(), any_old_colour |= old_colour;
  }
  if (any_old_colour)
    a.still_try.insert(a.still_try.begin(),
                       "have a laboratory test it for lead and chromate, and spray nothing of it before it has");
  // What can hurt comes first; a tin that is not to be used or sprayed has no next step.
  std::stable_sort(a.notes.begin(), a.notes.end(), [](const Note& one, const Note& other) {
    return one.severity == Severity::danger && other.severity != Severity::danger;
  });
  for (const Note& n : a.notes)
    if (n.severity == Severity::danger) a.sentences.push_back("DANGER: " + n.text);
  if (not_sprayed && a.verdict != TinVerdict::do_not_use) a.verdict = TinVerdict::do_not_use;
  const bool ends_here = a.verdict == TinVerdict::do_not_use;
  if (ends_here) a.still_try.clear(), a.protocol.clear();
  a.sentences.emplace_back(plain(a.verdict));
  if (ends_here) return a;
  if (!a.still_try.empty()) a.sentences.push_back("Next: " + a.still_try.front() + ".");
  if (std::isfinite(soonest_s)) {
    a.good_for = figure("good for after stirring", soonest_s, Quantity::duration, "the first of its grains", "estimate",
                        Kind::estimate);
    constexpr double longest_filling_s = 3600;  // a cup is sprayed out sooner
    a.sentences.push_back(soonest_s > longest_filling_s
                              ? "Its grains stay up while a cup is sprayed out: stir it each time you fill."
                              : fmt::format("Stir or swirl it again every {} min.", stirred_every_min(soonest_s)));
  } else if (grains.empty() && paint->pigmented) {
    a.notes.push_back({Severity::caution,
                       "Its pigment grains are not given, so settling can't be computed: stir every few minutes.",
                       "tin.grains"});
  }
  a.sentences.push_back(fmt::format("Strain it through {:.0f} um.", a.strainer.value * 1e6));
  return a;
}

std::string format_answer(const TinAnswer& a, BenchUnits units) {
  std::string text;
  for (const std::string& s : a.sentences) text += s + "\n";
  const auto list = [&](const char* head, const std::vector<std::string>& lines) {
    if (!lines.empty()) text += fmt::format("\n{}\n", head);
    for (const std::string& line : lines) text += "  " + line + "\n";
  };
  list("Found", a.reasons);
  list("Still to try", a.still_try);
  if (!a.settling.empty()) text += "\nSettling\n";
  for (const Settles& s : a.settling) {
    text += fmt::format("  {}: {}{} in an hour", s.name, s.speed.value < 0 ? "rises " : "",
                        show(std::abs(s.speed.value), Quantity::length, units));
    if (std::isfinite(s.as_sphere.value))
      text += fmt::format(" (as a sphere it would be {})", show(s.as_sphere.value, Quantity::length, units));
    text += "\n";
  }
  list("How a tin is judged", a.protocol);
  text += "\n";
  for (const Note& n : a.notes)
    if (n.severity != Severity::danger)  // those head the page
      text += (n.severity == Severity::caution ? "CAUTION  " : "") + n.text + "\n";
  return text;
}

}  // namespace

Verb tin_verb() {
  return verb<TinRequest, TinAnswer>("tin", "Whether an old tin may be sprayed, how it settles and how it is strained",
                                     Work{.opens = true}, as_tried, format_answer);
}

}  // namespace witnessline::app

// Wear: laid by hand, or as a life would have worn it.
#include "bench/steps/wear.h"

#include <fmt/format.h>

#include <cmath>

#include "bench/abrade.h"
#include "bench/knocks.h"
#include "bench/wearing.h"

namespace witnessline::bench {

Resistance resistance_of(Binder binder) {
  switch (binder) {
    case Binder::nitrocellulose:
      return {150e6, 2.0};
    case Binder::shellac:
    case Binder::spirit_varnish:
      return {130e6, 3.0};
    case Binder::oil_varnish:
    case Binder::alkyd:
      return {90e6, 1.3};
    case Binder::polyurethane:
    case Binder::two_pack_polyurethane:
    case Binder::catalysed:
      return {200e6, 1.0};
    case Binder::polyester:
      return {250e6, 1.0};
    case Binder::acrylic:
      return {160e6, 1.3};
    case Binder::water_borne:
      return {120e6, 1.3};
    case Binder::vinyl:
      return {110e6, 1.5};
    case Binder::none:
      break;
  }
  return {100e6, 1.3};  // fillers and what has no binder of its own
}

Resistance resistance_of_wood(const Material* wood) {
  const Datum* density = wood ? wood->find(Property::density) : nullptr;
  const double share = (density ? density->value : 600.0) / 600.0;
  return {35e6 * share * share, 1.0};
}

Result<Wearing> Wearing::of(const Film& film, const Bench& bench, const ContactField& field, const std::string& key) {
  Wearing wearing;
  wearing.field_ = &field;
  for (const FilmLayer& layer : film.layers) {
    const Result<Paint> paint = paint_of(layer.mixture, bench, key);
    if (!paint) return paint.errors();
    wearing.coats_.push_back(resistance_of(paint->binder()));
  }
  for (const auto& wood : bench.woods) wearing.woods_.push_back(resistance_of_wood(wood.get()));
  wearing.body_wood_ = bench.body.wood_of();
  return wearing;
}

double Wearing::depth_m(std::size_t v, const Columns& columns, std::size_t i, double share) const {
  double depth_m = 0, left = share;
  for (std::size_t l = columns.layers(); l-- > 0 && left > 0;) {
    const double thickness_m = columns.thickness_m(l, i);
    if (!(thickness_m > 0)) continue;
    const double whole_m = rate_m(coats_[l], v) * left;
    if (whole_m <= thickness_m) return depth_m + whole_m;
    depth_m += thickness_m;
    left *= 1.0 - thickness_m / whole_m;
  }
  return depth_m + wood_rate_m(v) * left;
}

double Wearing::share_to(std::size_t v, const Columns& columns, std::size_t i, double depth_m) const {
  double share = 0;
  for (std::size_t l = columns.layers(); l-- > 0 && depth_m > 0;) {
    const double thickness_m = std::min(depth_m, columns.thickness_m(l, i));
    if (!(thickness_m > 0)) continue;
    share += thickness_m / rate_m(coats_[l], v);
    depth_m -= thickness_m;
  }
  return depth_m > 0 ? share + depth_m / wood_rate_m(v) : share;
}

namespace {

constexpr const char* into_wood = "nothing";       // `stop_at` of wear that goes on into the wood
constexpr double worn_roughness_m = 0.06e-6;       // ESTIMATE: skin and cloth polish a film
constexpr double burnished_roughness_m = 0.25e-6;  // ESTIMATE: and bare wood, less far

/// Index of the first layer that may be cut; 0 where no coat is to be kept.
Result<std::size_t> kept_below(const Wear& step, const StepContext& context) {
  if (step.stop_at.empty() || step.stop_at == "wood" || step.stop_at == into_wood) return std::size_t{0};
  const Result<std::size_t> stop = context.coat_named(step.stop_at, "stop_at");
  if (!stop) return stop.errors();
  return *stop + 1;
}

/// A hair above a coat that is to be kept, so that rounding never scratches it.
double stopped_m(double depth_m, std::size_t keep_below, const Columns& columns, std::size_t i) {
  return keep_below == 0 ? depth_m : std::min(depth_m, columns.thickness_from(keep_below, i) * (1.0 - 1e-6));
}
Wood wood_of(const Wear& step) { return step.stop_at == into_wood ? Wood::may_be_cut : Wood::is_kept; }

bool bare(const Film& film, std::size_t v) {
  for (const FilmLayer& layer : film.layers)
    if (layer.dry_m[v] > 0) return false;
  return true;
}

/// Where it stopped at the wood, for a person who meant it to go on.
void note_wood_kept(const Wear& step, const std::vector<float>& weights, StepContext& context) {
  if (!step.stop_at.empty()) return;
  double area_m2 = 0;
  for (std::size_t v = 0; v < weights.size(); ++v)
    if (weights[v] > 0 && bare(context.film(), v) && !bare(context.before, v))
      area_m2 += static_cast<double>(context.body.areas_m2()[v]);
  if (area_m2 > 0)
    context.note(Severity::information,
                 fmt::format("wears through to the wood over {} and stops there: polish the bare wood and let it take "
                             "grime. `stop_at = \"nothing\"` wears the wood too",
                             area_text(area_m2)));
}

/// Law: depth x weight (whose fade has no corner) x the unevenness of rubbing (10 % over 8 mm, ESTIMATE); never below
/// the top of `stop_at`.
Result<StepResult> by_hand(const Wear& step, std::size_t keep_below, const Reach& reach, StepContext& context) {
  const SmoothNoise rub(context.key("rub"), 0.008, context.body);
  const std::span<const Vec3> places = context.body.positions();
  const Result<MassBalance> books = abrade(
      context, reach.open,
      [&](std::size_t v, const Columns& columns, std::size_t i) {
        const double w = static_cast<double>(reach.open[v]);
        return stopped_m(*step.depth_m * w * std::max(0.0, 1.0 + 0.1 * rub(places[v])), keep_below, columns, i);
      },
      wood_of(step));
  if (!books) return books.errors();
  if (books->metallic_cut_m2 > 0)
    return context.error("this would wear into a metallic colour coat", "where", "a clear coat over it",
                         "name the clear's lower neighbour in `stop_at`, or choose another place");
  note_wood_kept(step, reach.open, context);
  context.warn_of_wet_film(reach.open);
  change(context.film().roughness_m,
         [&](std::size_t v, float before) { return towards(before, worn_roughness_m, reach.open[v]); });
  change(context.film().scratch_m,
         [&](std::size_t v, float before) { return towards(before, 2.0 * worn_roughness_m, reach.open[v]); });
  wear_marks(context, 1.0);
  context.worked(0.3 + 30.0 * reach.open_m2);  // ESTIMATE: wear is laid by hand, little by little
  return context.done();
}

/// What skin and cloth leave: film polished, bare wood burnished and grey with what sank in.
void finish_worn(StepContext& context, const Life& life, const std::vector<float>& depth_m) {
  constexpr double shows_m = 8e-6;    // ESTIMATE: wear over which the sheen of a film goes over to that of worn film
  constexpr double wood_takes = 1.5;  // ESTIMATE: grime bare wood holds, over what a film holds
  const auto share = [&](std::size_t v) {
    const double t = std::min(1.0, static_cast<double>(depth_m[v]) / shows_m);
    return static_cast<float>(t * t * (3 - 2 * t));  // no rim where a touch ends
  };
  const Film& film = context.film();
  change(context.film().roughness_m, [&](std::size_t v, float before) {
    if (!(depth_m[v] > 0)) return before;
    return towards(before, bare(film, v) ? burnished_roughness_m : worn_roughness_m, share(v));
  });
  change(context.film().scratch_m, [&](std::size_t v, float before) {
    return depth_m[v] > 0 ? towards(before, 2.0 * worn_roughness_m, share(v)) : before;
  });
  change(context.film().grime_kg_m2, [&](std::size_t v, float before) {
    if (!(depth_m[v] > 0) || !bare(film, v)) return before;
    return std::max(before, towards(before, wood_takes * life.grime_kg_m2, share(v)));
  });
}

void describe_contacts(StepContext& context, const ContactField& field, const std::vector<float>& depth_m) {
  constexpr float seen_m = 5e-6f;  // ESTIMATE: wear that is seen at all
  constexpr std::size_t touches = words(static_cast<const Touch*>(nullptr)).size();
  std::array<double, touches> area_m2{}, deepest_m{};
  for (std::size_t v = 0; v < depth_m.size(); ++v) {
    if (depth_m[v] < seen_m || field.most[v] >= touches) continue;
    area_m2[field.most[v]] += static_cast<double>(context.body.areas_m2()[v]);
    deepest_m[field.most[v]] = std::max(deepest_m[field.most[v]], static_cast<double>(depth_m[v]));
  }
  std::string text;
  for (std::size_t t = 0; t < touches; ++t) {
    if (!(area_m2[t] > 0)) continue;
    std::string name = words(static_cast<const Touch*>(nullptr))[t];
    std::replace(name.begin(), name.end(), '_', ' ');
    text += fmt::format("{}{} {} over {}", text.empty() ? "" : "; ", name, show(deepest_m[t], Quantity::film_thickness),
                        area_text(area_m2[t]));
  }
  context.note(Severity::information, text.empty() ? std::string("this life is too short to wear anything that is seen")
                                                   : "deepest wear, and where more than 5 um went: " + text);
  for (const Note& note : field.notes) context.note(note.severity, note.text);
}

/// Law: what the life rubs at a place (contact_field) through the coats (Wearing), uneven as rubbing is (ESTIMATE: 12 %
/// over 25 mm, with the mean kept: skin and cloth give way over millimetres, so nothing finer); then knocks and
/// scratches (marks_of_life).
Result<StepResult> by_life(const Wear& step, const Life& life, std::size_t keep_below, const Reach& reach,
                           StepContext& context) {
  const ContactField field = contact_field(life, context.body, player_of(context.bench.seed), context.bench.shelter);
  const Result<Wearing> wearing = Wearing::of(context.before, context.bench, field, context.place());
  if (!wearing) return wearing.errors();
  constexpr double uneven_log = 0.12;
  const SmoothNoise rub(context.key("rub wide"), 0.025, context.body);
  const std::span<const Vec3> places = context.body.positions();
  std::vector<float> depth_of(context.body.size(), 0.0f), weights = reach.open;
  for (std::size_t v = 0; v < weights.size(); ++v)
    if (field.most[v] == 255) weights[v] = 0;
  const Result<MassBalance> books = abrade(
      context, weights,
      [&](std::size_t v, const Columns& columns, std::size_t i) {
        const double uneven = std::exp(uneven_log * rub(places[v]) - 0.5 * uneven_log * uneven_log);
        const double share = static_cast<double>(weights[v]) * uneven;
        const double depth_m = stopped_m(wearing->depth_m(v, columns, i, share), keep_below, columns, i);
        depth_of[v] =
            static_cast<float>(step.stop_at == into_wood ? depth_m : std::min(depth_m, columns.thickness_from(0, i)));
        return depth_m;
      },
      wood_of(step));
  if (!books) return books.errors();
  if (books->metallic_cut_m2 > 0)
    context.note(Severity::caution, fmt::format("wears into a metallic colour coat on {}: its flakes show dull there",
                                                area_text(books->metallic_cut_m2)));
  note_wood_kept(step, weights, context);
  context.warn_of_wet_film(weights);
  finish_worn(context, life, depth_of);
  wear_marks(context, 1.0);
  add_marks_of_life(context, life, field, reach, keep_below);
  describe_contacts(context, field, depth_of);
  double worn_m2 = 0;
  for (std::size_t v = 0; v < depth_of.size(); ++v)
    if (depth_of[v] > 5e-6f) worn_m2 += static_cast<double>(context.body.areas_m2()[v]);
  context.worked(0.3 + 30.0 * worn_m2);  // ESTIMATE, as by hand
  return context.done();
}

}  // namespace

Result<StepResult> work(const Wear& step, StepContext& context) {
  if (step.depth_m.has_value() == !step.life.empty())
    return context.error(
        step.life.empty() ? "wears neither by hand nor as a life would" : "wears by hand and as a life would",
        step.life.empty() ? "depth_um" : "life", "depth_um or life, one of the two");
  const auto life = context.bench.lives.find(step.life);
  if (!step.depth_m && life == context.bench.lives.end()) {
    std::vector<std::string> known;
    for (const auto& [id, one] : context.bench.lives) known.push_back(id);
    const std::string near = nearest_word(step.life, known);
    return context.error(
        fmt::format("there is no life '{}'", step.life), "life",
        known.empty() ? std::string("a life of the job: [[lives]]") : fmt::format("one of: {}", fmt::join(known, ", ")),
        near.empty() ? "" : fmt::format("did you mean '{}'?", near));
  }
  const Result<Reach> reach =
      step.depth_m ? context.reach(step.where) : context.reach_in_use(step.where, Shelter::beside);
  if (!reach) return reach.errors();
  const Result<std::size_t> keep_below = kept_below(step, context);
  if (!keep_below) return keep_below.errors();
  if (step.depth_m) return by_hand(step, *keep_below, *reach, context);
  return by_life(step, life->second, *keep_below, *reach, context);
}

}  // namespace witnessline::bench

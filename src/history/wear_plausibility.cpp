#include "history/wear_plausibility.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "base/parallel.h"
#include "bench/knocks.h"
#include "bench/step_context.h"
#include "bench/wearing.h"
#include "history/wear_in_words.h"

namespace witnessline::history {

namespace {

constexpr double least_place_m2 = 0.5e-4;  // ESTIMATE: smaller places are listed with their neighbours or not at all
constexpr double trace_m = 10e-6;          // ESTIMATE: going through a thinner tail of a coat shows no border
constexpr std::size_t most_places = 8;

/// All that lies over the wood as made, less what was cut into it [m].
std::vector<float> heights_m(const Film& film) {
  std::vector<float> height(film.size());
  for_chunks(film.size(), field_chunk, [&](std::size_t begin, std::size_t end) {
    const Columns columns(film, begin, end);
    for (std::size_t i = 0; i < columns.size(); ++i)
      height[begin + i] = static_cast<float>(columns.thickness_from(0, i) - columns.wood_cut_m(i));
  });
  return height;
}

/// Where the finish in sight, or what is missing of it, is as old as the instrument: nothing newer lies there, and it
/// is no cavity, which is often never finished.
std::vector<char> old_finish(const Film& film, const Body& body) {
  std::vector<char> old(film.size());
  for (std::size_t v = 0; v < film.size(); ++v)
    old[v] = !body.in(static_cast<std::uint32_t>(v), Region::cavity) &&
             std::none_of(film.layers.begin(), film.layers.end(), [&](const FilmLayer& layer) {
               return layer.provenance.origin != Origin::original && layer.dry_m[v] > 0;
             });
  return old;
}

/// Wear to be judged: how deep, on which film it began and which film it left. Only what imitates wear counts: a strip
/// or a levelling of the plan is work, not wear.
struct Laid {
  std::vector<float> depth_m;
  const Film *unworn = nullptr, *worn = nullptr;
  bool by_steps = false;
};

Laid laid_by(const Run& run, const Body& body) {
  const Film &found = run.steps.front().film, &end = run.steps.back().film;
  Laid laid{std::vector<float>(found.size(), 0.0f), &found, &found, false};
  for (std::size_t i = 1; i < run.steps.size(); ++i) {
    if (!run.steps[i].wears) continue;
    if (!laid.by_steps) laid.unworn = &run.steps[i - 1].film;
    laid.by_steps = true, laid.worn = &run.steps[i].film;
    const std::vector<float> before = heights_m(run.steps[i - 1].film), after = heights_m(run.steps[i].film);
    for (std::size_t v = 0; v < before.size(); ++v) laid.depth_m[v] += std::max(0.0f, before[v] - after[v]);
  }
  if (laid.by_steps) return laid;
  // As found, before any step: what is left of each original coat over most of its area is what it was.
  std::vector<float> original(found.size(), 0.0f);
  for (const FilmLayer& layer : found.layers) {
    if (layer.provenance.origin != Origin::original) continue;
    std::vector<float> there;
    for (std::size_t v = 0; v < found.size(); ++v)
      if (const float d = layer.dry_m[v]; d > 0) there.push_back(d), original[v] += d;
    if (there.empty()) continue;
    const auto middle = there.begin() + static_cast<std::ptrdiff_t>(there.size() / 2);
    std::nth_element(there.begin(), middle, there.end());
    for (std::size_t v = 0; v < found.size(); ++v)
      laid.depth_m[v] += std::max(0.0f, *middle - std::max(0.0f, layer.dry_m[v]));
  }
  // A coat lies unevenly and draws back from edges: only where three quarters of the original finish is gone is it
  // gone.
  const std::vector<char> judged = old_finish(end, body);
  for (std::size_t v = 0; v < found.size(); ++v)
    if (laid.depth_m[v] < 3 * original[v] || !judged[v]) laid.depth_m[v] = 0;
  return laid;
}

/// Depth the life wears off a film at every vertex.
std::vector<float> contact_m(const Wearing& wearing, const Film& film) {
  std::vector<float> depth(film.size());
  for_chunks(film.size(), field_chunk, [&](std::size_t begin, std::size_t end) {
    const Columns columns(film, begin, end);
    for (std::size_t i = 0; i < columns.size(); ++i)
      depth[begin + i] = static_cast<float>(wearing.depth_m(begin + i, columns, i));
  });
  return depth;
}

WornPlace place_at(const Body& body, std::uint32_t v, const ContactField& field) {
  return {body.positions()[v], regions_of(body, v), 0, 0, 0, 0, field.most[v] == 255 ? -1 : field.most[v]};
}

/// The joined places of what is flagged.
std::vector<WornPlace> places_of(const Body& body, const std::vector<std::uint8_t>& flagged,
                                 const std::vector<float>& laid, const std::vector<float>& lived,
                                 const std::vector<float>& by, const std::vector<float>& film,
                                 const ContactField& field) {
  const std::vector<std::uint32_t> root = joined(body, [&](std::uint32_t v) { return flagged[v] != 0; });
  std::vector<double> area(body.size(), 0.0);
  std::vector<std::uint32_t> deepest(body.size(), std::numeric_limits<std::uint32_t>::max());
  const auto places = body.positions();
  const auto before = [&](std::uint32_t a, std::uint32_t b) {  // deeper, or by place, so that numbering does not matter
    if (by[a] != by[b]) return by[a] > by[b];
    return std::tie(places[a].x, places[a].y, places[a].z) < std::tie(places[b].x, places[b].y, places[b].z);
  };
  std::vector<double> most_laid(body.size(), 0.0), most_contact_m(body.size(), 0.0);
  for (std::uint32_t v = 0; v < body.size(); ++v) {
    if (!flagged[v]) continue;
    const std::uint32_t r = root[v];
    area[r] += static_cast<double>(body.areas_m2()[v]);
    most_laid[r] = std::max(most_laid[r], static_cast<double>(laid[v]));
    most_contact_m[r] = std::max(most_contact_m[r], static_cast<double>(lived[v]));
    if (deepest[r] == std::numeric_limits<std::uint32_t>::max() || before(v, deepest[r])) deepest[r] = v;
  }
  std::vector<WornPlace> found;
  for (std::uint32_t r = 0; r < body.size(); ++r) {
    if (!(area[r] >= least_place_m2)) continue;
    const std::uint32_t v = deepest[r];
    found.push_back(place_at(body, v, field));
    found.back().area_m2 = area[r], found.back().laid_m = most_laid[r], found.back().contact_m = most_contact_m[r];
    found.back().film_m = static_cast<double>(film[v]);
  }
  std::sort(found.begin(), found.end(), [](const WornPlace& a, const WornPlace& b) {
    if (a.area_m2 != b.area_m2) return a.area_m2 > b.area_m2;
    return std::tie(a.at.x, a.at.y, a.at.z) < std::tie(b.at.x, b.at.y, b.at.z);
  });
  if (found.size() > most_places) found.resize(most_places);
  return found;
}

/// Length of the line where a value, linear over each triangle, is zero; only in triangles `in` allows.
template <class Value, class In>
double zero_line_m(const Body& body, const Value& value, const In& in) {
  double sum_m = 0;
  for (const Triangle& t : body.triangles()) {
    if (!in(t)) continue;
    Vec3d ends[3];
    int n = 0;
    for (int e = 0; e < 3; ++e) {
      const std::uint32_t a = t[static_cast<std::size_t>(e)], b = t[static_cast<std::size_t>((e + 1) % 3)];
      const double x = value(a), y = value(b);
      if ((x > 0) == (y > 0)) continue;
      const double s = x / (x - y);
      ends[n++] = (1 - s) * Vec3d(body.positions()[a]) + s * Vec3d(body.positions()[b]);
    }
    if (n == 2) sum_m += length(ends[1] - ends[0]);
  }
  return sum_m;
}

/// Outermost coat still there, or -1.
int top_of(const Film& film, std::size_t v) {
  for (std::size_t l = film.layers.size(); l-- > 0;)
    if (film.layers[l].dry_m[v] > 0) return static_cast<int>(l);
  return -1;
}

/// What shows where wear went through a coat, and how wide its rings are; without a width: worn thinner, not through.
/// Law: width = 2 x area / (length of the ring's two edges), the edges by signed film. Valid: rings narrow against
/// their length; the innermost patch reads as wide as it is round.
std::vector<WornRing> rings_of(const Laid& laid, const Body& body) {
  const Film& film = *laid.worn;
  const std::size_t layers = film.layers.size();
  const auto is_worn = [&](std::uint32_t v) { return laid.depth_m[v] > wear_seen_m; };
  const auto worn = [&](const Triangle& t) { return is_worn(t[0]) || is_worn(t[1]) || is_worn(t[2]); };
  std::vector<double> area(layers + 1, 0.0), thinned(layers + 1, 0.0);
  for (std::uint32_t v = 0; v < film.size(); ++v) {
    if (!is_worn(v)) continue;
    const int top = top_of(film, v);
    (top == top_of(*laid.unworn, v) ? thinned : area)[static_cast<std::size_t>(top + 1)] +=
        static_cast<double>(body.areas_m2()[v]);
  }
  std::vector<WornRing> rings;
  for (std::size_t n = 0; n <= layers; ++n) {
    const std::string coat = n == 0 ? "wood" : film.layers[n - 1].provenance.laid_by;
    if (area[n] >= least_place_m2) {
      const auto above = [&](std::uint32_t v) {
        double most = -1;
        for (std::size_t l = n; l < layers; ++l) most = std::max(most, static_cast<double>(film.layers[l].dry_m[v]));
        return most;
      };
      double edges_m = zero_line_m(body, above, worn);
      if (n > 0)
        edges_m += zero_line_m(
            body, [&](std::uint32_t v) { return static_cast<double>(film.layers[n - 1].dry_m[v]); }, worn);
      rings.push_back({coat, area[n], edges_m > 0 ? 2 * area[n] / edges_m : std::numeric_limits<double>::infinity()});
    }
    if (n > 0 && thinned[n] >= least_place_m2) rings.push_back({coat, thinned[n], std::nullopt});
  }
  return rings;
}

/// Whether what a step bared is out of sight under an opaque coat of a later one.
bool covered_after(const Run& run, std::size_t step, std::uint32_t v, const Library& library) {
  const Film& end = run.steps.back().film;
  for (std::size_t l = run.steps[step].film.layers.size(); l < end.layers.size(); ++l) {
    if (!(end.layers[l].dry_m[v] > 0)) continue;
    for (const Part& part : end.layers[l].mixture->parts)
      if (const Material* material = library.find(part.material); material && material->opaque()) return true;
  }
  return false;
}

bool lifted_before(const Run& run, std::size_t step, const std::string& coat) {
  for (std::size_t i = 1; i < step; ++i)
    for (const CoatVolumes& row : run.steps[i].ledger.coats)
      if (row.coat == coat && row.lifted_m3 > 0) return true;
  return false;
}

/// Rub-throughs of paper and wheel, still in sight, where contact would not have gone through. A coat that the step
/// takes off most of what it cuts, or of which it cuts what a lift has left, is stripped on purpose.
std::vector<WorkLoss> by_work(const Run& run, const Bench& bench, const std::vector<float>& lived) {
  std::vector<WorkLoss> losses;
  for (std::size_t i = 1; i < run.steps.size(); ++i) {
    const StepResult& step = run.steps[i];
    if (step.surface != SurfaceEffect::flats && step.surface != SurfaceEffect::buffs) continue;
    const Film &before = run.steps[i - 1].film, &after = step.film;
    std::vector<char> slipped(before.size(), 0);
    for (std::size_t l = 0; l < before.layers.size(); ++l) {
      if (lifted_before(run, i, before.layers[l].provenance.laid_by)) continue;
      std::vector<std::uint32_t> gone;
      double cut_m2 = 0, gone_m2 = 0;
      for (std::uint32_t v = 0; v < before.size(); ++v) {
        const float was = before.layers[l].dry_m[v], is = after.layers[l].dry_m[v];
        if (!(was > trace_m) || !(is < was)) continue;
        cut_m2 += static_cast<double>(bench.body.areas_m2()[v]);
        if (is > 0) continue;
        gone.push_back(v), gone_m2 += static_cast<double>(bench.body.areas_m2()[v]);
      }
      if (gone_m2 < 0.5 * cut_m2)
        for (const std::uint32_t v : gone) slipped[v] = 1;
    }
    double area_m2 = 0;
    for (std::uint32_t v = 0; v < before.size(); ++v)
      if (slipped[v] && static_cast<double>(lived[v]) * contact_known_to() < wear_seen_m &&
          !covered_after(run, i, v, bench.library))
        area_m2 += static_cast<double>(bench.body.areas_m2()[v]);
    if (area_m2 >= least_place_m2) losses.push_back({step.id, step.word, area_m2});
  }
  return losses;
}

}  // namespace

double contact_known_to() {
  static const double factor = std::exp(1.645 * wear_unknown(WearUnknown::film_wear).sd_ln);
  return factor;
}

Result<WearPlausibility> wear_plausibility(const Run& run, const Bench& bench, const Life& life) {
  const ContactField field = contact_field(life, bench.body, player_of(bench.seed), bench.shelter);
  Laid laid = laid_by(run, bench.body);
  const Result<Wearing> wearing = Wearing::of(*laid.unworn, bench, field, "");
  if (!wearing) return wearing.errors();
  const std::vector<float> lived = contact_m(*wearing, *laid.unworn);
  const Body& body = bench.body;

  WearPlausibility out;
  out.by_steps = laid.by_steps, out.contacts = field.contacts;
  const std::vector<Mark>& marks = *laid.worn->marks;
  const std::vector<char> chipped = under_chips(body, marks);
  for (std::size_t v = 0; v < body.size(); ++v)
    if (chipped[v]) out.chipped_m2 += static_cast<double>(body.areas_m2()[v]), laid.depth_m[v] = 0;
  for (const Mark& mark : marks)
    if (mark.kind == MarkKind::chip)
      ++out.chips, out.chip_deepest_m = std::max(out.chip_deepest_m, static_cast<double>(mark.depth_m));
  // Wear steps stop at the wood, so what a life does below it is not left undone.
  const std::vector<float> unworn_m = heights_m(*laid.unworn);
  std::vector<float> contact_film_m = unworn_m;
  const std::vector<char> judged =
      laid.by_steps ? std::vector<char>(body.size(), 1) : old_finish(run.steps.back().film, body);
  for (std::size_t v = 0; v < body.size(); ++v)
    contact_film_m[v] = judged[v] ? std::clamp(contact_film_m[v], 0.0f, lived[v]) : 0.0f;
  std::vector<std::uint8_t> odd(body.size(), 0), left(body.size(), 0);
  for (std::size_t v = 0; v < body.size(); ++v) {
    const double was_m = static_cast<double>(laid.depth_m[v]), would_m = static_cast<double>(lived[v]);
    const double area_m2 = static_cast<double>(body.areas_m2()[v]);
    if (was_m > wear_seen_m) out.laid_m2 += area_m2;
    if (was_m > wear_seen_m + contact_known_to() * would_m) odd[v] = 1, out.unexplained_m2 += area_m2;
    const double film_would_m = static_cast<double>(contact_film_m[v]);
    if (!chipped[v] && film_would_m > contact_known_to() * wear_seen_m && was_m < film_would_m / contact_known_to())
      left[v] = 1, out.untouched_m2 += area_m2;
  }
  out.unexplained = places_of(body, odd, laid.depth_m, lived, laid.depth_m, unworn_m, field);
  out.untouched = places_of(body, left, laid.depth_m, contact_film_m, contact_film_m, unworn_m, field);
  out.rings = rings_of(laid, body);
  out.edges = worn_edges(laid.depth_m, *laid.worn, body);
  out.by_work = by_work(run, bench, lived);
  const std::vector<float> film_m = heights_m(run.steps.front().film);
  for (const SurveyFact& fact : body.survey()) {
    if (fact.fact != Fact::loose_patch) continue;
    const Triangle& t = body.triangles()[body.nearest(std::array{fact.centre}).front().triangle];
    WornPlace place = place_at(body, t[0], field);
    place.area_m2 = 3.141592653589793 * fact.radius_m * fact.radius_m;
    place.laid_m = static_cast<double>(film_m[t[0]]), place.contact_m = static_cast<double>(lived[t[0]]);
    out.loose.push_back({place, fact.remark, place.contact_m * contact_known_to() >= place.laid_m && place.most >= 0});
  }
  out.notes = field.notes;
  return out;
}

Result<Showing> most_plausible(const std::string& coat, double area_m2, const Film& film, const Bench& bench,
                               const Life& life) {
  const std::size_t none = film.layers.size() + 1;
  std::size_t from = coat == "wood" ? 0 : none;  // first layer above what is to show
  for (std::size_t l = 0; l < film.layers.size(); ++l)
    if (film.layers[l].provenance.laid_by == coat) from = l + 1;
  if (from == none) {
    std::vector<std::string> known{"wood"};
    for (const FilmLayer& layer : film.layers) known.push_back(layer.provenance.laid_by);
    const std::string near = nearest_word(coat, known);
    return Error{fmt::format("there is no coat named '{}' on this instrument", coat),
                 {},
                 fmt::format("one of: {}", fmt::join(known, ", ")),
                 near.empty() ? "" : fmt::format("did you mean '{}'?", near)};
  }
  const Body& body = bench.body;
  const ContactField field = contact_field(life, body, player_of(bench.seed), bench.shelter);
  const Result<Wearing> wearing = Wearing::of(film, bench, field, "");
  if (!wearing) return wearing.errors();
  std::vector<float> share(body.size(), std::numeric_limits<float>::infinity()), depth(body.size(), 0.0f);
  for_chunks(film.size(), field_chunk, [&](std::size_t begin, std::size_t end) {
    const Columns columns(film, begin, end);
    for (std::size_t i = 0; i < columns.size(); ++i) {
      if (from > 0 && !(columns.dry_m(from - 1, i) > 0)) continue;
      const double to_m = columns.thickness_from(from, i);
      depth[begin + i] = static_cast<float>(to_m);
      share[begin + i] = static_cast<float>(to_m > 0 ? wearing->share_to(begin + i, columns, i, to_m) : 0.0);
    }
  });
  Showing out{coat, area_m2, 0, 0, {}};
  std::vector<std::pair<float, std::uint32_t>> order;
  for (std::uint32_t v = 0; v < body.size(); ++v) {
    if (share[v] == 0) out.shows_m2 += static_cast<double>(body.areas_m2()[v]);
    if (share[v] > 0 && std::isfinite(share[v])) order.emplace_back(share[v], v);
  }
  std::sort(order.begin(), order.end());
  std::vector<std::uint8_t> chosen(body.size(), 0);
  double sum_m2 = out.shows_m2;
  std::size_t n = 0;
  for (; n < order.size() && sum_m2 < area_m2; ++n) {
    chosen[order[n].second] = 1;
    sum_m2 += static_cast<double>(body.areas_m2()[order[n].second]);
    out.share = static_cast<double>(order[n].first);
  }
  if (sum_m2 < area_m2) out.share = std::numeric_limits<double>::infinity();
  std::vector<float> soonest(body.size());
  for (std::size_t v = 0; v < body.size(); ++v) soonest[v] = -share[v];
  out.places = places_of(body, chosen, depth, std::vector<float>(body.size(), 0.0f), soonest, depth, field);
  return out;
}

Result<std::vector<float>> contact_wear_m(const Film& film, const Bench& bench, const Life& life) {
  const ContactField field = contact_field(life, bench.body, player_of(bench.seed), bench.shelter);
  const Result<Wearing> wearing = Wearing::of(film, bench, field, "");
  if (!wearing) return wearing.errors();
  return contact_m(*wearing, film);
}

Life usual_life(Hold held) {
  Life life;
  life.id = "usual", life.held = held;
  life.age_s = 40 * 31557600.0, life.cased_share = 0.5;
  constexpr double h = 3600.0;
  // ESTIMATE: twenty years of an hour every other day; the rest of the time in its case or on a stand.
  life.touches = {{Touch::forearm, 3500 * h},     {Touch::buckle, 1500 * h},      {Touch::strap_tail, 1500 * h},
                  {Touch::strap_neck, 1500 * h},  {Touch::case_lining, 1000 * h}, {Touch::picking_hand, 3500 * h},
                  {Touch::thigh, 2000 * h},       {Touch::chest, 3500 * h},       {Touch::stand, 20000 * h},
                  {Touch::fretting_hand, 500 * h}};
  const auto& things = contact_bodies(held);
  std::erase_if(life.touches, [&](const TouchTime& t) {
    return std::none_of(things.begin(), things.end(), [&](const ContactBody& c) { return c.by == t.by; });
  });
  return life;
}

}  // namespace witnessline::history

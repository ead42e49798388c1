// "Where can I cut?": the coats at one place, how much of each is left, and where to stop.
#include <algorithm>
#include <cmath>
#include <optional>

#include "view/swatch.h"

namespace witnessline {
namespace {

constexpr double laid_sd = 0.10;  // ESTIMATE: one sd of a coat's thickness at a point about what the plan says was laid
constexpr double cut_sd = 0.25;   // ESTIMATE: one sd of what a hand took at a point about what the plan says it took
constexpr double edge_reach_m = 4e-3;  // ESTIMATE: how far from an edge a block or buff still cuts more
constexpr double edge_share = 0.5;     // ESTIMATE: a block takes up to twice as much there as on the flat
constexpr double wet_limit = 0.05;     // ESTIMATE: solvent over dry film above which paper tears and clogs

const std::string band_law =
    "dry film at this place; band: 1.96 x sqrt((10% of what was laid)^2 + (spread the survey gives)^2 + "
    "(25% of what was taken)^2), ESTIMATE";

Rgb colour_of_stack(const Stack& stack, const Looking& looking) {
  return screen_colour(reflectance(stack, looking.palette), looking);
}

Figure film_figure(const std::string& name, double value_m, double sd_m, std::string law, Kind kind) {
  Figure f;
  f.name = name, f.value = value_m, f.quantity = Quantity::film_thickness, f.law = std::move(law), f.kind = kind;
  f.band = {std::max(0.0, value_m - 1.96 * sd_m), value_m + 1.96 * sd_m};
  return f;
}

const Layer* layer_of(const Stack& stack, const Provenance& provenance) {
  for (const Layer& layer : stack.layers)
    if (layer.provenance == provenance) return &layer;
  return nullptr;
}

/// What is known of one coat here [m].
struct Known {
  double laid = 0, left = 0;  ///< dry film
  double laid_sd = 0, left_sd = 0;
};

/// Most dry film a coat had here in any state so far, and what is left; for a coat found, the survey's mean and spread
/// instead of the film's own unevenness, less what the plan took.
Known known(const std::vector<Stack>& history, const Layer& now, const Stack* mean, const Survey& survey) {
  Known coat;
  for (const Stack& then : history)
    if (const Layer* layer = layer_of(then, now.provenance)) coat.laid = std::max(coat.laid, layer->dry_m);
  const double taken = std::max(0.0, coat.laid - now.dry_m);  // signed: a cut that passed its bottom counts whole
  coat.laid_sd = laid_sd * coat.laid;
  const Layer* surveyed = mean ? layer_of(*mean, now.provenance) : nullptr;
  const auto facts = survey.coats.find(now.provenance.laid_by);
  if (surveyed && facts != survey.coats.end()) {
    coat.laid = std::max(0.0, surveyed->dry_m);
    coat.laid_sd = std::hypot(laid_sd, facts->second.spread_share) * coat.laid;
  }
  coat.left = std::max(0.0, coat.laid - taken);
  coat.left_sd = coat.left > 0 ? std::hypot(coat.laid_sd, cut_sd * taken) : 0.0;
  return coat;
}

bool near_edge(const Body& body, Vec3 at) {
  const auto positions = body.positions();
  for (std::size_t v = 0; v < positions.size(); ++v) {
    if (!body.in(v, Region::edge)) continue;
    const double x = double{positions[v].x} - at.x, y = double{positions[v].y} - at.y,
                 z = double{positions[v].z} - at.z;
    if (x * x + y * y + z * z < edge_reach_m * edge_reach_m) return true;
  }
  return false;
}

std::uint32_t nearest_corner(const Body& body, SurfacePoint point) {
  const Triangle& t = body.triangles()[point.triangle];
  const float w = 1 - point.u - point.v;
  return w >= point.u && w >= point.v ? t[0] : point.u >= point.v ? t[1] : t[2];
}

}  // namespace

namespace {

/// What a cut comes to: the next coat, the first original coat and the wood, each once; a hazard ends the list.
/// `coats` and `sd_m` are air side first.
std::vector<Stop> stops_of(const std::vector<CoatInColumn>& coats, const std::vector<double>& sd_m, double share,
                           const std::string& share_words) {
  std::vector<Stop> stops;
  double above_m = 0, variance_m2 = 0;
  bool next = false, original = false;
  const auto add = [&](const std::string& before, StopFor why) {
    Stop stop{before,
              why,
              film_figure("film above " + before, above_m, std::sqrt(variance_m2),
                          "sum of the dry coats left above " + before + "; band: their bands, independent, ESTIMATE",
                          Kind::estimate),
              {}};
    stop.depth.name = "stop depth", stop.depth.quantity = Quantity::film_thickness, stop.depth.kind = Kind::estimate;
    // A restorer cuts to the thinnest the film may be, not to what it most likely is.
    stop.depth.value = share * stop.film.band.low;
    stop.depth.law = "low end of the band of the film above " + before + share_words;
    stop.depth.inputs = {{"film above", above_m, Quantity::film_thickness, Kind::estimate, ""}};
    stops.push_back(std::move(stop));
  };
  for (std::size_t i = 0; i < coats.size(); ++i) {
    if (!(coats[i].left.value > 0)) continue;
    const bool first_original = !original && coats[i].origin == Origin::original;
    if (!coats[i].hazard.empty()) {  // nothing below it is offered
      add(coats[i].name, StopFor::hazard);
      return stops;
    }
    if (first_original) add(coats[i].name, StopFor::original);
    if (!first_original && above_m > 0 && !next) add(coats[i].name, StopFor::next_coat);
    next = next || above_m > 0, original = original || first_original;
    above_m += coats[i].left.value, variance_m2 += sd_m[i] * sd_m[i];
  }
  add("wood", StopFor::wood);
  return stops;
}

}  // namespace

ColumnReading column_at(const std::vector<const Film*>& history, const Looking& looking, SurfacePoint point,
                        const Survey& survey) {
  expects(!history.empty(), "a column is read from at least one state");
  const Body& body = looking.body;
  std::vector<Stack> states;
  for (const Film* film : history) states.push_back(stack_at(*film, body, looking.woods, point));
  std::optional<Stack> mean;
  if (survey.mean) mean = stack_at(*survey.mean, body, looking.woods, point);
  const Stack& now = states.back();
  const std::uint32_t corner = nearest_corner(body, point);

  ColumnReading reading;
  reading.at = body.position(point);
  const auto names = words(static_cast<const Region*>(nullptr));
  for (std::size_t r = 0; r < region_count; ++r)
    if (body.in(corner, static_cast<Region>(r))) reading.regions.emplace_back(names[r]);
  reading.wood = now.wood->name;
  reading.masking = static_cast<Masking>(history.back()->masking[corner]);
  reading.colour_now = colour_of_stack(now, looking);
  Stack bare = now;
  bare.layers.clear();
  reading.colour_bare_wood = colour_of_stack(bare, looking);
  reading.edge_band = near_edge(body, reading.at);

  std::vector<double> sd_m;
  Stack bared = now;
  for (std::size_t l = now.layers.size(); l-- > 0; bared.layers.pop_back()) {
    const Layer& layer = now.layers[l];
    const Known film = known(states, layer, mean ? &*mean : nullptr, survey);
    if (film.laid <= 0 && film.left <= 0) continue;
    CoatInColumn coat;
    coat.name = layer.provenance.laid_by;
    coat.material = layer.mixture->name.empty() ? layer.mixture->id : layer.mixture->name;
    coat.origin = layer.provenance.origin;
    if (const auto facts = survey.coats.find(coat.name); facts != survey.coats.end())
      coat.hazard = facts->second.hazard;
    coat.laid = film_figure(coat.name + ", laid", film.laid, film.laid_sd,
                            "most dry film this coat had here in any state so far, or the mean the survey gives; band: "
                            "1.96 x sqrt((10%)^2 + (the survey's spread)^2), ESTIMATE",
                            Kind::estimate);
    coat.left = film_figure(coat.name + ", left", film.left, film.left_sd, band_law, Kind::estimate);
    coat.left.inputs = {{"laid", film.laid, Quantity::film_thickness, Kind::estimate, ""},
                        {"taken", film.laid - film.left, Quantity::film_thickness, Kind::computed, ""}};
    coat.melted.name = coat.name + ", melted into the coat above";
    coat.melted.value = layer.melted, coat.melted.quantity = Quantity::fraction;
    coat.melted.law = "share of the coat's dry film that was dissolved into the coat above";
    coat.wet_share = layer.dry_m > 0 ? layer.solvent_m / layer.dry_m : 0.0;
    coat.own_colour = own_colour(*layer.mixture, layer.light_lx_s, looking);
    coat.colour_if_bared = colour_of_stack(bared, looking);
    if (film.left > 0 && std::all_of(sd_m.begin(), sd_m.end(), [](double sd) { return sd <= 0; }))
      reading.wet = coat.wet_share > wet_limit;
    sd_m.push_back(film.left_sd);
    reading.coats.push_back(std::move(coat));
  }
  const double share = reading.wet ? 0.0 : reading.edge_band ? edge_share : 1.0;
  reading.stops = stops_of(reading.coats, sd_m, share,
                           reading.wet         ? "; nothing, as the outermost coat is still wet"
                           : reading.edge_band ? "; half of it, as a block takes up to twice as much near an edge"
                                               : "");
  return reading;
}

}  // namespace witnessline

// "Where can I cut?": the coats at one place, how much of each is left, and where to stop.
#include <algorithm>
#include <cmath>
#include <optional>

#include "view/stops.h"
#include "view/swatch.h"

namespace witnessline::view {
namespace {

const std::string band_law =
    "dry film at this place; band: 1.96 x sqrt((10% of the film as sprayed)^2 + (spread the survey gives)^2 + "
    "(25% of the film removed)^2), ESTIMATE";

Rgb colour_of_stack(const Stack& stack, const ViewContext& view_context) {
  return screen_colour(reflectance(stack, view_context.palette), view_context);
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

std::uint32_t nearest_corner(const Body& body, SurfacePoint point) {
  const Triangle& t = body.triangles()[point.triangle];
  const float w = 1 - point.u - point.v;
  return w >= point.u && w >= point.v ? t[0] : point.u >= point.v ? t[1] : t[2];
}

std::vector<Stop> stops_of(const std::vector<CoatInColumn>& coats, const std::vector<CoatLeft>& left, double share,
                           const std::string& share_words) {
  std::vector<Stop> stops;
  for (const CutTarget& met : cut_targets(left)) {
    const std::string before = met.coat < coats.size() ? coats[met.coat].name : "wood";
    Stop stop{before,
              met.why,
              film_figure("film above " + before, met.above_m, met.sd_m,
                          "sum of the dry coats left above " + before + "; band: their bands, independent, ESTIMATE",
                          Kind::estimate),
              {}};
    stop.depth.name = "depth limit", stop.depth.quantity = Quantity::film_thickness, stop.depth.kind = Kind::estimate;
    stop.depth.value = met.depth_m(share);
    stop.depth.law = "low end of the band of the film above " + before + share_words;
    stop.depth.inputs = {{"film above", met.above_m, Quantity::film_thickness, Kind::estimate, ""}};
    stops.push_back(std::move(stop));
  }
  return stops;
}

}  // namespace

ColumnReading column_at(const std::vector<const Film*>& history, const ViewContext& view_context, SurfacePoint point,
                        const Survey& survey) {
  expects(!history.empty(), "a column is read from at least one state");
  const Body& body = view_context.body;
  std::vector<Stack> states;
  for (const Film* film : history) states.push_back(stack_at(*film, body, view_context.woods, point));
  std::optional<Stack> mean;
  if (survey.mean) mean = stack_at(*survey.mean, body, view_context.woods, point);
  const Stack& now = states.back();
  const std::uint32_t corner = nearest_corner(body, point);

  ColumnReading reading;
  reading.at = body.position(point);
  const auto names = words(static_cast<const Region*>(nullptr));
  for (std::size_t r = 0; r < region_count; ++r)
    if (body.in(corner, static_cast<Region>(r))) reading.regions.emplace_back(names[r]);
  reading.wood = now.wood->name;
  reading.masking = static_cast<Masking>(history.back()->masking[corner]);
  reading.colour_now = colour_of_stack(now, view_context);
  Stack bare = now;
  bare.layers.clear();
  reading.colour_bare_wood = colour_of_stack(bare, view_context);
  reading.edge_band = EdgeBand(body).holds(reading.at);

  std::vector<CoatLeft> left;
  Stack bared = now;
  for (std::size_t l = now.layers.size(); l-- > 0; bared.layers.pop_back()) {
    const Layer& layer = now.layers[l];
    const std::string& name = layer.provenance.laid_by;
    const auto facts = survey.coats.find(name);
    const bool found = facts != survey.coats.end();
    double most_m = 0;
    for (const Stack& then : states)
      if (const Layer* same = layer_of(then, layer.provenance)) most_m = std::max(most_m, same->dry_m);
    const Layer* surveyed = mean && found ? layer_of(*mean, layer.provenance) : nullptr;
    const FilmEstimate film = known_film(most_m, layer.dry_m, surveyed ? std::optional(surveyed->dry_m) : std::nullopt,
                                         found ? facts->second.spread_share : 0.0);
    if (film.laid <= 0 && film.left <= 0) continue;
    CoatInColumn coat;
    coat.name = name;
    coat.material = layer.mixture->name.empty() ? layer.mixture->id : layer.mixture->name;
    coat.origin = layer.provenance.origin;
    if (found) coat.hazard = facts->second.hazard;
    coat.laid = film_figure(coat.name + ", as sprayed", film.laid, film.laid_sd,
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
    coat.own_colour = own_colour(*layer.mixture, layer.light_lx_s, view_context);
    coat.colour_if_bared = colour_of_stack(bared, view_context);
    if (film.left > 0 && std::all_of(left.begin(), left.end(), [](const CoatLeft& one) { return one.film_m <= 0; }))
      reading.softened = softened(found ? &facts->second : nullptr, layer.dry_m, layer.solvent_m, layer.cured_s);
    left.push_back({film.left, film.left_sd, coat.origin, !coat.hazard.empty()});
    reading.coats.push_back(std::move(coat));
  }
  const bool too_soft = reading.softened == Softened::too_soft;
  const double share = too_soft ? 0.0 : reading.edge_band ? edge_share : 1.0;
  reading.stops = stops_of(reading.coats, left, share,
                           too_soft            ? "; zero, because the outermost coat is still too soft to cut"
                           : reading.edge_band ? "; half of it, because a block cuts up to twice as deep near an edge"
                                               : "");
  return reading;
}

}  // namespace witnessline::view

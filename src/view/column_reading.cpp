// "Where can I cut?": the coats at one place, how much of each is left, and where to stop.
#include <algorithm>
#include <cmath>

#include "view/swatch.h"

namespace witnessline {
namespace {

constexpr double laid_sd = 0.10;  // ESTIMATE: one sd of a coat's thickness at a point about what the plan says was laid
constexpr double cut_sd = 0.25;   // ESTIMATE: one sd of what a hand took at a point about what the plan says it took
constexpr double edge_reach_m = 4e-3;  // ESTIMATE: how far from an edge a block or buff still cuts more

const std::string band_law =
    "dry film + solvent at this place; band: 1.96 x sqrt((10% of what was laid)^2 + (25% of what was taken)^2), "
    "ESTIMATE";

Rgb colour_of_stack(const Stack& stack, const Looking& looking) {
  return screen_colour(reflectance(stack, looking.palette), looking);
}

Figure film_figure(const std::string& name, double value_m, double sd_m, std::string law, Kind kind) {
  Figure f;
  f.name = name, f.value = value_m, f.quantity = Quantity::film_thickness, f.law = std::move(law), f.kind = kind;
  f.band = {std::max(0.0, value_m - 1.96 * sd_m), value_m + 1.96 * sd_m};
  return f;
}

/// Most dry film a coat had at this place in any state so far; states may hold fewer layers than the last.
double laid_m(const std::vector<Stack>& history, const Layer& now, std::size_t layer) {
  double most = 0;
  for (const Stack& then : history)
    if (layer < then.layers.size() && then.layers[layer].provenance == now.provenance)
      most = std::max(most, then.layers[layer].dry_m);
    else
      for (const Layer& other : then.layers)
        if (other.provenance == now.provenance) most = std::max(most, other.dry_m);
  return most;
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

ColumnReading column_at(const std::vector<const Film*>& history, const Looking& looking, SurfacePoint point) {
  expects(!history.empty(), "a column is read from at least one state");
  const Body& body = looking.body;
  std::vector<Stack> states;
  for (const Film* film : history) states.push_back(stack_at(*film, body, looking.woods, point));
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

  int protect = -1;  // outermost original coat left: what must not be cut
  for (std::size_t l = 0; l < now.layers.size(); ++l)
    if (now.layers[l].provenance.origin == Origin::original && now.layers[l].dry_m > 0) protect = static_cast<int>(l);

  double above_m = 0, above_variance = 0;
  Stack bared = now;
  for (std::size_t l = now.layers.size(); l-- > 0; bared.layers.pop_back()) {
    const Layer& layer = now.layers[l];
    const double laid = laid_m(states, layer, l), left = layer.thickness_m();
    if (laid <= 0 && left <= 0) continue;
    const double taken = std::max(0.0, laid - std::max(0.0, layer.dry_m));
    const double sd = std::hypot(laid_sd * laid, cut_sd * taken);
    CoatInColumn coat;
    coat.name = layer.provenance.laid_by;
    coat.material = layer.mixture->name.empty() ? layer.mixture->id : layer.mixture->name;
    coat.origin = layer.provenance.origin;
    coat.laid =
        film_figure(coat.name + ", laid", laid, laid_sd * laid,
                    "most dry film this coat had here in any state so far; band: 1.96 x 10%, ESTIMATE", Kind::estimate);
    coat.left = film_figure(coat.name + ", left", left, left > 0 ? sd : 0, band_law, Kind::estimate);
    coat.left.inputs = {
        {"laid", laid, Quantity::film_thickness, Kind::computed, ""},
        {"taken", taken, Quantity::film_thickness, Kind::computed, ""},
        {"solvent still in it", layer.dry_m > 0 ? layer.solvent_m : 0, Quantity::film_thickness, Kind::computed, ""}};
    coat.melted.name = coat.name + ", melted into the coat above";
    coat.melted.value = layer.melted, coat.melted.quantity = Quantity::fraction;
    coat.melted.law = "share of the coat's dry film that was dissolved into the coat above";
    coat.own_colour = own_colour(*layer.mixture, layer.light_lx_s, looking);
    coat.colour_if_bared = colour_of_stack(bared, looking);
    if (static_cast<int>(l) > protect && left > 0) above_m += left, above_variance += sd * sd;
    reading.coats.push_back(std::move(coat));
  }
  reading.stop_before = protect >= 0 ? now.layers[static_cast<std::size_t>(protect)].provenance.laid_by : "wood";
  reading.film_above =
      film_figure("film above " + reading.stop_before, above_m, std::sqrt(above_variance),
                  "sum of the coats left above " + reading.stop_before + "; band: their bands, independent, ESTIMATE",
                  Kind::estimate);
  // A restorer cuts to the thinnest the film may be, not to what it most likely is.
  reading.stop_depth = reading.film_above;
  reading.stop_depth.name = "stop depth",
  reading.stop_depth.law = "low end of the band of the film above " + reading.stop_before;
  reading.stop_depth.value = reading.film_above.band.low, reading.stop_depth.band = {};
  reading.stop_depth.inputs = {{"film above", above_m, Quantity::film_thickness, Kind::estimate, ""}};
  return reading;
}

}  // namespace witnessline

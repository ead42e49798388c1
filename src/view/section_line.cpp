// A cut along a line over the surface: rings, steps and witness lines.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "body/vec.h"
#include "view/pictures.h"
#include "view/svg_parts.h"
#include "view/swatch.h"

namespace witnessline::view {
namespace {

constexpr int places = 320;
constexpr double width = 760, left = 70, right = 740, top = 46, film_height = 170, wood_height = 60;

}  // namespace

std::string section_line_svg(const Film& film, const ViewContext& view_context, SurfacePoint from, SurfacePoint to,
                             BenchUnits units) {
  const Body& body = view_context.body;
  const Vec3d a = body.position(from), b = body.position(to);
  std::vector<Vec3> wanted;
  for (int i = 0; i < places; ++i) wanted.push_back(static_cast<Vec3>(a + (i / (places - 1.0)) * (b - a)));
  const std::vector<SurfacePoint> points = body.nearest(wanted);
  std::vector<Stack> columns;
  std::vector<double> along_m{0};
  double highest_m = 1e-6, deepest_m = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    columns.push_back(stack_at(film, body, view_context.woods, points[i]));
    if (i)
      along_m.push_back(along_m.back() + length(Vec3d(body.position(points[i])) - Vec3d(body.position(points[i - 1]))));
    highest_m = std::max(highest_m, columns.back().thickness_m());
    deepest_m = std::max(deepest_m, columns.back().wood_cut_m);
  }
  const double length_m = std::max(along_m.back(), 1e-6);
  const double x_per_m = (right - left) / length_m, y_per_m = film_height / (highest_m + deepest_m);
  const double wood_y = top + highest_m * y_per_m;  // of wood that was never cut
  const auto x_of = [&](std::size_t i) { return left + along_m[i] * x_per_m; };

  std::vector<std::size_t> there;
  for (std::size_t l = 0; l < film.layers.size(); ++l)
    if (std::any_of(columns.begin(), columns.end(), [&](const Stack& s) { return s.layers[l].dry_m > 0; }))
      there.push_back(l);

  std::vector<double> floor_m(columns.size());
  for (std::size_t i = 0; i < columns.size(); ++i) floor_m[i] = -columns[i].wood_cut_m;
  const double bottom = top + film_height + wood_height;
  std::string drawn = fmt::format("<path d=\"M{} {:.1f}", left, bottom);
  for (std::size_t i = 0; i < columns.size(); ++i)
    drawn += fmt::format(" L{:.1f} {:.2f}", x_of(i), wood_y - floor_m[i] * y_per_m);
  const Reflectance wood =
      columns.front().wood ? view_context.palette.bare(columns.front().wood->id) : flat_reflectance(0.4);
  drawn += fmt::format(" L{} {:.1f} Z\" fill=\"{}\" stroke=\"#2b2b2b\" stroke-width=\"0.8\"/>", right, bottom,
                       hex(screen_colour(wood, view_context)));
  for (const std::size_t l : there) {
    std::string lower, upper;
    double dose_lx_s = 0;
    for (std::size_t i = 0; i < columns.size(); ++i) {
      lower = fmt::format(" L{:.1f} {:.2f}", x_of(i), wood_y - floor_m[i] * y_per_m) + lower;
      floor_m[i] += columns[i].layers[l].thickness_m();
      dose_lx_s = std::max(dose_lx_s, columns[i].layers[l].light_lx_s);
      upper += fmt::format("{}{:.1f} {:.2f}", i ? " L" : "M", x_of(i), wood_y - floor_m[i] * y_per_m);
    }
    drawn += fmt::format("<path d=\"{}{} Z\" fill=\"{}\" stroke=\"#2b2b2b\" stroke-width=\"0.5\"/>", upper, lower,
                         hex(own_colour(*film.layers[l].mixture, dose_lx_s, view_context)));
  }
  // Witness lines: where another coat comes to the surface.
  std::size_t ticks = 0;
  for (std::size_t i = 1; i < columns.size(); ++i)
    if (exposed_layer(columns[i]) != exposed_layer(columns[i - 1])) {
      const double x = (x_of(i) + x_of(i - 1)) / 2;
      drawn += fmt::format("<path d=\"M{:.1f} {:.1f} l-4 -8 h8 z\" fill=\"#b3261e\"/>", x,
                           wood_y - std::max(floor_m[i], floor_m[i - 1]) * y_per_m - 2);
      ++ticks;
    }

  const double legend_y = bottom + 46, row = 20;
  const double height = legend_y + row * std::ceil((static_cast<double>(there.size()) + 1) / 2) + 8;
  std::string svg = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {:.0f} {:.0f}\" role=\"img\" aria-label=\"Cut along a "
      "line\" "
      "font-family=\"Helvetica, Arial, sans-serif\" font-size=\"12\" fill=\"#1d1d1b\">{}",
      width, height, origin_patterns());
  svg += fmt::format("<text x=\"{}\" y=\"18\" font-size=\"13\" font-weight=\"bold\">Cut along {}</text>", left - 20,
                     typeset(length_m, Quantity::length, units));
  svg += fmt::format("<text x=\"{}\" y=\"34\" fill=\"#55534e\">heights drawn {:.0f} times the widths{}</text>",
                     left - 20, y_per_m / x_per_m, ticks ? "; red marks are witness lines" : "");
  svg += drawn;
  const double bar_m = round_length(0.5 * (highest_m + deepest_m), units, Quantity::film_thickness);
  svg += fmt::format(
      "<path d=\"M{0} {1:.1f} h8 m-4 0 v{2:.1f} m-4 0 h8\" stroke=\"#1d1d1b\" fill=\"none\"/>"
      "<text x=\"{3}\" y=\"{4:.1f}\" text-anchor=\"end\">{5}</text>",
      left - 14, wood_y - bar_m * y_per_m, bar_m * y_per_m, left - 16, wood_y - bar_m * y_per_m / 2 + 4,
      typeset(bar_m, Quantity::film_thickness, units));
  const double span_m = round_length(0.3 * length_m, units, Quantity::length);
  svg += fmt::format(
      "<path d=\"M{} {:.1f} v8 m0 -4 h{:.1f} m0 -4 v8\" stroke=\"#1d1d1b\" fill=\"none\"/>"
      "<text x=\"{:.1f}\" y=\"{:.1f}\">{}</text>",
      left, bottom + 8, span_m * x_per_m, left + span_m * x_per_m + 8, bottom + 16,
      typeset(span_m, Quantity::length, units));
  std::size_t cell = 0;
  const auto legend = [&](const std::string& name, const std::string& fill, const std::string& mark) {
    const double x = left - 20 + 350.0 * static_cast<double>(cell % 2),
                 y = legend_y + row * static_cast<double>(cell / 2);
    svg += fmt::format(
        "<rect x=\"{:.0f}\" y=\"{:.1f}\" width=\"22\" height=\"12\" fill=\"{}\" stroke=\"#2b2b2b\" "
        "stroke-width=\"0.6\"/>",
        x, y - 10, fill);
    if (!mark.empty())
      svg += fmt::format(
          "<rect x=\"{:.0f}\" y=\"{:.1f}\" width=\"12\" height=\"12\" fill=\"{}\" stroke=\"#2b2b2b\" "
          "stroke-width=\"0.6\"/>",
          x + 26, y - 10, mark);
    svg += fmt::format("<text class=\"label\" x=\"{:.0f}\" y=\"{:.1f}\">{}</text>", x + 44, y,
                       escaped(shortened(name, 44)));
    ++cell;
  };
  for (auto l = there.rbegin(); l != there.rend(); ++l) {
    const FilmLayer& layer = film.layers[*l];
    legend(layer.provenance.laid_by + ", " + origin_words(layer.provenance.origin),
           hex(own_colour(*layer.mixture, columns.front().layers[*l].light_lx_s, view_context)),
           origin_fill(layer.provenance.origin));
  }
  legend(columns.front().wood ? columns.front().wood->name : "wood", hex(screen_colour(wood, view_context)), "");
  return svg + "</svg>";
}

}  // namespace witnessline::view

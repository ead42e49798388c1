// A section at one place: the coats to scale, wood at the bottom.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "view/pictures.h"
#include "view/svg_parts.h"

namespace witnessline::view {
namespace {

constexpr double width = 748, left = 74, right = 300, top = 72, wood_height = 74;
constexpr double label_x = 346, label_height = 34;
constexpr int label_letters = 46;

/// A label wants to stand at its coat's middle, but never over another.
void spread_out(std::vector<double>& middles, double low, double high) {
  for (std::size_t i = 0; i < middles.size(); ++i)
    middles[i] = std::max(middles[i], i ? middles[i - 1] + label_height : low);
  if (!middles.empty() && middles.back() > high) {
    middles.back() = high;
    for (std::size_t i = middles.size() - 1; i-- > 0;) middles[i] = std::min(middles[i], middles[i + 1] - label_height);
  }
}

std::string film_words(const CoatInColumn& coat, BenchUnits units) {
  const auto say = [&](double m) { return typeset(m, Quantity::film_thickness, units); };
  if (!(coat.left.value > 0))
    return fmt::format("gone here, {} as sprayed \u2014 {}", say(coat.laid.value), origin_words(coat.origin));
  std::string text = fmt::format("{} of {} left", say(coat.left.value), say(coat.laid.value));
  if (std::isfinite(coat.left.band.low))
    text += fmt::format(" ({} to {})", say(coat.left.band.low), say(coat.left.band.high));
  return text + " \u2014 " + origin_words(coat.origin);
}

/// What a person cutting here must know, in one line.
std::string stop_words(const ColumnReading& column) {
  if (column.softened == Softened::too_soft) return "; still too soft: do not cut";
  std::string text;
  for (const CoatInColumn& coat : column.coats)
    if (!coat.hazard.empty() && coat.left.value > 0) text += fmt::format("; {}: {}", coat.name, coat.hazard);
  return text;
}

}  // namespace

std::string section_svg(const ColumnReading& column, BenchUnits units) {
  double total_m = 0;
  for (const CoatInColumn& coat : column.coats) total_m += std::max(0.0, coat.left.value);
  const double coats_height = total_m > 0 ? 300 : 30;
  const double px_per_m = coats_height / std::max(total_m, 1e-6);
  const double labels_height = label_height * static_cast<double>(column.coats.size() + 1);
  const double body_height = std::max(coats_height + wood_height, labels_height + 10);
  const double height = top + body_height + 62, wood_y = top + coats_height;

  std::vector<double> middles, ends;
  std::string drawn;
  double y = top + (total_m > 0 ? 0 : coats_height);
  for (const CoatInColumn& coat : column.coats) {
    const double tall = std::max(0.0, coat.left.value) * px_per_m;
    if (tall > 0) {
      drawn += fmt::format(
          "<rect x=\"{}\" y=\"{:.2f}\" width=\"{}\" height=\"{:.2f}\" fill=\"{}\" stroke=\"#2b2b2b\" "
          "stroke-width=\"0.6\"/>",
          left, y, right - left, tall, hex(coat.own_colour));
      drawn += fmt::format(
          "<rect x=\"{}\" y=\"{:.2f}\" width=\"12\" height=\"{:.2f}\" fill=\"{}\" stroke=\"#2b2b2b\" "
          "stroke-width=\"0.6\"/>",
          left - 16, y, tall, origin_fill(coat.origin));
    } else {
      drawn += fmt::format(
          "<line x1=\"{}\" y1=\"{:.2f}\" x2=\"{}\" y2=\"{:.2f}\" stroke=\"#2b2b2b\" stroke-dasharray=\"2 3\"/>", left,
          y, right, y);
    }
    middles.push_back(y + tall / 2), ends.push_back(y + tall / 2);
    y += tall;
  }
  const double wood_bottom = top + body_height;
  middles.push_back(wood_y + wood_height / 2), ends.push_back(wood_y + wood_height / 2);
  spread_out(middles, top + label_height / 2, wood_bottom - label_height / 2);

  std::string svg = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {:.0f} {:.0f}\" role=\"img\" "
      "aria-label=\"Section through the coats\" font-family=\"Helvetica, Arial, sans-serif\" font-size=\"13\" "
      "fill=\"#1d1d1b\">{}",
      width, height, origin_patterns());
  std::string where;
  for (const std::string& region : column.regions) where += (where.empty() ? "" : ", ") + region;
  std::replace(where.begin(), where.end(), '_', ' ');
  svg += fmt::format("<text x=\"{}\" y=\"22\" font-weight=\"bold\">{}</text>", left - 16,
                     escaped(shortened("Section, " + (where.empty() ? "one place" : where), 80)));
  svg += fmt::format("<text x=\"{}\" y=\"40\" fill=\"#55534e\">all coats together {}{}</text>", left - 16,
                     typeset(total_m, Quantity::film_thickness, units),
                     column.edge_band ? "; near an edge, where a block cuts more" : "");
  if (const std::string shown_text = stop_words(column); !shown_text.empty())
    svg += fmt::format("<text x=\"{}\" y=\"58\" font-weight=\"bold\" fill=\"#b3261e\">{}</text>", left - 16,
                       escaped(shortened(shown_text.substr(2), 96)));
  // Wood with its grain, as deep as the labels need.
  svg += fmt::format("<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{:.1f}\" fill=\"{}\"/>", left, wood_y, right - left,
                     wood_bottom - wood_y, hex(column.colour_bare_wood));
  for (double line = wood_y + 9; line < wood_bottom - 4; line += 11)
    svg += fmt::format(
        "<path d=\"M{} {:.1f} q 56 {:.1f} 113 0 t 113 0\" fill=\"none\" stroke=\"#6b4a24\" stroke-opacity=\"0.45\" "
        "stroke-width=\"0.9\"/>",
        left, line, std::fmod(line * 7.3, 5) - 2.5);
  svg += fmt::format("<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\" stroke=\"#2b2b2b\"/>", left, wood_y, right, wood_y);
  svg += drawn;

  for (std::size_t i = 0; i < middles.size(); ++i) {
    const bool is_wood = i == column.coats.size();
    svg += fmt::format(
        "<path class=\"leader\" d=\"M{} {:.1f} L{} {:.1f} L{} {:.1f}\" fill=\"none\" stroke=\"#55534e\" "
        "stroke-width=\"0.8\"/>",
        right + 2, ends[i], label_x - 18, middles[i], label_x - 6, middles[i]);
    svg += fmt::format("<text class=\"label\" x=\"{}\" y=\"{:.1f}\" font-weight=\"bold\">{}</text>", label_x,
                       middles[i] - 2, escaped(shortened(is_wood ? column.wood : column.coats[i].name, label_letters)));
    svg += fmt::format("<text class=\"label\" x=\"{}\" y=\"{:.1f}\" font-size=\"12\" fill=\"#55534e\">{}</text>",
                       label_x, middles[i] + 12, is_wood ? "wood" : escaped(film_words(column.coats[i], units)));
  }

  if (total_m > 0 && !column.stops.empty()) {
    const double stop_m = column.stops.front().depth.value;
    const double stop_y = std::min(wood_y, top + stop_m * px_per_m);
    svg +=
        fmt::format("<line x1=\"{}\" y1=\"{:.1f}\" x2=\"{}\" y2=\"{:.1f}\" stroke=\"#b3261e\" stroke-width=\"2.4\"/>",
                    left - 24, stop_y, right + 2, stop_y);
    svg +=
        fmt::format("<text x=\"{}\" y=\"{:.1f}\" text-anchor=\"end\" font-weight=\"bold\" fill=\"#b3261e\">STOP</text>",
                    left - 26, stop_y - 2);
    svg += fmt::format("<text x=\"{}\" y=\"{:.1f}\" text-anchor=\"end\" font-size=\"11\" fill=\"#b3261e\">{}</text>",
                       left - 26, stop_y + 11, typeset(stop_m, Quantity::film_thickness, units));
  }
  if (total_m > 0) {
    const double bar_m = round_length(0.45 * total_m, units, Quantity::film_thickness);
    const double x = right - 8, bar_px = bar_m * px_per_m;
    svg += fmt::format(
        "<path d=\"M{0} {1:.1f} h8 m-4 0 v{2:.1f} m-4 0 h8\" stroke=\"#fff\" stroke-width=\"4\" fill=\"none\"/>"
        "<path d=\"M{0} {1:.1f} h8 m-4 0 v{2:.1f} m-4 0 h8\" stroke=\"#1d1d1b\" stroke-width=\"1.4\" fill=\"none\"/>",
        x - 8, wood_y - bar_px - 2, bar_px);
  }
  const double foot = wood_bottom + 22;
  svg += fmt::format("<text x=\"{}\" y=\"{:.1f}\" font-size=\"12\">{}</text>", left - 16, foot,
                     total_m > 0 ? "Scale bar " +
                                       typeset(round_length(0.45 * total_m, units, Quantity::film_thickness),
                                               Quantity::film_thickness, units) +
                                       "; coats to scale, wood is not"
                                 : "Bare wood");
  double key_x = left - 16;
  for (const Origin origin : {Origin::original, Origin::later, Origin::this_plan}) {
    svg += fmt::format(
        "<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"12\" height=\"12\" fill=\"{}\" stroke=\"#2b2b2b\" "
        "stroke-width=\"0.6\"/>"
        "<text x=\"{:.1f}\" y=\"{:.1f}\" font-size=\"12\">{}</text>",
        key_x, foot + 12, origin_fill(origin), key_x + 18, foot + 22, origin_words(origin));
    key_x += 92;
  }
  return svg + "</svg>";
}

}  // namespace witnessline::view

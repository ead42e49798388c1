// Templates: drawings at true size, whole as SVG and cut into sheets, each with a bar that checks the printer.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "papers/page.h"

namespace witnessline::papers {
namespace {

constexpr double bar_mm = 100;
/// Of one sheet: what is printed of the drawing, and how far the next begins.
struct Tile {
  double width_mm, height_mm, overlap_mm = 10;
};
Tile tile_of(Sheet sheet) { return sheet == Sheet::letter ? Tile{190, 232} : Tile{186, 250}; }

std::string paths(const TrueSize& drawing, double left_mm, double top_mm) {
  std::string svg;
  for (const LineKind& kind : drawing.kinds) {
    std::string d;
    for (const auto& line : kind.lines)
      for (std::size_t i = 0; i < line.size(); ++i)
        d += fmt::format("{}{:.2f} {:.2f}", i == 0 ? "M" : "L", line[i].x_mm - left_mm, top_mm - line[i].y_mm);
    if (!d.empty())
      svg += fmt::format("<path d=\"{}\" fill=\"none\" stroke=\"#000\" stroke-width=\"{}\"{}/>", d, kind.width_mm,
                         kind.dashes.empty() ? "" : " stroke-dasharray=\"" + kind.dashes + "\"");
  }
  return svg;
}

/// No line comes near this part: judged by the box around each of its pieces.
bool is_empty(const TrueSize& drawing, double left_mm, double top_mm, double width_mm, double height_mm) {
  for (const LineKind& kind : drawing.kinds)
    for (const auto& line : kind.lines)
      for (std::size_t i = 1; i < line.size(); ++i) {
        const auto [west, east] = std::minmax(line[i - 1].x_mm, line[i].x_mm);
        const auto [south, north] = std::minmax(line[i - 1].y_mm, line[i].y_mm);
        if (east > left_mm && west < left_mm + width_mm && south < top_mm && north > top_mm - height_mm) return false;
      }
  return true;
}

/// The bar: the middle lines of its two end strokes are `bar_mm` apart.
std::string bar(double x_mm, double y_mm) {
  return fmt::format(
      "<path class=\"bar\" d=\"M{0:.2f} {1:.2f}v6M{0:.2f} {2:.2f}h{3:g}M{4:.2f} {1:.2f}v6\" fill=\"none\" "
      "stroke=\"#000\" stroke-width=\"0.3\"/><text x=\"{5:.2f}\" y=\"{6:.2f}\" font-size=\"3.4\" "
      "font-family=\"Liberation Sans,Helvetica,Arial,sans-serif\">100 mm: measure before use</text>",
      x_mm, y_mm - 3, y_mm, bar_mm, x_mm + bar_mm, x_mm + 2, y_mm - 1.2);
}

}  // namespace

std::string true_size_svg(const TrueSize& drawing, const std::string& title) {
  constexpr double margin_mm = 5, foot_mm = 12;
  const double width = std::max(drawing.right_mm - drawing.left_mm, bar_mm) + 2 * margin_mm;
  const double height = drawing.top_mm - drawing.bottom_mm + 2 * margin_mm + foot_mm;
  return fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0:.2f}mm\" height=\"{1:.2f}mm\" viewBox=\"0 0 {0:.2f} "
      "{1:.2f}\"><title>{2}</title>{3}{4}</svg>\n",
      width, height, escaped(title), paths(drawing, drawing.left_mm - margin_mm, drawing.top_mm + margin_mm),
      bar(margin_mm, height - margin_mm));
}

Tree templates(const PlanPaper& paper) {
  if (!paper.pictures || paper.pictures->true_size.empty()) return {};
  const Tile tile = tile_of(paper.source.sheet);
  Tree drawings = each(paper.pictures->true_size, [&](const TrueSize& drawing) {
    const double step_x = tile.width_mm - tile.overlap_mm, step_y = tile.height_mm - tile.overlap_mm - 12;
    const double wide = drawing.right_mm - drawing.left_mm + 2, high = drawing.top_mm - drawing.bottom_mm + 2;
    const int columns = std::max(1, static_cast<int>(std::ceil((wide - tile.overlap_mm) / step_x)));
    const int rows = std::max(1, static_cast<int>(std::ceil((high - tile.overlap_mm) / step_y)));
    const double before_x = (columns * step_x + tile.overlap_mm - wide) / 2 + 1;  // the drawing in their middle
    const double before_y = (rows * step_y + tile.overlap_mm - high) / 2 + 1;
    Tree sheets = Tree::empty_list();
    for (int row = 0; row < rows; ++row)
      for (int column = 0; column < columns; ++column) {
        const double x = column * step_x, y = row * step_y, shown = tile.height_mm - 12;
        const double left = drawing.left_mm - before_x + x, top = drawing.top_mm + before_y - y;
        if (is_empty(drawing, left, top, tile.width_mm, shown)) continue;
        std::string cross;  // where sheets meet: the crosses of neighbours come to lie on each other
        for (const double cx : {5.0, tile.width_mm - 5})
          for (const double cy : {5.0, shown - 5}) cross += fmt::format("M{:.2f} {:.2f}h6m-3 -3v6", cx - 3, cy);
        const std::string name = fmt::format("{}{}", static_cast<char>('A' + column), row + 1);
        sheets.list.push_back(fields(
            {{"sheet_name", text(name)},
             {"svg",
              text(fmt::format(
                  "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0:g}mm\" height=\"{1:g}mm\" viewBox=\"0 0 {0:g} "
                  "{1:g}\" role=\"img\"><title>{2}, sheet {3}</title><clipPath id=\"c{3}\"><rect width=\"{0:g}\" "
                  "height=\"{4:g}\"/></clipPath><g clip-path=\"url(#c{3})\">{5}</g><path d=\"{6}\" fill=\"none\" "
                  "stroke=\"#000\" stroke-width=\"0.15\"/>{7}</svg>",
                  tile.width_mm, tile.height_mm, escaped(drawing.title), name, shown, paths(drawing, left, top), cross,
                  bar(2, tile.height_mm - 4)))}}));
      }
    return fields({{"drawing", text(drawing.title)},
                   {"across", text(fmt::format("{:.1f}", drawing.right_mm - drawing.left_mm))},
                   {"along", text(fmt::format("{:.1f}", drawing.top_mm - drawing.bottom_mm))},
                   {"columns", Tree::of(std::int64_t{columns})},
                   {"tile_rows", Tree::of(std::int64_t{rows})},
                   {"kinds", each(drawing.kinds,
                                  [](const LineKind& kind) {
                                    return fields({{"label", text(kind.label)},
                                                   {"line_width", text(fmt::format("{}", kind.width_mm))},
                                                   {"dashes", text(kind.dashes)}});
                                  })},
                   {"sheets", std::move(sheets)}});
  });
  return fields({{"drawings", std::move(drawings)}});
}

}  // namespace witnessline::papers

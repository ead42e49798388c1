// Colours of a film: mean of a place under every lamp, and every vertex under one.
#include <algorithm>

#include "view/columns.h"

namespace witnessline::view {

Result<ColourReading> colour_of(const Film& film, const ViewContext& view_context, const Where& where,
                                const std::string& name) {
  const auto weight = weights_of(where, view_context.body);
  if (!weight) return weight.errors();
  const auto areas = view_context.body.areas_m2();
  struct Part {
    std::array<double, bands> sum{};
    double area_m2 = 0;
  };
  // for_blocks gives a chunk to one thread, so each chunk adds into its own part and the parts are added in order.
  std::vector<Part> parts((film.size() + field_chunk - 1) / field_chunk);
  for_blocks(
      film, view_context,
      [&](std::size_t first, std::size_t count, const BlockSpectra& r) {
        Part& part = parts[first / field_chunk];
        std::array<float, block> share{};
        double all = 0;
        for (std::size_t i = 0; i < count; ++i) all += share[i] = (*weight)[first + i] * areas[first + i];
        if (all == 0) return;
        part.area_m2 += all;
        for (std::size_t b = 0; b < bands; ++b) {
          double sum = 0;
          for (std::size_t i = 0; i < count; ++i) sum += double{share[i]} * r[b][i];
          part.sum[b] += sum;
        }
      },
      *weight);
  Part total;
  for (const Part& part : parts) {
    total.area_m2 += part.area_m2;
    for (std::size_t b = 0; b < bands; ++b) total.sum[b] += part.sum[b];
  }
  if (!(total.area_m2 > 0))
    return Error{"'" + name + "' covers no area of this body, so it has no colour",
                 {"", 0, 0, "where"},
                 "a place on the body",
                 "choose other regions or a larger patch"};

  ColourReading reading{name, {}, {}, {}};
  for (int b = 0; b < bands; ++b) reading.mean[b] = total.sum[static_cast<std::size_t>(b)] / total.area_m2;
  for (std::size_t l = 0; l < all_lamps.size(); ++l)
    reading.lab[l] = to_lab(reading.mean, all_lamps[l], view_context.observer);
  reading.srgb = to_srgb(to_xyz(reading.mean, view_context.lamp, view_context.observer),
                         white_point(view_context.lamp, view_context.observer));
  return reading;
}

std::vector<std::array<std::uint8_t, 3>> vertex_colours(const Film& film, const ViewContext& view_context) {
  std::vector<std::array<std::uint8_t, 3>> colours(film.size());
  for_blocks(film, view_context, [&](std::size_t first, std::size_t count, const BlockSpectra& r) {
    const auto bytes = to_srgb_bytes(r, view_context.lamp, view_context.observer);
    std::copy_n(bytes.begin(), count, colours.begin() + static_cast<std::ptrdiff_t>(first));
  });
  return colours;
}

}  // namespace witnessline::view

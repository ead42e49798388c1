#include "view/swatch.h"

namespace witnessline::view {
namespace {

constexpr float swatch_m = 60e-6f;  // ESTIMATE: about a whole finish; a clear shows its amber, a colour hides the card
constexpr double card = 0.9;        // ESTIMATE: reflectance of a white card

}  // namespace

Rgb screen_colour(const Reflectance& r, const ViewContext& view_context) {
  return to_srgb(to_xyz(r, view_context.lamp, view_context.observer),
                 white_point(view_context.lamp, view_context.observer));
}

Rgb own_colour(const Mixture& mixture, double light_lx_s, const ViewContext& view_context) {
  ColumnBlock columns(1);
  columns.thickness_m[0].fill(swatch_m);
  columns.yellowing[0].fill(static_cast<float>(yellowing(light_lx_s)));
  columns.melted[0].fill(0);
  BlockSpectra out;
  reflectance(CoatSequence({view_context.palette.of(mixture)}, {flat_reflectance(card)}), columns, out);
  Reflectance seen;
  for (std::size_t b = 0; b < bands; ++b) seen.at[b] = out[b][0];
  return screen_colour(seen, view_context);
}

}  // namespace witnessline::view

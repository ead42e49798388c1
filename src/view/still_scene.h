// What a still is made from, worked out once; and what its places look like.
#pragma once

#include <span>

#include "body/ray_scene.h"
#include "view/camera.h"
#include "view/columns.h"
#include "view/relief.h"
#include "view/still.h"
#include "view/wood_figure.h"

namespace witnessline::view {

inline constexpr std::size_t most_lamps = 4;  // lights and air of a room

/// Fresnel by the cosine from air.
class FaceTable {
 public:
  explicit FaceTable(double index);
  double operator()(double cosine) const {
    const double x = std::clamp(cosine, 0.0, 1.0) * last;
    const auto i = std::min(static_cast<std::size_t>(x), table_.size() - 2);
    return table_[i] + (x - static_cast<double>(i)) * (table_[i + 1] - table_[i]);
  }

 private:
  static constexpr double last = 256;
  std::array<double, 257> table_{};
};

/// A small place of one pixel, seen through some of its samples: rays go out for every sample, colours and light
/// are worked out once.
struct Spot {
  std::uint32_t pixel = 0;
  std::uint32_t first = 0;  ///< of its samples
  int count = 1;
  SurfacePoint at;
  int stuff = -1;                              ///< of a fitting; -1: the body
  Vec3d place, flat, normal, to_camera;        ///< body's frame; `flat` without film and marks
  std::array<LinearRgb, most_lamps> colour{};  ///< what it scatters of each light, of the air last
  LinearRgb light{};
  double roughness_m = 0, open = 1;
  double face = 0;       ///< what the air face reflects
  bool is_fine = false;  ///< a ring or a mark runs through: every sample for itself
};

/// Where one sample met the surface.
struct Sample {
  Vec3d place;
  SurfacePoint at;
  std::uint8_t index;  ///< in its pixel
  Vec3 start{};        ///< of rays from here: a little off the face
};

/// Points evenly over one light, in the body's frame [m]: `light_shifts` sets of one for each sample of a pixel.
using LightPoints = std::vector<Vec3>;
inline constexpr std::uint32_t light_shifts = 64;

using ToScreen = std::array<std::array<double, 3>, 3>;

/// Everything one still is made from.
struct StillScene {
  const Film& film;
  const ViewContext& view_context;
  const Body& body;
  const Studio& room;
  const FittingMesh* fittings;
  const RaysSeen& rays_seen;
  Camera camera;
  RayScene rays;
  Relief relief;
  ColumnTable table;
  std::vector<WoodFigure> figures;
  CoatSequence sequence;
  std::vector<FaceTable> faces;                            ///< of the table's layers
  std::vector<ToScreen> to_screen;                         ///< of each light, of the air last
  std::vector<LinearRgb> white;                            ///< a white card under each
  std::vector<LinearRgb> dirt;                             ///< dirt packed into marks, under each
  std::vector<LinearRgb> body_again, fittings_again = {};  ///< vertices, as other places see them
  std::vector<LightPoints> light_points = {};              ///< of the room's lights
  LinearRgb card{};                                        ///< the card behind, seen by reflection

  std::size_t lights() const { return room.lights.size(); }
  Lamp lamp(std::size_t source) const { return source < lights() ? room.lights[source].lamp : room.air; }
  Vec3d into_room(Vec3d place) const { return (1 / camera.size_m()) * camera.into_frame(place - camera.middle()); }
};

/// Errors are broken promises: a still has a size, a film lies on its own body, a room has at most three lights.
StillScene still_scene(const Film&, const ViewContext&, Face, const Studio&, StillSize, const FittingMesh*,
                       const RaysSeen&);

/// What up to 64 places of the body scatter under every light, from their coats; and the face that the film has there.
void colour_block(const StillScene&, std::span<Spot* const>, const std::vector<Sample>&);

/// Unit normal of a fitting or of the body inside a triangle.
Vec3d normal_at(const StillScene&, SurfacePoint);

/// What is seen where a second ray ends.
LinearRgb second_sight(const StillScene&, const Hit&);

/// The room in a direction, lights and card included, blurred [rad].
LinearRgb room_seen(const StillScene&, Vec3d from, Vec3d direction, double blur);

inline void add_scaled(LinearRgb& sum, const LinearRgb& colour, const LinearRgb& times, double share) {
  for (std::size_t c = 0; c < 3; ++c) sum[c] += static_cast<float>(share) * colour[c] * times[c];
}
inline void add_scaled(LinearRgb& sum, const LinearRgb& colour, double share) {
  for (std::size_t c = 0; c < 3; ++c) sum[c] += static_cast<float>(share) * colour[c];
}

}  // namespace witnessline::view

// Film: the stack at every vertex, layer by layer. The whole state; a value.
#pragma once

#include <cstdint>
#include <limits>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "body/body.h"
#include "film/field.h"
#include "stack/stack.h"

namespace witnessline::film {

/// One coat over the whole body.
struct FilmLayer {
  std::shared_ptr<const Mixture> mixture;
  Provenance provenance;
  Field<float> dry_m;          ///< signed remaining dry solids [m]
  Field<float> solvent_m;      ///< [m]
  Field<std::uint8_t> melted;  ///< dissolved into the layer above, in 255ths
  Field<float> light_at_lay;   ///< the film's light dose when it was laid [lx s]; shares the light field's buffers
  /// How long it has had to cure since its last coat, as seconds at 25 degC; infinity: a coat found on the instrument.
  double cured_s = std::numeric_limits<double>::infinity();
};

/// A check, ding, scratch, chip or tape ridge: geometry on the surface, never a vertex value.
enum class MarkKind : std::uint8_t { check, ding, scratch, chip, tape_ridge };
constexpr auto words(const MarkKind*) { return std::array{"check", "ding", "scratch", "chip", "tape_ridge"}; }
struct Mark {
  MarkKind kind{};
  std::vector<SurfacePoint> path;  ///< polyline; one point: a round mark
  float width_m = 0;
  float depth_m = 0;
  std::string made_by;    ///< coat name or step id
  float grime_kg_m2 = 0;  ///< dirt lodged in it
};

enum class Masking : std::uint8_t { bare = 0, masked = 1, plugged = 2 };
constexpr auto words(const Masking*) { return std::array{"bare", "masked", "plugged"}; }

struct Film {
  std::vector<FilmLayer> layers;  ///< wood side first
  Field<float> wood_cut_m;
  Field<float> light_lx_s;  ///< cumulative light dose of the surface
  Field<float> roughness_m, scratch_m, grime_kg_m2;
  Field<float> open_pore;
  Field<std::uint8_t> masking;  ///< Masking
  std::shared_ptr<const std::vector<Mark>> marks = std::make_shared<std::vector<Mark>>();

  std::size_t size() const { return wood_cut_m.size(); }
  std::size_t bytes() const;  ///< buffers shared inside this film are counted once
  /// Bytes of the buffers that none of `others` holds already.
  std::size_t bytes_beyond(std::span<const Film* const> others) const;

  template <class Visit>
  void each_field(const Visit& visit) const {
    for (const FilmLayer& layer : layers) {
      visit(layer.dry_m);
      visit(layer.solvent_m);
      visit(layer.melted);
      visit(layer.light_at_lay);
    }
    visit(wood_cut_m);
    visit(light_lx_s);
    visit(roughness_m);
    visit(scratch_m);
    visit(grime_kg_m2);
    visit(open_pore);
    visit(masking);
  }
};

/// The layer a coat goes into: the outermost one when material and provenance are the same (a melted-in coat of one
/// step is one layer), else a new one, empty everywhere.
std::size_t layer_for(Film&, const std::shared_ptr<const Mixture>&, const Provenance&);

/// Bare wood at every vertex of `body`.
Film bare_film(const Body& body);

/// The column at a vertex.
Stack stack_at(const Film&, const Body&, const std::vector<std::shared_ptr<const Material>>& woods, std::size_t vertex);

/// The column inside a triangle: signed thicknesses are interpolated first and clamped after.
Stack stack_at(const Film&, const Body&, const std::vector<std::shared_ptr<const Material>>& woods, SurfacePoint);

}  // namespace witnessline::film

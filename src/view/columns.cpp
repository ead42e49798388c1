#include "view/columns.h"

#include <algorithm>

#include "base/parallel.h"
#include "optics/yellowing.h"

namespace witnessline {
namespace {

bool is_there(const FilmLayer& layer, std::size_t chunk, std::vector<float>& dry) {
  if (layer.dry_m.is_uniform(chunk)) return layer.dry_m.uniform_value(chunk) > 0;
  dry.resize(field_chunk);
  layer.dry_m.read(chunk, dry.data());
  return std::any_of(dry.begin(), dry.begin() + static_cast<std::ptrdiff_t>(layer.dry_m.chunk_size(chunk)),
                     [](float t) { return t > 0; });
}

/// Chunk c of a layer as signed thickness and yellowing.
struct LayerChunk {
  std::vector<float> signed_m = std::vector<float>(field_chunk), yellow = std::vector<float>(field_chunk);

  void read(const Film& film, const FilmLayer& layer, std::size_t c) {
    const std::size_t n = layer.dry_m.chunk_size(c);
    layer.dry_m.read(c, signed_m.data());
    layer.solvent_m.read(c, yellow.data());
    for (std::size_t i = 0; i < n; ++i)
      if (signed_m[i] > 0) signed_m[i] += yellow[i];
    if (film.light_lx_s.is_uniform(c) && layer.light_at_lay.is_uniform(c)) {
      const double dose = double{film.light_lx_s.uniform_value(c)} - double{layer.light_at_lay.uniform_value(c)};
      std::fill_n(yellow.begin(), n, static_cast<float>(yellowing(std::max(0.0, dose))));
      return;
    }
    std::vector<float> light(field_chunk);
    film.light_lx_s.read(c, light.data());
    layer.light_at_lay.read(c, yellow.data());
    for (std::size_t i = 0; i < n; ++i)
      yellow[i] = static_cast<float>(yellowing(std::max(0.0, double{light[i]} - double{yellow[i]})));
  }
};

}  // namespace

ColumnBlock empty_block(const Film& film, const Looking& looking, const std::vector<std::size_t>& layers) {
  ColumnBlock columns;
  for (const std::size_t l : layers) columns.coats.push_back(looking.palette.of(*film.layers[l].mixture));
  columns.thickness_m.resize(layers.size());
  columns.yellowing.resize(layers.size());
  for (auto& t : columns.thickness_m) t.fill(0);
  for (auto& y : columns.yellowing) y.fill(0);
  for (const auto& wood : looking.woods) {
    expects(wood && wood->reflectance, "a wood of the library has a reflectance");
    columns.grounds.push_back(*wood->reflectance);
  }
  return columns;
}

void for_blocks(const Film& film, const Looking& looking,
                const std::function<void(std::size_t, std::size_t, const BlockReflectance&)>& seen) {
  const auto wood_of = looking.body.wood_of();
  std::vector<CoatOptics> optics;
  for (const FilmLayer& layer : film.layers) optics.push_back(looking.palette.of(*layer.mixture));
  const ColumnBlock bare = empty_block(film, looking, {});
  for_chunks(film.size(), field_chunk, [&](std::size_t begin, std::size_t end) {
    const std::size_t chunk = begin / field_chunk;
    ColumnBlock columns = bare;
    std::vector<LayerChunk> values;
    std::vector<float> scratch;
    for (std::size_t l = 0; l < film.layers.size(); ++l) {
      if (!is_there(film.layers[l], chunk, scratch)) continue;
      columns.coats.push_back(optics[l]);
      values.emplace_back().read(film, film.layers[l], chunk);
    }
    columns.thickness_m.resize(values.size());
    columns.yellowing.resize(values.size());
    BlockReflectance out;
    for (std::size_t first = begin; first < end; first += block) {
      const std::size_t count = std::min<std::size_t>(block, end - first), at = first - begin;
      for (std::size_t l = 0; l < values.size(); ++l)
        for (std::size_t i = 0; i < block; ++i) {
          const std::size_t from = at + std::min(i, count - 1);
          columns.thickness_m[l][i] = values[l].signed_m[from];
          columns.yellowing[l][i] = values[l].yellow[from];
        }
      for (std::size_t i = 0; i < block; ++i) columns.ground_of[i] = wood_of[first + std::min(i, count - 1)];
      reflectance(columns, Geometry{}, out);
      seen(first, count, out);
    }
  });
}

ColumnTable::ColumnTable(const Film& film, const Looking&) {
  std::vector<float> scratch;
  for (std::size_t l = 0; l < film.layers.size(); ++l)
    for (std::size_t c = 0; c < film.wood_cut_m.chunk_count(); ++c)
      if (is_there(film.layers[l], c, scratch)) {
        layers_.push_back(l);
        break;
      }
  coats_.resize(film.size() * layers_.size());
  for_chunks(film.size(), field_chunk, [&](std::size_t begin, std::size_t end) {
    LayerChunk values;
    for (std::size_t k = 0; k < layers_.size(); ++k) {
      values.read(film, film.layers[layers_[k]], begin / field_chunk);
      for (std::size_t v = begin; v < end; ++v)
        coats_[v * layers_.size() + k] = {values.signed_m[v - begin], values.yellow[v - begin]};
    }
  });
}

int ColumnTable::load(ColumnBlock& columns, int c, const Triangle& triangle, float u, float v) const {
  const std::size_t n = layers_.size(), at = static_cast<std::size_t>(c);
  const Coat* first = coats_.data() + triangle[0] * n;
  const Coat* second = coats_.data() + triangle[1] * n;
  const Coat* third = coats_.data() + triangle[2] * n;
  const float w = 1 - u - v;
  int outermost = -1;
  for (std::size_t k = 0; k < n; ++k) {
    const float t = w * first[k].signed_m + u * second[k].signed_m + v * third[k].signed_m;
    columns.thickness_m[k][at] = t;
    columns.yellowing[k][at] = w * first[k].yellowing + u * second[k].yellowing + v * third[k].yellowing;
    if (t > 0) outermost = static_cast<int>(k);
  }
  return outermost;
}

}  // namespace witnessline

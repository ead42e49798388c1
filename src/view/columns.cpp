#include "view/columns.h"

#include <algorithm>

#include "base/parallel.h"

namespace witnessline::view {
namespace {

/// Chunk c of a layer.
struct LayerChunk {
  std::vector<float> dry_m = std::vector<float>(field_chunk), yellow = dry_m, melted = dry_m;
  bool is_there = false;  ///< some of it is left somewhere in the chunk

  LayerChunk(const Film& film, const FilmLayer& layer, std::size_t c) {
    const std::size_t n = layer.dry_m.chunk_size(c);
    layer.dry_m.read(c, dry_m.data());
    is_there =
        std::any_of(dry_m.begin(), dry_m.begin() + static_cast<std::ptrdiff_t>(n), [](float t) { return t > 0; });
    if (!is_there) return;
    if (!layer.melted.is_uniform(c) || layer.melted.uniform_value(c) != 0)
      for (std::size_t i = 0; i < n; ++i) melted[i] = layer.melted[c * field_chunk + i] / 255.0f;
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

void for_blocks(const Film& film, const ViewContext& view_context,
                const std::function<void(std::size_t, std::size_t, const BlockSpectra&)>& seen,
                std::span<const float> asked) {
  const auto is_asked = [&](std::size_t begin, std::size_t end) {
    return asked.empty() ||
           std::any_of(asked.begin() + static_cast<std::ptrdiff_t>(begin),
                       asked.begin() + static_cast<std::ptrdiff_t>(end), [](float w) { return w > 0; });
  };
  const auto wood_of = view_context.body.wood_of();
  std::vector<CoatOptics> optics;
  for (const FilmLayer& layer : film.layers) optics.push_back(view_context.palette.of(*layer.mixture));
  std::vector<Reflectance> grounds;
  for (const auto& wood : view_context.woods) grounds.push_back(view_context.palette.bare(wood->id));
  for_chunks(film.size(), field_chunk, [&](std::size_t begin, std::size_t end) {
    if (!is_asked(begin, end)) return;
    const std::size_t chunk = begin / field_chunk;
    std::vector<CoatOptics> present;
    std::vector<LayerChunk> values;
    for (std::size_t l = 0; l < film.layers.size(); ++l) {
      LayerChunk value(film, film.layers[l], chunk);
      if (!value.is_there) continue;
      present.push_back(optics[l]);
      values.push_back(std::move(value));
    }
    const CoatSequence sequence(present, grounds);
    ColumnBlock columns(values.size());
    std::vector<float> roughness(field_chunk), grime(field_chunk);
    film.roughness_m.read(chunk, roughness.data());
    film.grime_kg_m2.read(chunk, grime.data());
    BlockSpectra out;
    for (std::size_t first = begin; first < end; first += block) {
      const std::size_t count = std::min<std::size_t>(block, end - first);
      if (!is_asked(first, first + count)) continue;
      for (std::size_t i = 0; i < block; ++i) {
        const std::size_t from = first - begin + std::min(i, count - 1);
        for (std::size_t l = 0; l < values.size(); ++l) {
          columns.thickness_m[l][i] = values[l].dry_m[from];
          columns.yellowing[l][i] = values[l].yellow[from];
          columns.melted[l][i] = values[l].melted[from];
        }
        columns.roughness_m[i] = roughness[from];
        columns.grime_kg_m2[i] = grime[from];
        columns.ground_of[i] = wood_of[begin + from];
      }
      reflectance(sequence, columns, out);
      seen(first, count, out);
    }
  });
}

ColumnTable::ColumnTable(const Film& film) {
  for (std::size_t l = 0; l < film.layers.size(); ++l)
    for (std::size_t c = 0; c < film.wood_cut_m.chunk_count(); ++c)
      if (LayerChunk(film, film.layers[l], c).is_there) {
        layers_.push_back(l);
        break;
      }
  coats_.resize(film.size() * layers_.size());
  faces_.resize(film.size());
  for_chunks(film.size(), field_chunk, [&](std::size_t begin, std::size_t end) {
    for (std::size_t k = 0; k < layers_.size(); ++k) {
      const LayerChunk values(film, film.layers[layers_[k]], begin / field_chunk);
      for (std::size_t v = begin; v < end; ++v)
        coats_[v * layers_.size() + k] = {values.dry_m[v - begin], values.yellow[v - begin], values.melted[v - begin]};
    }
    for (std::size_t v = begin; v < end; ++v) faces_[v] = {film.roughness_m[v], film.grime_kg_m2[v]};
  });
}

std::vector<CoatOptics> ColumnTable::optics(const Film& film, const Palette& palette) const {
  std::vector<CoatOptics> optics;
  for (const std::size_t l : layers_) optics.push_back(palette.of(*film.layers[l].mixture));
  return optics;
}

ColumnTable::Here ColumnTable::load(ColumnBlock& columns, std::size_t c, const Triangle& triangle, float u, float v,
                                    float cut_m) const {
  const std::size_t n = layers_.size();
  const Coat *a = coats_.data() + triangle[0] * n, *b = coats_.data() + triangle[1] * n,
             *d = coats_.data() + triangle[2] * n;
  const float w = 1 - u - v;
  Here here{};
  for (std::size_t k = n; k-- > 0;) {
    const float dry_m = w * a[k].dry_m + u * b[k].dry_m + v * d[k].dry_m;
    const float cut_here_m = std::clamp(dry_m, 0.0f, cut_m);
    cut_m -= cut_here_m;
    columns.thickness_m[k][c] = dry_m - cut_here_m;
    columns.yellowing[k][c] = w * a[k].yellowing + u * b[k].yellowing + v * d[k].yellowing;
    columns.melted[k][c] = w * a[k].melted + u * b[k].melted + v * d[k].melted;
    const bool first_there = a[k].dry_m > 0, second_there = b[k].dry_m > 0, third_there = d[k].dry_m > 0;
    here.at_ring |= first_there != second_there || second_there != third_there;
    if (dry_m <= 0) continue;
    if (dry_m > cut_here_m && here.outermost < 0) here.outermost = static_cast<int>(k);
    here.film_m += dry_m - cut_here_m;
    here.corner_m[0] += a[k].dry_m, here.corner_m[1] += b[k].dry_m, here.corner_m[2] += d[k].dry_m;
  }
  const Face &p = faces_[triangle[0]], &q = faces_[triangle[1]], &r = faces_[triangle[2]];
  columns.roughness_m[c] = w * p.roughness_m + u * q.roughness_m + v * r.roughness_m;
  columns.grime_kg_m2[c] = w * p.grime_kg_m2 + u * q.grime_kg_m2 + v * r.grime_kg_m2;
  return here;
}

}  // namespace witnessline::view

#include "bench/fingerprint.h"

#include <bit>
#include <cstring>

#include "base/parallel.h"
#include "base/random.h"

namespace witnessline::bench {

namespace {

/// Takes in every member a describe() names.
struct Taking {
  Key key;
  void take(double v) { key = key.with(std::bit_cast<std::uint64_t>(v)); }
  void take(int v) { key = key.with(static_cast<std::uint64_t>(v)); }
  void take(bool v) { key = key.with(v ? 1 : 0); }
  void take(std::string& v) { key = key.with(v); }
  template <class E>
  requires std::is_enum_v<E>
  void take(E v) { key = key.with(static_cast<std::uint64_t>(v)); }
  template <class T>
  void take(std::optional<T>& v) {
    take(v.has_value());
    if (v) take(*v);
  }
  template <class T>
  void take(std::vector<T>& v) {
    key = key.with(v.size());
    for (T& each : v) take(each);
  }
  template <class T>
  requires std::is_class_v<T>
  void take(T& v) { describe(*this, v); }
  template <class T>
  void operator()(const Member& m, T& v) {
    key = key.with(m.key);
    take(v);
  }
};

template <class T>
Key of_field(Key key, const Field<T>& field) {
  std::vector<std::uint64_t> parts(field.chunk_count());
  for_chunks(field.size(), field_chunk, [&](std::size_t begin, std::size_t end) {
    const std::size_t c = begin / field_chunk;
    std::uint64_t h = 0x243f6a8885a308d3ull;
    const auto add = [&](std::uint64_t word) { h = (std::rotl(h, 5) ^ word) * 0x9e3779b97f4a7c15ull; };
    const std::size_t count = field.is_uniform(c) ? 1 : end - begin;
    for (std::size_t i = 0; i < count; ++i) {
      const T value = field[begin + i];
      if constexpr (sizeof(T) == 4)
        add(std::bit_cast<std::uint32_t>(value));
      else
        add(static_cast<std::uint64_t>(value));
    }
    add(count);
    parts[c] = h;
  });
  for (const std::uint64_t part : parts) key = key.with(part);
  return key;
}

Key of_mixture(Key key, const Mixture* mixture) {
  if (!mixture) return key.with(0);
  key = key.with(mixture->id);
  for (const Part& part : mixture->parts)
    key = key.with(part.material).with(std::bit_cast<std::uint64_t>(part.mass_fraction));
  return key;
}

}  // namespace

std::uint64_t fingerprint(const PlannedStep& step) {
  Taking taking{Key{}.with(step.id).with(word_of(step.step))};
  std::visit([&](auto s) { describe(taking, s); }, step.step);
  return taking.key.bits;
}

std::uint64_t fingerprint(const Film& film) {
  Key key = Key{}.with(film.size());
  for (const FilmLayer& layer : film.layers)
    key = of_mixture(key, layer.mixture.get())
              .with(layer.provenance.laid_by)
              .with(static_cast<std::uint64_t>(layer.provenance.origin));
  film.each_field([&](const auto& field) { key = of_field(key, field); });
  for (const Mark& mark : *film.marks) {
    key = key.with(static_cast<std::uint64_t>(mark.kind)).with(mark.made_by);
    key = key.with(std::bit_cast<std::uint32_t>(mark.width_m)).with(std::bit_cast<std::uint32_t>(mark.depth_m));
    key = key.with(std::bit_cast<std::uint32_t>(mark.grime_kg_m2));
    for (const SurfacePoint& p : mark.path)
      key = key.with(p.triangle).with(std::bit_cast<std::uint32_t>(p.u)).with(std::bit_cast<std::uint32_t>(p.v));
  }
  return key.bits;
}

std::uint64_t fingerprint(const Bench& bench) {
  Key key = Key{}.with(bench.body.hash()).with(bench.library.hash()).with(bench.seed);
  for (const auto& wood : bench.woods) key = key.with(wood ? wood->id : "");
  for (const auto& [id, mixture] : bench.mixtures) key = of_mixture(key.with(id), mixture.get());
  for (const double v :
       {bench.shop.temperature_K, bench.shop.relative_humidity, bench.shop.air_speed_m_s, bench.shop.pace})
    key = key.with(std::bit_cast<std::uint64_t>(v));
  for (const Shelter s : bench.shelter) key.bits = (key.bits ^ static_cast<std::uint64_t>(s)) * 0x100000001b3;
  Taking lives{key.with(bench.shelter.size())};
  for (PaintTin tin : bench.tins) {  // what a step reads of it
    lives.take(tin.material), lives.take(tin.solids_frac);
    lives.take(tin.readings), lives.take(tin.solvents);
  }
  for (const auto& [id, life] : bench.lives) {
    Life copy = life;
    lives.take(copy);
  }
  return lives.key.bits;
}

}  // namespace witnessline::bench

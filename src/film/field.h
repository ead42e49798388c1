// Field<T>: one T a vertex in shared chunks that are copied when written; a chunk that is one value stores one value.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <memory>
#include <span>
#include <vector>

#include "base/modules.h"

namespace witnessline::film {

inline constexpr std::size_t field_chunk = 4096;  ///< 64 blocks of 64 columns

template <class T>
class Field {
 public:
  Field() = default;
  explicit Field(std::size_t size, T value = T{})
      : size_(size), chunks_((size + field_chunk - 1) / field_chunk, Chunk{value, nullptr}) {}

  std::size_t size() const { return size_; }
  std::size_t chunk_count() const { return chunks_.size(); }
  std::size_t chunk_size(std::size_t c) const { return std::min(field_chunk, size_ - c * field_chunk); }

  T operator[](std::size_t vertex) const {
    const Chunk& chunk = chunks_[vertex / field_chunk];
    return chunk.values ? (*chunk.values)[vertex % field_chunk] : chunk.uniform;
  }
  bool is_uniform(std::size_t c) const { return !chunks_[c].values; }
  T uniform_value(std::size_t c) const { return chunks_[c].uniform; }

  /// Copies the values of chunk c to `out` (chunk_size(c) of them).
  void read(std::size_t c, T* out) const {
    const Chunk& chunk = chunks_[c];
    if (chunk.values)
      std::copy_n(chunk.values->data(), chunk_size(c), out);
    else
      std::fill_n(out, chunk_size(c), chunk.uniform);
  }
  /// Replaces the values of chunk c; equal values collapse to one. Different chunks may be written by different
  /// threads.
  void write(std::size_t c, const T* in) {
    const std::size_t n = chunk_size(c);
    if (std::all_of(in, in + n, [&](const T& v) { return v == in[0]; })) {
      chunks_[c] = {in[0], nullptr};
      return;
    }
    auto values = std::make_shared<std::array<T, field_chunk>>();
    std::copy_n(in, n, values->data());
    chunks_[c] = {T{}, std::move(values)};
  }
  void set_uniform(std::size_t c, T value) { chunks_[c] = {value, nullptr}; }

  /// Bytes held here; a buffer shared with other fields is counted in each.
  std::size_t bytes() const {
    std::size_t total = chunks_.size() * sizeof(Chunk);
    for (const Chunk& chunk : chunks_)
      if (chunk.values) total += sizeof(*chunk.values);
    return total;
  }
  /// Address of chunk c's shared buffer, nullptr when uniform: equal addresses mean shared memory.
  const void* buffer(std::size_t c) const { return chunks_[c].values.get(); }

 private:
  struct Chunk {
    T uniform{};
    std::shared_ptr<const std::array<T, field_chunk>> values;
  };
  std::size_t size_ = 0;
  std::vector<Chunk> chunks_;
};

}  // namespace witnessline::film

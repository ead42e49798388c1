// What a request asks in its query string, and the answers that every address gives alike.
#pragma once

#include <charconv>
#include <optional>
#include <string>

#include "base/units.h"
#include "server/answers.h"

namespace witnessline::server {

inline Answer json(std::string body, int status = 200) { return {status, "application/json", std::move(body)}; }
inline Answer not_found(const std::string& what, const std::string& fix) { return refusal(404, {{what, {}, "", fix}}); }
inline Answer bad_query(const std::string& key, const std::string& expected) {
  return refusal(400, {{"the request cannot be understood", {"", 0, 0, key}, expected, "Load the page again."}});
}

/// Nothing where it is absent, no number or outside [low, high].
template <class T>
std::optional<T> number(const Query& query, const std::string& key, T low, T high) {
  const auto text = query(key);
  if (!text) return std::nullopt;
  T value{};
  const auto [end, fault] = std::from_chars(text->data(), text->data() + text->size(), value);
  if (fault != std::errc{} || end != text->data() + text->size()) return std::nullopt;
  if (!(value >= low && value <= high)) return std::nullopt;  // refuses NaN too
  return value;
}

template <class Word>
std::optional<Word> word(const std::string& text) {
  const auto known = words(static_cast<const Word*>(nullptr));
  for (std::size_t i = 0; i < known.size(); ++i)
    if (text == known[i]) return static_cast<Word>(i);
  return std::nullopt;
}

inline std::optional<BenchUnits> units(const Query& query) {
  return word<BenchUnits>(query("units").value_or("metric"));
}

}  // namespace witnessline::server

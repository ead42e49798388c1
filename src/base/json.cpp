// JSON through nlohmann-json; nothing of it leaves this file.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <nlohmann/json.hpp>
#include <optional>

#include "base/tree.h"

namespace witnessline::base {
namespace {

Tree tree_from(const nlohmann::ordered_json& json) {
  using Type = nlohmann::ordered_json::value_t;
  switch (json.type()) {
    case Type::boolean:
      return Tree::of(json.get<bool>());
    case Type::number_integer:
      return Tree::of(json.get<std::int64_t>());
    case Type::number_unsigned:  // past the largest signed number only as a double
      return json.get<std::uint64_t>() >> 63 ? Tree::of(json.get<double>()) : Tree::of(json.get<std::int64_t>());
    case Type::number_float:
      return Tree::of(json.get<double>());
    case Type::string:
      return Tree::of(json.get<std::string>());
    case Type::array: {
      Tree list = Tree::empty_list();
      for (const auto& item : json) list.list.push_back(tree_from(item));
      return list;
    }
    case Type::object: {
      Tree table = Tree::empty_table();
      for (const auto& [key, value] : json.items()) table.put(key, tree_from(value));
      return table;
    }
    default:
      return Tree{};
  }
}

/// Place of a byte of a text.
Place place_of(std::string_view text, std::size_t byte, const std::string& file) {
  Place where{file, 1, 1, ""};
  for (std::size_t i = 0; i < byte && i < text.size(); ++i) {
    ++where.column;
    if (text[i] == '\n') ++where.line, where.column = 1;
  }
  return where;
}

constexpr int most_keys = 1000;  // in one table; the time to read one grows with their square

struct TooMuch {
  std::size_t byte;
  std::string what;
};
/// Where tables and lists lie deeper in each other, or a table holds more keys, than any request does.
std::optional<TooMuch> too_much(std::string_view text) {
  int depth = 0;
  bool quoted = false;
  std::array<int, deepest_tree + 1> keys{};
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (quoted && c == '\\') {
      ++i;
    } else if (c == '"') {
      quoted = !quoted;
    } else if (quoted) {
      continue;
    } else if (c == '{' || c == '[') {
      if (++depth > deepest_tree) return TooMuch{i, fmt::format("lies more than {} tables deep", deepest_tree)};
      keys[static_cast<std::size_t>(depth)] = 0;
    } else if (c == '}' || c == ']') {
      depth = std::max(0, depth - 1);
    } else if (c == ':' && ++keys[static_cast<std::size_t>(depth)] > most_keys) {
      return TooMuch{i, fmt::format("a table has more than {} keys", most_keys)};
    }
  }
  return std::nullopt;
}

}  // namespace

Tree read_json(std::string_view text, const std::string& file, std::vector<Error>& faults) {
  if (const auto much = too_much(text)) {
    faults.push_back({much->what, place_of(text, much->byte, file), "", "no request and no job goes that far"});
    return Tree{};
  }
  try {
    return tree_from(nlohmann::ordered_json::parse(text));
  } catch (const nlohmann::json::parse_error& fault) {
    faults.push_back({"not readable as JSON", place_of(text, fault.byte > 0 ? fault.byte - 1 : 0, file), "",
                      "fix the text at this place"});
  } catch (const nlohmann::json::exception&) {  // a number past the largest double
    faults.push_back(
        {"a number is too large to be held", {file, 1, 1, ""}, "numbers below 1e308", "write a smaller number"});
  }
  return Tree{};
}

}  // namespace witnessline::base

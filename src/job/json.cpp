// JSON through nlohmann-json; nothing of it leaves this file.
#include <nlohmann/json.hpp>

#include "job/tree.h"

namespace witnessline {
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

}  // namespace

Tree read_json(std::string_view text, const std::string& file, std::vector<Error>& faults) {
  try {
    return tree_from(nlohmann::ordered_json::parse(text));
  } catch (const nlohmann::json::parse_error& fault) {
    Place where{file, 1, 1, ""};
    for (std::size_t i = 0; i + 1 < fault.byte && i < text.size(); ++i) {
      ++where.column;
      if (text[i] == '\n') ++where.line, where.column = 1;
    }
    faults.push_back({"not readable as JSON", where, "", "mend the text at this place"});
  }
  return Tree{};
}

}  // namespace witnessline

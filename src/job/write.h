// to_json and tree_of: any described struct as a Tree or JSON, numbers in the bench unit of their key.
#pragma once

#include <cstdio>
#include <cstdlib>
#include <string>
#include <type_traits>
#include <variant>

#include "base/describe.h"
#include "base/tree.h"

namespace witnessline::job {

template <class T>
concept Worded = std::is_enum_v<T> && requires(const T* t) {
  words(t);
};

template <class T>
concept Optional = requires(const T& t) {
  t.has_value();
};
template <class T>
concept Text = std::is_convertible_v<T, std::string>;
template <class T>
concept List = !Text<T> && requires(const T& t) {
  t.begin();
};

template <class T>
std::string word_for(T value) {
  return words(&value)[static_cast<std::size_t>(value)];
}

/// The bench value with the fewest digits that reads back to `si`.
template <class T>
double bench_value(T si, const Unit& unit) {
  const double exact = unit.from_si(static_cast<double>(si));
  if (!(exact - exact == 0)) return exact;
  char text[40];
  for (int digits = 1; digits <= 17; ++digits) {
    std::snprintf(text, sizeof text, "%.*g", digits, exact);
    const double candidate = std::strtod(text, nullptr);
    if (static_cast<T>(unit.to_si(candidate)) == si) return candidate;
  }
  return exact;
}

template <class T>
Tree tree_of(const T&, const Unit& = unit::none);

/// Visitor of describe(): one entry a member.
class TableWriter {
 public:
  template <class T>
  void operator()(const Member& m, T& value) {
    tree.put(m.key, tree_of(value, m.unit));
  }
  /// A choice writes its word; the keys of what was chosen stand beside it.
  template <class... Choices>
  void operator()(const Member& m, std::variant<Choices...>& value) {
    std::visit(
        [&](auto& chosen) {
          tree.put(m.key, Tree::of(std::string(chosen.word)));
          describe(*this, chosen);
        },
        value);
  }
  Tree tree = Tree::empty_table();
};

template <class T>
Tree tree_of(const T& value, const Unit& unit) {
  if constexpr (std::is_same_v<T, bool>) {
    return Tree::of(value);
  } else if constexpr (Worded<T>) {
    return Tree::of(word_for(value));
  } else if constexpr (std::is_integral_v<T>) {
    return Tree::of(static_cast<std::int64_t>(value));
  } else if constexpr (std::is_floating_point_v<T>) {
    return Tree::of(bench_value(value, unit));
  } else if constexpr (Text<T>) {
    return Tree::of(std::string(value));
  } else if constexpr (Optional<T>) {
    return value ? tree_of(*value, unit) : Tree{};
  } else if constexpr (List<T>) {
    Tree tree = Tree::empty_list();
    for (const auto& item : value) tree.list.push_back(tree_of(item, unit));
    return tree;
  } else {
    TableWriter writer;
    describe(writer, const_cast<T&>(value));  // describe() serves readers too; a writer changes nothing
    return std::move(writer.tree);
  }
}

/// Any described struct as JSON, as the server answers it.
template <class T>
std::string to_json(const T& value, int indent = 0) {
  return print_json(tree_of(value), indent);
}

}  // namespace witnessline::job

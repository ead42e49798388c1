// shape_of: what a described struct may hold, without a value; JSON Schema, TypeScript and the key tables come from it.
#pragma once

#include <cmath>
#include <memory>
#include <string>
#include <vector>

#include "job/write.h"

namespace witnessline::job {

struct Shape {
  enum class Is { boolean, integer, number, text, word, list, table, choice };
  struct Key;

  Is is = Is::table;
  std::string name;                ///< of a struct or an enum
  std::vector<std::string> words;  ///< of an enum
  bool may_be_null = false;        ///< optional, or a number not known
  std::size_t length = 0;          ///< of a list; 0: any
  std::vector<Shape> of;           ///< list: the one of its items; choice: one a variant
  std::vector<Key> keys;           ///< of a table
  Tree unset;                      ///< what stands when the key is absent
};
struct Shape::Key {
  std::string key, doc, unit;  ///< unit: bench unit's symbol
  Unit bench;
  double low = 0, high = 0;  ///< allowed, bench unit
  bool required = false;
  Shape shape;
};

/// "PlannedStep" for witnessline::bench::PlannedStep.
template <class T>
std::string type_name() {
  std::string_view all = __PRETTY_FUNCTION__;
  all = all.substr(all.find("T = ") + 4);
  all = all.substr(0, all.find_first_of(";]"));
  return std::string(all.substr(all.rfind(':') + 1));
}

/// What a person reads of a number that went through a unit: twelve digits.
double as_read(double);

template <class T>
Shape shape_of(const T& unset);

/// Visitor of describe(): one key a member.
class TableShaper {
 public:
  template <class T>
  void operator()(const Member& m, T& unset) {
    Tree& usual = add(m, shape_of(unset)).unset;
    usual = tree_of(unset, m.unit);
    if (usual.is == Tree::Is::number) usual = Tree::of(as_read(usual.number));
  }
  template <class... Choices>
  void operator()(const Member& m, std::variant<Choices...>&) {
    Shape choice;
    choice.is = Shape::Is::choice;
    (choice.of.push_back(one<Choices>(m)), ...);
    add(m, std::move(choice));
  }
  Shape shape;

 private:
  Shape& add(const Member& m, Shape s) {
    shape.keys.push_back({std::string(m.key), std::string(m.doc), std::string(m.unit.symbol), m.unit, m.low, m.high,
                          m.required, std::move(s)});
    return shape.keys.back().shape;
  }
  template <class Choice>
  static Shape one(const Member& m) {
    TableShaper shaper;
    Shape word;
    word.is = Shape::Is::word;
    word.words = {std::string(Choice::word)};
    shaper.add(m, std::move(word));
    Choice unset;
    describe(shaper, unset);
    shaper.shape.name = type_name<Choice>();
    return std::move(shaper.shape);
  }
};

template <class T>
Shape shape_of(const T& unset) {
  Shape shape;
  if constexpr (std::is_same_v<T, bool>) {
    shape.is = Shape::Is::boolean;
  } else if constexpr (Worded<T>) {
    shape.is = Shape::Is::word;
    shape.name = type_name<T>();
    for (const char* word : words(&unset)) shape.words.push_back(word);
  } else if constexpr (std::is_integral_v<T>) {
    shape.is = Shape::Is::integer;
  } else if constexpr (std::is_floating_point_v<T>) {
    shape.is = Shape::Is::number;
    shape.may_be_null = std::isnan(unset);
  } else if constexpr (Text<T>) {
    shape.is = Shape::Is::text;
  } else if constexpr (Optional<T>) {
    shape = shape_of(typename T::value_type{});
    shape.may_be_null = true;
  } else if constexpr (List<T>) {
    shape.is = Shape::Is::list;
    shape.length = T{}.size();
    shape.of.push_back(shape_of(typename T::value_type{}));
  } else {
    TableShaper shaper;
    describe(shaper, const_cast<T&>(unset));
    shape = std::move(shaper.shape);
    shape.name = type_name<T>();
  }
  return shape;
}

/// A shape as plain data, for the page's forms: {is, name, words, may_be_null, of, keys: [{key, doc, unit, low, high,
/// required, unset, shape}]}; what says nothing is left out.
Tree tree_of_shape(const Shape&);

}  // namespace witnessline::job

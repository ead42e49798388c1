#include "papers/templates.h"

#include <kainjow/mustache.hpp>

namespace witnessline::papers {
namespace {

using Value = kainjow::mustache::data;

Value value_of(const Tree& tree) {
  switch (tree.is) {
    case Tree::Is::boolean:
      return Value(tree.boolean);
    case Tree::Is::text:
      return tree.text.empty() ? Value(false) : Value(tree.text);  // an empty text hides its section
    case Tree::Is::integer:
      return Value(std::to_string(tree.integer));
    case Tree::Is::number:
      return Value(shortest(tree.number, false));
    case Tree::Is::list: {
      Value list(Value::type::list);
      for (const Tree& item : tree.list) list.push_back(value_of(item));
      return list;
    }
    case Tree::Is::table: {
      Value table(Value::type::object);
      for (const Tree::Entry& entry : tree.table) table.set(entry.key, value_of(entry.value));
      return table;
    }
    case Tree::Is::nothing:
      break;
  }
  return Value(false);
}

}  // namespace

Tree fields(std::initializer_list<std::pair<const char*, Tree>> members) {
  Tree table = Tree::empty_table();
  for (const auto& [key, value] : members) table.put(key, value);
  return table;
}
Tree text(std::string words) { return Tree::of(std::move(words)); }
Tree yes(bool is) { return Tree::of(is); }

std::string filled(const char* page, const Tree& values) {
  Value all = value_of(values);
  for (const auto& [name, part] : {std::pair{"head", head_html}, {"foot", foot_html}, {"style", style_css}})
    all.set(name, Value(kainjow::mustache::partial([part = std::string(part)] { return part; })));
  kainjow::mustache::mustache template_{std::string(page)};
  expects(template_.is_valid(), template_.error_message().c_str());
  return template_.render(all);
}

}  // namespace witnessline::papers

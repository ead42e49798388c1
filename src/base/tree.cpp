#include "base/tree.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace witnessline::base {

const Tree* Tree::find(std::string_view key) const {
  const auto it = std::find_if(table.begin(), table.end(), [&](const Entry& e) { return e.key == key; });
  return it == table.end() ? nullptr : &it->value;
}

void Tree::put(std::string_view key, Tree value) { table.push_back({std::string(key), std::move(value), 0, 0, false}); }

std::string Tree::in_words() const {
  switch (is) {
    case Is::nothing:
      return "nothing";
    case Is::boolean:
      return boolean ? "true" : "false";
    case Is::integer:
      return fmt::format("the number {}", integer);
    case Is::number:
      return fmt::format("the number {}", shortest(number, false));
    case Is::text:
      return "the text " + in_quotes(text.size() > 40 ? text.substr(0, 37) + "..." : text);
    case Is::list:
      return "a list";
    case Is::table:
      return "a table";
  }
  return "nothing";
}

bool operator==(const Tree& a, const Tree& b) {
  const auto same_entry = [](const Tree::Entry& x, const Tree::Entry& y) {
    return x.key == y.key && x.value == y.value;
  };
  const bool same_number = a.number == b.number || (std::isnan(a.number) && std::isnan(b.number));
  return a.is == b.is && a.boolean == b.boolean && a.integer == b.integer && same_number && a.text == b.text &&
         a.list == b.list && std::equal(a.table.begin(), a.table.end(), b.table.begin(), b.table.end(), same_entry);
}

namespace {
template <class T>
Tree holding(Tree::Is is, T Tree::*member, T value) {
  Tree t;
  t.is = is;
  t.*member = std::move(value);
  return t;
}
}  // namespace

Tree Tree::of(bool value) { return holding(Is::boolean, &Tree::boolean, value); }
Tree Tree::of(std::int64_t value) { return holding(Is::integer, &Tree::integer, value); }
Tree Tree::of(double value) { return holding(Is::number, &Tree::number, value); }
Tree Tree::of(std::string value) { return holding(Is::text, &Tree::text, std::move(value)); }
Tree Tree::empty_list() { return holding(Is::list, &Tree::list, {}); }
Tree Tree::empty_table() { return holding(Is::table, &Tree::table, {}); }

std::string shortest(double value, bool point) {
  std::string text = fmt::format("{}", value == 0 ? 0.0 : value);  // "-0" would read back as another number
  if (point && text.find_first_of(".en") == std::string::npos) text += ".0";
  return text;
}

namespace {

/// Bytes of the well-formed UTF-8 character that begins `text`; 0: none does (Unicode 15, table 3-7).
std::size_t character_at(std::string_view text) {
  const auto at = [&](std::size_t i) { return i < text.size() ? static_cast<unsigned char>(text[i]) : 0u; };
  const auto rest = [&](std::size_t n) {
    for (std::size_t i = 1; i <= n; ++i)
      if (at(i) < 0x80 || at(i) > 0xBF) return std::size_t{0};
    return n + 1;
  };
  const unsigned first = at(0), second = at(1);
  if (first < 0x80) return 1;
  if (first >= 0xC2 && first <= 0xDF) return rest(1);
  if (first >= 0xE0 && first <= 0xEF)
    return (first == 0xE0 && second < 0xA0) || (first == 0xED && second > 0x9F) ? 0 : rest(2);
  if (first >= 0xF0 && first <= 0xF4)
    return (first == 0xF0 && second < 0x90) || (first == 0xF4 && second > 0x8F) ? 0 : rest(3);
  return 0;
}

}  // namespace

std::string in_quotes(std::string_view text) {
  std::string out = "\"";
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    const auto code = static_cast<unsigned char>(c);
    const std::size_t bytes = character_at(text.substr(i));
    if (bytes != 1) {  // a whole character of more bytes, or a byte that is none
      out += bytes == 0 ? std::string("\xEF\xBF\xBD") : std::string(text.substr(i, bytes));
      i += bytes == 0 ? 0 : bytes - 1;
      continue;
    }
    if (c == '"' || c == '\\')
      out += '\\', out += c;
    else if (c == '\n')
      out += "\\n";
    else if (c == '\t')
      out += "\\t";
    else if (code < 0x20 || code == 0x7f)
      out += fmt::format("\\u{:04x}", code);
    else
      out += c;
  }
  return out + '"';
}

namespace {
struct JsonPrinter {
  int indent;
  std::string out;

  void new_line(int depth) {
    if (indent > 0) out += '\n', out.append(static_cast<std::size_t>(indent * depth), ' ');
  }
  template <class Items, class Each>
  void between(char open, char close, const Items& list, int depth, const Each& each) {
    out += open;
    bool first = true;
    for (const auto& item : list) {
      if (!first) out += indent > 0 ? "," : ", ";
      first = false;
      new_line(depth + 1);
      each(item);
    }
    if (!list.empty()) new_line(depth);
    out += close;
  }
  void print(const Tree& t, int depth) {
    switch (t.is) {
      case Tree::Is::nothing:
        out += "null";
        break;
      case Tree::Is::boolean:
        out += t.boolean ? "true" : "false";
        break;
      case Tree::Is::integer:
        out += fmt::format("{}", t.integer);
        break;
      case Tree::Is::number:
        out += std::isfinite(t.number) ? shortest(t.number, false) : "null";  // JSON has no NaN: not known
        break;
      case Tree::Is::text:
        out += in_quotes(t.text);
        break;
      case Tree::Is::list: {
        const bool flat = std::none_of(t.list.begin(), t.list.end(),
                                       [](const Tree& x) { return x.is == Tree::Is::list || x.is == Tree::Is::table; });
        const int kept = indent;
        if (flat) indent = 0;
        between('[', ']', t.list, depth, [&](const Tree& item) { print(item, depth + 1); });
        indent = kept;
        break;
      }
      case Tree::Is::table:
        between('{', '}', t.table, depth, [&](const Tree::Entry& entry) {
          out += in_quotes(entry.key) + ": ";
          print(entry.value, depth + 1);
        });
        break;
    }
  }
};
}  // namespace

std::string print_json(const Tree& tree, int indent) {
  JsonPrinter printer{indent, {}};
  printer.print(tree, 0);
  return std::move(printer.out);
}

}  // namespace witnessline::base

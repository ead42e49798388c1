// TOML through toml++, the only reader of it in the program; nothing of toml++ leaves this file.
#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <optional>
#include <sstream>

#include "base/tree.h"

namespace witnessline::base {
namespace {

Tree tree_from(const toml::node& node);

void put_entries(const toml::table& from, Tree& into) {
  for (const auto& [key, value] : from) {
    into.put(key.str(), tree_from(value));
    into.table.back().line = static_cast<int>(key.source().begin.line);
    into.table.back().column = static_cast<int>(key.source().begin.column);
  }
  // toml++ sorts by key; faults read better, and answers compare, in the order written.
  std::stable_sort(into.table.begin(), into.table.end(), [](const Tree::Entry& a, const Tree::Entry& b) {
    return std::pair(a.line, a.column) < std::pair(b.line, b.column);
  });
}

Tree tree_from(const toml::node& node) {
  Tree tree;
  if (const auto* table = node.as_table()) {
    tree = Tree::empty_table();
    put_entries(*table, tree);
  } else if (const auto* list = node.as_array()) {
    tree = Tree::empty_list();
    for (const toml::node& item : *list) tree.list.push_back(tree_from(item));
  } else if (const auto* text = node.as_string()) {
    tree = Tree::of(text->get());
  } else if (const auto* integer = node.as_integer()) {
    tree = Tree::of(integer->get());
  } else if (const auto* number = node.as_floating_point()) {
    tree = Tree::of(number->get());
  } else if (const auto* boolean = node.as_boolean()) {
    tree = Tree::of(boolean->get());
  } else {  // a date or time without quotes: as it would be written
    std::ostringstream written;
    if (const auto* date = node.as_date()) written << date->get();
    if (const auto* time = node.as_time()) written << time->get();
    if (const auto* both = node.as_date_time()) written << both->get();
    tree = Tree::of(written.str());
  }
  tree.line = static_cast<int>(node.source().begin.line);
  tree.column = static_cast<int>(node.source().begin.column);
  return tree;
}

/// Puts a comment in place of line `line` (from 1); of a broken [header] also of the lines under it, which would land
/// in the wrong table. False: no such line, or a comment already.
bool blank_line(std::string& text, int line) {
  std::size_t start = 0;
  for (int i = 1; i < line && start != std::string::npos; ++i) {
    start = text.find('\n', start);
    if (start != std::string::npos) ++start;
  }
  if (start == std::string::npos || start >= text.size() || text[start] == '#' || text[start] == '\n') return false;
  const bool header = text.find_first_not_of(" \t", start) == text.find('[', start);
  do {
    const std::size_t end = std::min(text.find('\n', start), text.size());
    text.replace(start, end - start, "#");
    start += 2;
  } while (header && start < text.size() && text.find_first_not_of(" \t", start) != text.find('[', start));
  return true;
}

/// Something that toml++ 3.3 must not see.
struct Stray {
  int line, column;
  std::string what, fix;
};

/// Walks through a text outside its quotes and comments. toml++ 3.3 takes for granted what a damaged file does not
/// grant, and is undefined there: letters past ASCII, which no TOML has outside quotes, tables without a name, commas
/// without a value. It limits neither the parts of a key nor what all of them make together with the brackets around
/// them.
class Outside {
 public:
  explicit Outside(std::string_view text) : text_(text) {}

  std::optional<Stray> first() {
    while (at_ < text_.size()) {
      const char c = text_[at_];
      if (c == '#') {
        while (at_ < text_.size() && text_[at_] != '\n') step();
      } else if (c == '"' || c == '\'') {
        skip_quotes(c);
        before_ = c;
      } else if (static_cast<unsigned char>(c) >= 0x80) {
        return Stray{line_, column_, "a letter past ASCII outside quotes", "put the text, or the key, in quotes"};
      } else if (is_control(at_)) {
        return Stray{line_, column_, "a control character outside quotes", "take it out"};
      } else if ((c == ',' || c == '}') && (before_ == ',' || before_ == '[')) {
        return Stray{line_, column_, fmt::format("not readable as TOML: a value is missing before '{}'", c),
                     "write the value, or take the comma out"};
      } else if (c == '[' && first_on_line_ && parts_.size() == 1 && !names_a_table()) {
        return Stray{line_, column_, "not readable as TOML: a table's name begins with a letter, a digit or a quote",
                     "write [name] or [[name]]"};
      } else {
        if (!is_blank(c) && c != '\n' && c != '\r') before_ = c;
        deepen(c);
        if (depth_ > deepest_tree)
          return Stray{line_, column_, fmt::format("lies more than {} tables deep", deepest_tree),
                       "no request and no job goes that deep"};
        step();
      }
    }
    return std::nullopt;
  }

 private:
  void step() {
    const char c = text_[at_];
    first_on_line_ = c == '\n' || (first_on_line_ && is_blank(c));
    if (c == '\n')
      ++line_, column_ = 1;
    else if ((static_cast<unsigned char>(c) & 0xC0) != 0x80)
      ++column_;
    ++at_;
  }

  static bool is_blank(char c) { return c == ' ' || c == '\t'; }

  bool is_control(std::size_t i) const {
    const auto c = static_cast<unsigned char>(text_[i]);
    if (c == '\r') return i + 1 == text_.size() || text_[i + 1] != '\n';
    return (c < 0x20 && c != '\t' && c != '\n') || c == 0x7f;
  }

  /// Of the bracket here.
  bool names_a_table() const {
    std::size_t i = at_ + 1;
    if (i < text_.size() && text_[i] == '[') ++i;
    while (i < text_.size() && is_blank(text_[i])) ++i;
    if (i == text_.size()) return true;  // toml++ finds the end itself
    const auto c = static_cast<unsigned char>(text_[i]);
    return std::isalnum(c) || c == '_' || c == '-' || c == '"' || c == '\'' || c == ']' || c >= 0x80;
  }

  void skip_quotes(char quote) {
    const std::string three(3, quote);
    const bool many_lines = text_.substr(at_).starts_with(three);
    for (int i = 0; i < (many_lines ? 3 : 1); ++i) step();
    while (at_ < text_.size()) {
      if (!many_lines && text_[at_] == '\n') return;  // not closed: toml++ stops here too
      if (text_[at_] == '\\' && quote == '"' && at_ + 1 < text_.size() && (many_lines || text_[at_ + 1] != '\n')) {
        step(), step();
      } else if (text_[at_] != quote) {
        step();
      } else if (!many_lines) {
        return step();
      } else if (text_.substr(at_).starts_with(three)) {
        while (at_ < text_.size() && text_[at_] == quote) step();  // up to two more belong to the text
        return;
      } else {
        step();
      }
    }
  }

  /// Brackets and the parts of the key written last in each of them.
  void deepen(char c) {
    if (c == '[' || c == '{') {
      parts_.push_back(0), ++depth_;
    } else if ((c == ']' || c == '}') && parts_.size() > 1) {
      depth_ -= parts_.back() + 1;
      parts_.pop_back();
    } else if (c == '.') {
      ++parts_.back(), ++depth_;
    } else if (c == ',' || (c == '\n' && parts_.size() == 1)) {
      depth_ -= parts_.back();
      parts_.back() = 0;
    }
  }

  std::string_view text_;
  std::size_t at_ = 0;
  int line_ = 1, column_ = 1, depth_ = 0;
  bool first_on_line_ = true;
  char before_ = 0;  ///< outside quotes and comments, blanks aside
  std::vector<int> parts_{0};
};

/// toml++ says "Error while parsing key-value pair: could not ..."; a person needs the last part.
std::string plain(std::string_view stated) {
  const std::size_t colon = stated.find(": ");
  if (colon != std::string_view::npos) stated = stated.substr(colon + 2);
  if (stated.find("cannot redefine") == 0) return "written twice: " + std::string(stated.substr(stated.find('\'')));
  return "not readable as TOML: " + std::string(stated);
}

}  // namespace

Tree read_toml(std::string_view text, const std::string& file, std::vector<Error>& faults) {
  std::string readable(text);
  constexpr int most_faults = 50;  // past that the file is not TOML at all
  for (int tries = 0; tries < most_faults; ++tries) {
    Error fault{"", {file, 0, 0, ""}, "", "fix this line; the lines after it were still checked"};
    if (auto stray = Outside(readable).first()) {
      fault.where.line = stray->line, fault.where.column = stray->column;
      fault.what = std::move(stray->what), fault.fix = std::move(stray->fix);
    } else {
      try {
        return tree_from(toml::parse(readable, file));
      } catch (const toml::parse_error& e) {
        fault.where.line = static_cast<int>(e.source().begin.line);
        fault.where.column = static_cast<int>(e.source().begin.column);
        fault.what = plain(e.description());
      }
    }
    faults.push_back(fault);
    if (!blank_line(readable, fault.where.line)) break;
  }
  return Tree{};
}

namespace {

constexpr std::size_t widest_line = 118;

std::string toml_key(const std::string& key) {
  const bool bare = !key.empty() && std::all_of(key.begin(), key.end(), [](unsigned char c) {
    return std::isalnum(c) || c == '_' || c == '-';
  });
  return bare ? key : in_quotes(key);
}

/// On one line, as a value.
std::string inline_value(const Tree& t) {
  switch (t.is) {
    case Tree::Is::boolean:
      return t.boolean ? "true" : "false";
    case Tree::Is::integer:
      return fmt::format("{}", t.integer);
    case Tree::Is::number:
      return shortest(t.number, true);
    case Tree::Is::text:
      return in_quotes(t.text);
    case Tree::Is::list: {
      std::string all;
      for (const Tree& item : t.list) all += (all.empty() ? "" : ", ") + inline_value(item);
      return "[" + all + "]";
    }
    case Tree::Is::table: {
      std::string all;
      for (const Tree::Entry& e : t.table)
        all += (all.empty() ? "" : ", ") + toml_key(e.key) + " = " + inline_value(e.value);
      return all.empty() ? "{}" : "{ " + all + " }";
    }
    case Tree::Is::nothing:
      break;
  }
  return "\"\"";
}

bool all_tables(const Tree& t) {
  return t.is == Tree::Is::list && !t.list.empty() &&
         std::all_of(t.list.begin(), t.list.end(), [](const Tree& item) { return item.is == Tree::Is::table; });
}

/// A table or list of tables gets headers of its own at the top of the file, or where a line would be too long.
bool has_headers(const Tree::Entry& e, bool top) {
  if (e.value.is != Tree::Is::table && !all_tables(e.value)) return false;
  return top || e.key.size() + 3 + inline_value(e.value).size() > widest_line;
}

void print_table(const Tree& table, const std::string& path, std::string& out) {
  const bool top = path.empty();
  for (const Tree::Entry& e : table.table)
    if (e.value.is != Tree::Is::nothing && !has_headers(e, top))
      out += toml_key(e.key) + " = " + inline_value(e.value) + "\n";
  for (const Tree::Entry& e : table.table) {
    if (!has_headers(e, top)) continue;
    const std::string below = path + (top ? "" : ".") + toml_key(e.key);
    if (e.value.is == Tree::Is::table) {
      out += "\n[" + below + "]\n";
      print_table(e.value, below, out);
    } else {
      for (const Tree& item : e.value.list) {
        out += "\n[[" + below + "]]\n";
        print_table(item, below, out);
      }
    }
  }
}

}  // namespace

std::string print_toml(const Tree& tree) {
  std::string out;
  print_table(tree, "", out);
  return out;
}

}  // namespace witnessline::base

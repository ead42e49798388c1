// TOML through toml++; nothing of it leaves this file.
#include <fmt/format.h>

#include <algorithm>
#include <sstream>

#include "job/tree.h"

// toml++ 3.3 takes some things for granted that a damaged file does not grant, and then stops the program or, built for
// release, goes on undefined. Here it throws instead; the name of its own keeps this copy apart from other modules'.
namespace witnessline::job {
struct Stumble {};
}  // namespace witnessline::job
#undef NDEBUG
#undef TOML_SHARED_LIB
#undef TOML_HEADER_ONLY
#define TOML_HEADER_ONLY 1
#define TOML_ASSERT(granted)                             \
  do {                                                   \
    if (!(granted)) throw ::witnessline::job::Stumble(); \
  } while (false)
#define toml toml_that_throws
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wterminate"  // in what is noexcept it stops the program as before
#include <toml++/toml.h>
#pragma GCC diagnostic pop

namespace witnessline::job {
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

/// First line on which a dotted key has more parts than any file goes deep; 0: none.
int too_deep(std::string_view text) {
  int line = 1, parts = 0;
  char quote = 0;
  for (const char c : text) {
    if (c == '\n') ++line, quote = 0;
    if (quote) {
      if (c == quote) quote = 0;
      continue;
    }
    if (c == '"' || c == '\'')
      quote = c;
    else if (c == '.')
      ++parts;
    else if (!std::isalnum(static_cast<unsigned char>(c)) && c != '_' && c != '-' && c != ' ')
      parts = 0;
    if (parts > deepest_tree) return line;
  }
  return 0;
}

/// toml++ says "Error while parsing key-value pair: could not ..."; a person needs the last part.
std::string plain(std::string_view said) {
  const std::size_t colon = said.find(": ");
  if (colon != std::string_view::npos) said = said.substr(colon + 2);
  if (said.find("cannot redefine") == 0) return "written twice: " + std::string(said.substr(said.find('\'')));
  return "not readable as TOML: " + std::string(said);
}

/// Line on which toml++ stumbles: the last one of the shortest beginning of the text that makes it do so.
int stumbling_line(const std::string& text) {
  std::vector<std::size_t> ends;
  for (std::size_t at = text.find('\n'); at != std::string::npos; at = text.find('\n', at + 1)) ends.push_back(at + 1);
  ends.push_back(text.size());
  const auto stumbles = [&](std::size_t end) {
    try {
      (void)toml::parse(std::string_view(text).substr(0, end));
    } catch (const toml::parse_error&) {
    } catch (const Stumble&) { return true; }
    return false;
  };
  return static_cast<int>(
             std::partition_point(ends.begin(), ends.end(), [&](std::size_t end) { return !stumbles(end); }) -
             ends.begin()) +
         1;
}

}  // namespace

Tree read_toml(std::string_view text, const std::string& file, std::vector<Error>& faults) {
  std::string readable(text);
  constexpr int most_faults = 50;  // past that the file is not TOML at all
  if (const int line = too_deep(readable)) {
    faults.push_back({fmt::format("a key has more than {} parts", deepest_tree),
                      {file, line, 1, ""},
                      "",
                      "no request and no job goes that deep"});
    return Tree{};
  }
  for (int tries = 0; tries < most_faults; ++tries) {
    Error fault{"", {file, 0, 0, ""}, "", "mend this line; the lines after it were still checked"};
    try {
      return tree_from(toml::parse(readable, file));
    } catch (const toml::parse_error& e) {
      fault.where.line = static_cast<int>(e.source().begin.line);
      fault.where.column = static_cast<int>(e.source().begin.column);
      fault.what = plain(e.description());
    } catch (const Stumble&) {
      fault.where.line =
          std::min(stumbling_line(readable), static_cast<int>(1 + std::count(text.begin(), text.end(), '\n')));
      fault.where.column = 1;
      fault.what = "not readable as TOML";
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

}  // namespace witnessline::job

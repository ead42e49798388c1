// Tree: a file or an answer as plain nested values, each with its place; what the codecs share. No third-party type.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/result.h"

namespace witnessline::base {

struct Tree {
  enum class Is { nothing, boolean, integer, number, text, list, table };
  struct Entry;

  Is is = Is::nothing;
  bool boolean = false;
  std::int64_t integer = 0;
  double number = 0;
  std::string text;
  std::vector<Tree> list;
  std::vector<Entry> table;  ///< in the order written
  int line = 0, column = 0;  ///< 0: not from a text

  const Tree* find(std::string_view key) const;
  void put(std::string_view key, Tree);
  /// "a table", "the text \"blue\"", "the number 3": what stands there, for a fault.
  std::string in_words() const;
  friend bool operator==(const Tree&, const Tree&);

  static Tree of(bool);
  static Tree of(std::int64_t);
  static Tree of(double);
  static Tree of(std::string);
  static Tree empty_list();
  static Tree empty_table();
};
struct Tree::Entry {
  std::string key;
  Tree value;
  int line = 0, column = 0;  ///< of the key
  bool must = false;         ///< must be written even where it says the usual
};

/// Tables and lists in each other that a text may hold; more is a fault, so that no text can exhaust the stack.
inline constexpr int deepest_tree = 64;

/// Shortest decimal that reads back to the same double; whole numbers keep a ".0" where `point` says so.
std::string shortest(double, bool point);
std::string in_quotes(std::string_view);  ///< a basic string, the same in TOML and JSON

/// Reads TOML. A line that is not TOML is a fault; the lines after it are still read, so that all faults come at once.
Tree read_toml(std::string_view text, const std::string& file, std::vector<Error>& faults);
std::string print_toml(const Tree&);

/// Reads JSON; an unreadable text is a fault.
Tree read_json(std::string_view text, const std::string& file, std::vector<Error>& faults);
std::string print_json(const Tree&, int indent = 0);  ///< indent 0: one line

}  // namespace witnessline::base

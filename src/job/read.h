// read_into: a described struct from a Tree. Every fault is collected with its place; what could be read is read.
#pragma once

#include <cmath>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "job/write.h"

namespace witnessline::job {

/// Faults of one file, and which missing keys may be reported.
struct Faults {
  static constexpr std::size_t most = 200;  ///< past that the file is not one of ours

  std::string file;
  std::vector<Error> list;
  std::size_t unlisted = 0;           ///< found past the most that are listed
  bool add_missing = true;            ///< not where a table's name could not be read
  std::set<std::string> broken = {};  ///< keys of lines that could not be read: they are not missing

  std::size_t count() const { return list.size() + unlisted; }
  bool full() const { return list.size() >= most; }
  void add(int line, int column, const std::string& key, std::string what, std::string expected = "",
           std::string fix = "") {
    if (full())
      ++unlisted;
    else
      list.push_back({std::move(what), {file, line, column, key}, std::move(expected), std::move(fix)});
  }
  void add(const Tree& at, const std::string& key, std::string what, std::string expected = "", std::string fix = "") {
    add(at.line, at.column, key, std::move(what), std::move(expected), std::move(fix));
  }
  /// In the order of the file, and how many more there are.
  std::vector<Error> all() const;
};

/// The tree of a TOML text; what is not TOML is among the faults, and its keys are not reported as missing.
Tree read_toml(std::string_view text, Faults&);

/// "swab, scrape, chip or rub"; long lists are cut short.
std::string one_of(const std::vector<std::string>& words);
/// Path of the item `index` of a list: its id where it has one, else its place counted from 1.
std::string item_path(const std::string& list_path, const Tree& item, std::size_t index);
std::string below(const std::string& path, std::string_view key);

/// The key without its unit ("wet" of "wet_um"); the key itself where it has none.
std::string_view stem_of(const Member&);
/// Units a key may carry instead of its own, and the key that does.
std::vector<Unit> units_like(const Unit&);
std::string key_in(const Member&, const Unit&);
/// The unit of `key` when it is the member in another unit of the same kind.
std::optional<Unit> unit_of_key(const std::string& key, const Member&);
/// Reports the keys of `table` that none of `members` took. Members a person clearly meant are put in `meant`.
void report_unknown(const Tree& table, const std::string& path, const std::vector<Member>& members,
                    const std::set<std::string>& taken, std::set<std::string_view>& meant, Faults&);
/// Reads a number [unit] and holds it to the member's range; false: a fault was reported.
bool read_number(const Tree&, const Member&, const Unit& unit, const std::string& path, bool whole, Faults&,
                 double& si);

template <class T>
void read_into(const Tree& tree, T& out, const Member& m, const Unit& unit, const std::string& path, Faults& faults);

/// Visitor of describe(): takes the members out of one table. Call finish() after.
class TableReader {
 public:
  TableReader(const Tree& table, std::string path, Faults& faults)
      : table_(table), path_(std::move(path)), faults_(faults) {}

  template <class T>
  void operator()(const Member& m, T& out) {
    Unit unit;
    if (const Tree::Entry* e = take(m, unit)) read_into(e->value, out, m, unit, below(path_, e->key), faults_);
  }

  /// A choice: its word, then the keys of what was chosen from the same table.
  template <class... Choices>
  void operator()(const Member& m, std::variant<Choices...>& out) {
    Unit unit;
    const Tree::Entry* e = take(m, unit);
    if (e == nullptr) {
      keys_known_ = false;
      return;
    }
    const std::string path = below(path_, e->key);
    const std::vector<std::string> words{std::string(Choices::word)...};
    if (e->value.is == Tree::Is::text &&
        ((e->value.text == Choices::word && (out.template emplace<Choices>(), true)) || ...)) {
      std::visit([&](auto& chosen) { describe(*this, chosen); }, out);
    } else {
      faults_.add(e->value, path, "cannot be " + e->value.in_words(), one_of(words),
                  did_you_mean(e->value.text, words));
      // Where it is clear what was meant, the keys beside it are judged too.
      const std::string near = e->value.text.empty() ? "" : nearest_word(e->value.text, words);
      keys_known_ = ((near == Choices::word && (out.template emplace<Choices>(), true)) || ...);
      if (keys_known_) std::visit([&](auto& chosen) { describe(*this, chosen); }, out);
    }
  }

  void finish() {
    std::set<std::string_view> meant;
    if (keys_known_) report_unknown(table_, path_, members_, taken_, meant, faults_);
    for (const Member& m : missing_)
      if (faults_.add_missing && meant.count(m.key) == 0 && !faults_.broken.contains(std::string(m.key)))
        faults_.add(table_, below(path_, m.key), "is missing", std::string(m.doc),
                    "write " + std::string(m.key) + " = ...");
  }

 private:
  const Tree::Entry* take(const Member& m, Unit& unit);

  const Tree& table_;
  std::string path_;
  Faults& faults_;
  std::vector<Member> members_, missing_;
  std::set<std::string> taken_;
  bool keys_known_ = true;  ///< false: the choice was not understood, so its keys cannot be judged
};

template <class T>
void read_into(const Tree& tree, T& out, const Member& m, const Unit& unit, const std::string& path, Faults& faults) {
  const auto refuse = [&](const std::string& expected, const std::string& fix = "") {
    faults.add(tree, path, "cannot be " + tree.in_words(), expected, fix);
  };
  if constexpr (std::is_same_v<T, bool>) {
    if (tree.is != Tree::Is::boolean) return refuse("true or false");
    out = tree.boolean;
  } else if constexpr (Worded<T>) {
    std::vector<std::string> known;
    for (const char* word : words(&out)) known.push_back(word);
    for (std::size_t i = 0; i < known.size(); ++i)
      if (tree.is == Tree::Is::text && tree.text == known[i]) {
        out = static_cast<T>(i);
        return;
      }
    refuse(one_of(known), did_you_mean(tree.text, known));
  } else if constexpr (std::is_arithmetic_v<T>) {
    double si = 0;
    if (read_number(tree, m, unit, path, std::is_integral_v<T>, faults, si)) out = static_cast<T>(si);
  } else if constexpr (Text<T>) {
    if (tree.is != Tree::Is::text) return refuse("text in quotes");
    if (m.required && tree.text.empty()) return faults.add(tree, path, "is empty", std::string(m.doc));
    out = tree.text;
  } else if constexpr (Optional<T>) {
    if (tree.is == Tree::Is::nothing) return;
    typename T::value_type value{};
    const std::size_t faults_before = faults.count();
    read_into(tree, value, m, unit, path, faults);
    if (faults.count() == faults_before) out = std::move(value);
  } else if constexpr (List<T>) {
    if (tree.is != Tree::Is::list)
      return refuse("a list", tree.is == Tree::Is::text ? "write [" + in_quotes(tree.text) + "]" : "");
    out.clear();
    for (std::size_t i = 0; i < tree.list.size(); ++i) {
      out.emplace_back();
      read_into(tree.list[i], out.back(), m, unit, item_path(path, tree.list[i], i), faults);
    }
    if (m.required && out.empty()) faults.add(tree, path, "is empty", std::string(m.doc));
  } else {
    if (tree.is != Tree::Is::table) return refuse("a table: " + std::string(m.doc));
    TableReader reader(tree, path, faults);
    describe(reader, out);
    reader.finish();
  }
}

}  // namespace witnessline::job

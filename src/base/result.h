// Result, Error, Note and expects: the three ways something can be said to have gone wrong (see docs/architecture.md).
#pragma once

#include <array>
#include <exception>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "base/describe.h"

namespace witnessline::base {

/// Where in an input a fault lies. Line and column count from 1; 0 means "not in a text".
struct Place {
  std::string file;
  int line = 0;
  int column = 0;
  std::string key;  ///< dotted key path, by id where there is one: "plans.clean.steps.wipe.cloths", "coats[2].name"
};
template <class V>
void describe(V& v, Place& p) {
  v(member("file", "file of the fault"), p.file);
  v(member("line", "counted from 1; 0: not in a text"), p.line);
  v(member("column", "counted from 1; 0: not in a text"), p.column);
  v(member("key", "dotted key path; places in a list count from 1"), p.key);
}

/// A fault of an outside input: what is wrong, where, what was expected and what a person can do about it.
struct Error {
  std::string what;
  Place where;
  std::string expected;  ///< may be empty
  std::string fix;       ///< what to do; names the nearest right word where there is one

  /// "job.toml:12:3: plans.clean: unknown key 'stps'; expected one of ...; did you mean 'steps'?"
  std::string text() const;
};
template <class V>
void describe(V& v, Error& e) {
  std::string text = e.text();
  v(member("what", "what is wrong"), e.what);
  v(member("where", "where"), e.where);
  v(member("expected", "what was expected"), e.expected);
  v(member("fix", "what to do"), e.fix);
  v(member("text", "all of it in one line"), text);
}

/// A T, or every fault that kept it from being made (at least one).
template <class T>
class [[nodiscard]] Result {
 public:
  Result(T value) : held_(std::move(value)) {}
  Result(Error error) : held_(std::vector<Error>{std::move(error)}) {}
  Result(std::vector<Error> errors) : held_(std::move(errors)) {}

  explicit operator bool() const { return held_.index() == 0; }
  T& value() & { return std::get<0>(held_); }
  const T& value() const& { return std::get<0>(held_); }
  T&& value() && { return std::get<0>(std::move(held_)); }
  T& operator*() & { return value(); }
  const T& operator*() const& { return value(); }
  T* operator->() { return &value(); }
  const T* operator->() const { return &value(); }
  const std::vector<Error>& errors() const { return std::get<1>(held_); }

 private:
  std::variant<T, std::vector<Error>> held_;
};

/// Success without a value.
struct Done {};

enum class Severity { information, caution, danger };
constexpr auto words(const Severity*) { return std::array{"information", "caution", "danger"}; }

/// Something a person must be told about a result that was still produced; every screen and paper shows it.
struct Note {
  Severity severity = Severity::information;
  std::string text;   ///< one plain sentence
  std::string about;  ///< step id, layer or key it belongs to; empty: the whole
  friend bool operator==(const Note&, const Note&) = default;
};
template <class V>
void describe(V& v, Note& n) {
  v(member("severity", "how much it matters"), n.severity);
  v(member("text", "one plain sentence"), n.text);
  v(member("about", "step, coat or key it belongs to; empty: the whole"), n.about);
}

/// Our own bug, caught only in server and cli.
class BrokenPromise : public std::exception {
 public:
  BrokenPromise(const char* why, const char* file, int line);
  const char* what() const noexcept override { return text_.c_str(); }

 private:
  std::string text_;
};

[[noreturn]] void broken_promise(const char* why, const char* file, int line);

/// The word in `known` nearest to `word` by edits, or "" when none is near enough to suggest.
std::string nearest_word(const std::string& word, const std::vector<std::string>& known);
/// "did you mean 'steps'?", or "" when no known word is near; for Error::fix.
std::string did_you_mean(const std::string& word, const std::vector<std::string>& known);

}  // namespace witnessline::base

#define expects(condition, why)                                                     \
  do {                                                                              \
    if (!(condition)) ::witnessline::base::broken_promise(why, __FILE__, __LINE__); \
  } while (false)

#include "app/verb.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <filesystem>

#include "app/answer_parts.h"
#include "app/app.h"
#include "app/files.h"
#include "app/verbs/checks.h"
#include "app/verbs/compatible.h"
#include "app/verbs/correct.h"
#include "app/verbs/count_checks.h"
#include "app/verbs/dates.h"
#include "app/verbs/dry.h"
#include "app/verbs/enough.h"
#include "app/verbs/lay.h"
#include "app/verbs/life.h"
#include "app/verbs/match.h"
#include "app/verbs/read.h"
#include "app/verbs/shade.h"
#include "app/verbs/thin.h"
#include "app/verbs/tin.h"
#include "app/verbs/ventilate.h"
#include "app/verbs/wear.h"
#include "app/verbs/yellowed_clear.h"
#include "job/files.h"

namespace witnessline::app {

namespace fs = std::filesystem;

namespace {

constexpr const char* request_name = "request";  ///< stands for the file where there is none

Result<Answered> ask(const Verb& verb, const Tree& request, std::vector<Error> faults, const std::string& file,
                     const fs::path& folder, BenchUnits units) {
  if (!faults.empty()) return faults;
  const auto library = read_library(data_folder());
  if (!library) return library.errors();
  const auto file_below = [&folder](const std::string& name) -> Result<std::string> {
    // Through links, so that none leads out of the folder.
    std::error_code error;
    const fs::path home = fs::weakly_canonical(folder.empty() ? "." : folder, error);
    const fs::path path = fs::weakly_canonical(home / name, error);
    const fs::path inside = error ? fs::path() : path.lexically_relative(home);
    if (fs::path(name).is_absolute() || inside.empty() || *inside.begin() == "..")
      return Error{fmt::format("'{}' lies outside the folder of the request", name),
                   {},
                   "a file beside the request",
                   "copy the file there and name it without a folder"};
    return read_file(path);
  };
  return verb.run(request, file, {*library, units, file_below, folder.string()});
}

/// What stands at "shelf[2].left_g"; as far down as there is something.
const Tree* standing_at(const Tree& request, std::string_view path) {
  const Tree* at = &request;
  while (!path.empty()) {
    const std::size_t end = path.find_first_of(".[");
    if (end > 0) {
      const Tree* inner = at->find(path.substr(0, end));
      if (inner == nullptr) return at;
      at = inner;
    }
    if (end == std::string_view::npos) return at;
    path.remove_prefix(end + 1);
    if (path.data()[-1] != '[') continue;
    std::size_t place = 0;
    const auto [next, fault] = std::from_chars(path.data(), path.data() + path.size(), place);
    if (fault != std::errc{} || place < 1 || place > at->list.size()) return at;
    at = &at->list[place - 1];
    path.remove_prefix(std::min(path.size(), static_cast<std::size_t>(next - path.data()) + 1));
    if (!path.empty() && path.front() == '.') path.remove_prefix(1);
  }
  return at;
}

}  // namespace

std::vector<Error> located(std::vector<Error> errors, const Tree& request, const std::string& file) {
  for (Error& error : errors) {
    if (!error.where.file.empty()) continue;
    error.where.file = file;
    if (const Tree* at = standing_at(request, error.where.key); at != nullptr && error.where.line == 0)
      error.where.line = at->line, error.where.column = at->column;
  }
  return errors;
}

const std::vector<Verb>& verbs() {
  static const std::vector<Verb> all{
      dry_verb(),       read_verb(),         match_verb(),      correct_verb(), shade_verb(), yellowed_clear_verb(),
      ventilate_verb(), tin_verb(),          compatible_verb(), enough_verb(),  lay_verb(),   thin_verb(),
      dates_verb(),     count_checks_verb(), life_verb(),       checks_verb(),  wear_verb(),
  };
  return all;
}

const Verb* find_verb(const std::string& word) {
  const auto found = std::find_if(verbs().begin(), verbs().end(), [&](const Verb& v) { return v.word == word; });
  return found == verbs().end() ? nullptr : &*found;
}

Result<Answered> ask_file(const Verb& verb, const std::string& request_path, BenchUnits units) {
  const auto text = read_file(request_path);
  if (!text) return text.errors();
  std::vector<Error> faults;
  const Tree request = read_toml(*text, request_path, faults);
  return ask(verb, request, std::move(faults), request_path, fs::path(request_path).parent_path(), units);
}

Result<Answered> ask_json(const Verb& verb, const std::string& request_text, const std::string& folder,
                          BenchUnits units) {
  std::vector<Error> faults;
  const Tree request = read_json(request_text, request_name, faults);
  return ask(verb, request, std::move(faults), request_name, folder, units);
}

std::string example_folder() { return (fs::path(data_folder()) / "../examples/verbs").lexically_normal().string(); }

Result<Tree> example_request(const Verb& verb) {
  const std::string path = (fs::path(example_folder()) / (verb.word + ".toml")).string();
  const auto text = read_file(path);
  if (!text) return text.errors();
  std::vector<Error> faults;
  Tree request = read_toml(*text, path, faults);
  if (!faults.empty()) return faults;
  return request;
}

std::string verb_key_tables() {
  std::string text =
      "# Keys of requests\n\nGenerated from the program's own description. `witnessline WORD REQUEST.toml` reads these "
      "keys from a TOML file,\n`POST /api/verbs/WORD` the same ones from JSON. Keys in bold must be given; `usual` is "
      "what holds when the key is\nabsent. A key that ends in a unit may end in another one of its kind instead.\n";
  for (const Verb& verb : verbs())
    text += fmt::format("\n## {}\n\n{}.\n\n{}", verb.word, verb.about, key_tables(verb.asks, "The request"));
  return text.substr(0, text.find_last_not_of('\n') + 1) + "\n";
}

std::string verb_typescript_types() {
  std::vector<Shape> shapes{shape_of(Curve{}), shape_of(Swatch{})};
  for (const Verb& verb : verbs()) shapes.push_back(verb.asks), shapes.push_back(verb.answers);
  return typescript_types(shapes);
}

}  // namespace witnessline::app

#include "app/verb.h"

#include <fmt/format.h>

#include <algorithm>
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

Result<Answered> ask(const Verb& verb, const Tree& request, Faults faults, const fs::path& folder, BenchUnits units,
                     std::optional<std::chrono::sys_days> today) {
  if (request.is != Tree::Is::table && faults.count() > 0) return faults.all();
  const auto library = read_library(data_folder());
  if (!library) return library.errors();
  const auto file_below = [&folder](const std::string& name) -> Result<std::string> {
    const auto path = inside(folder, folder / name);
    if (fs::path(name).is_absolute() || !path)
      return Error{fmt::format("'{}' is outside the request's folder", name),
                   {},
                   "a file beside the request",
                   "copy the file there and name it without a folder"};
    return read_file(*path);
  };
  return verb.run(request, std::move(faults), {*library, units, file_below, folder.string(), today});
}

}  // namespace

void add_named(const Tree& tree, const Library& library, std::span<const Mixture> mixtures,
               std::vector<Handled>& handled) {
  if (tree.is == Tree::Is::text) {
    const Material* material = library.find(tree.text);
    const auto same = [&](const Handled& h) { return h.material == material; };
    if (material && std::none_of(handled.begin(), handled.end(), same)) handled.push_back({material, "", false});
    for (const Mixture& mixture : mixtures)
      if (mixture.id == tree.text) add_mixture(handled, mixture, library);
  }
  for (const Tree& item : tree.list) add_named(item, library, mixtures, handled);
  for (const Tree::Entry& entry : tree.table) add_named(entry.value, library, mixtures, handled);
}

void warn_of(std::span<const Handled> handled, const Work& work, std::vector<Note>& notes, std::string& text) {
  std::vector<Note> hazards = hazard_notes(handled, work);
  std::string head, tail;
  for (const Note& note : hazards)
    if (text.find(note.text) == text.npos)
      (note.severity == Severity::danger ? head : tail) +=
          (note.severity == Severity::danger ? "DANGER: " : "CAUTION  ") + note.text + "\n";
  text = head + text + tail;
  for (const Note& note : notes)
    if (std::none_of(hazards.begin(), hazards.end(), [&](const Note& h) { return h.text == note.text; }))
      hazards.push_back(note);
  notes = std::move(hazards);
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

std::chrono::sys_days today_by_the_clock() {
  return std::chrono::floor<std::chrono::days>(std::chrono::system_clock::now());
}

Result<Answered> ask_file(const Verb& verb, const std::string& request_path, BenchUnits units,
                          std::optional<std::chrono::sys_days> today) {
  const auto text = read_file(request_path);
  if (!text) return text.errors();
  Faults faults{request_path, {}};
  const Tree request = read_toml(*text, faults);
  return ask(verb, request, std::move(faults), fs::path(request_path).parent_path(), units, today);
}

Result<Answered> ask_json(const Verb& verb, const std::string& request_text, const std::string& folder,
                          BenchUnits units, std::optional<std::chrono::sys_days> today) {
  Faults faults{request_name, {}};
  const Tree request = read_json(request_text, request_name, faults.list);
  return ask(verb, request, std::move(faults), folder, units, today);
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

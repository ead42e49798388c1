// Verb: what is asked with one described request and answered with one described answer. The command line reads the
// request from a TOML file, the server from JSON: the same keys, the same faults, the same answer. Answers are made of
// Figures, Notes and plain sentences (std::vector<std::string> sentences, the most important first), and of the Curves
// and Swatches of answer_parts.h: one page shows them all.
#pragma once

#include <chrono>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "job/places.h"
#include "job/read.h"
#include "job/shape.h"
#include "materials/material.h"
#include "safety/handled.h"

namespace witnessline::app {

/// What a verb may use beside its request.
struct Asking {
  const Library& library;
  BenchUnits units = BenchUnits::metric;  ///< of the text
  /// Bytes of a file the request names. Errors: unreadable; outside the folder of the request.
  std::function<Result<std::string>(const std::string& name)> file;
  std::string folder = {};                          ///< of the request; on_job() opens the jobs beside it
  std::optional<std::chrono::sys_days> today = {};  ///< absent: unknown, and nothing is ruled out by it
  /// Where a verb adds what it handles beside the materials its request names: coats found on a job's
  /// instrument, what was seen of a tin.
  std::vector<Handled>* handled = nullptr;
  /// Where on_job() puts the mixtures of the job, which the request may name.
  std::vector<Mixture>* mixtures = nullptr;
};

struct Answered {
  Tree answer;       ///< the described answer
  std::string text;  ///< the same for a person, ending in a line break
};

struct Verb {
  std::string word;   ///< as typed
  std::string about;  ///< one sentence
  Shape asks, answers;
  /// `faults`: those already found in the file of the request; its own are added to them.
  std::function<Result<Answered>(const Tree& request, Faults faults, const Asking&)> run;
};

/// Adds the materials that a request names, each once, and those of the mixtures it names.
void add_named(const Tree&, const Library&, std::span<const Mixture>, std::vector<Handled>&);

/// Puts the hazards of what is handled first into `notes` and says them in `text`: dangers at its head, the rest at its
/// end; what a note already says is not repeated.
void warn_of(std::span<const Handled>, const Work&, std::vector<Note>& notes, std::string& text);

/// A verb from its function; `handling`: what is done to the materials asked about, for the hazards every answer
/// carries. `work` may return errors that name only the key at fault ("shelf[2].left_g").
template <class Request, class Answer>
Verb verb(std::string word, std::string about, Work handling, Result<Answer> (*work)(const Request&, const Asking&),
          std::string (*format)(const Answer&, BenchUnits)) {
  const auto run = [work, format, handling](const Tree& request, Faults faults,
                                            const Asking& asking) -> Result<Answered> {
    Request read;
    read_into(request, read, Member{}, unit::none, "", faults);
    if (faults.count() > 0) return faults.all();
    std::vector<Handled> handled;
    std::vector<Mixture> mixtures;
    Asking with = asking;
    with.handled = &handled, with.mixtures = &mixtures;
    Result<Answer> answer = work(read, with);
    if (!answer) return located(answer.errors(), request, faults.file);
    add_named(request, asking.library, mixtures, handled);
    std::string text = format(*answer, asking.units);
    warn_of(handled, handling, answer->notes, text);
    return Answered{tree_of(*answer), std::move(text)};
  };
  return {std::move(word), std::move(about), shape_of(Request{}), shape_of(Answer{}), run};
}

/// Every verb, in the order of the work. Add yours in verb.cpp.
const std::vector<Verb>& verbs();
/// nullptr: no such verb.
const Verb* find_verb(const std::string& word);

/// Asks with a request file (TOML). Errors: unreadable, every fault of the request, those of the verb.
Result<Answered> ask_file(const Verb&, const std::string& request_path, BenchUnits,
                          std::optional<std::chrono::sys_days> today = {});
/// Asks with JSON; files it names must lie below `folder`. Errors: as above.
Result<Answered> ask_json(const Verb&, const std::string& request, const std::string& folder, BenchUnits,
                          std::optional<std::chrono::sys_days> today = {});
/// By the system's clock, for the two skins; nothing below reads a clock.
std::chrono::sys_days today_by_the_clock();

/// Where example requests lie, one a verb: WORD.toml.
std::string example_folder();
/// The example request of a verb. Errors: not there, not readable.
Result<Tree> example_request(const Verb&);

/// docs/verb_keys.md and the page's TypeScript types, from the verbs' own descriptions.
std::string verb_key_tables();
std::string verb_typescript_types();

}  // namespace witnessline::app

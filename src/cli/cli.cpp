#include "cli/cli.h"

#include <fmt/color.h>
#include <fmt/format.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <iostream>
#include <nlohmann/json.hpp>

#include "app/app.h"
#include "app/colour_verbs.h"
#include "app/verb.h"
#include "base/parallel.h"
#include "server/server.h"

namespace witnessline::cli {

namespace {

/// A bar on a terminal; elsewhere one line for each thing that is begun.
class ProgressBar {
 public:
  ProgressBar() : shown_(::isatty(STDERR_FILENO) != 0) {}
  ~ProgressBar() { clear(); }
  void clear() {
    if (shown_) fmt::print(stderr, "\r\033[K");
  }
  void operator()(const std::string& what, double done) {
    if (!shown_) {
      if (!what.empty() && what != begun_) fmt::print(stderr, "{:3.0f} % {}\n", 100 * std::clamp(done, 0.0, 1.0), what);
      begun_ = what;
      return;
    }
    const int full = static_cast<int>(std::lround(30 * std::clamp(done, 0.0, 1.0)));
    fmt::print(stderr, "\r\033[K[{}{}] {}", std::string(static_cast<std::size_t>(full), '#'),
               std::string(static_cast<std::size_t>(30 - full), '.'), what);
    std::fflush(stderr);
  }

 private:
  bool shown_;
  std::string begun_;
};

nlohmann::json json_of(const Error& e) {
  return {{"what", e.what},     {"file", e.where.file},   {"line", e.where.line}, {"column", e.where.column},
          {"key", e.where.key}, {"expected", e.expected}, {"fix", e.fix}};
}

int print_faults(const std::vector<Error>& errors, bool json) {
  if (json) {
    nlohmann::json all = nlohmann::json::array();
    for (const Error& error : errors) all.push_back(json_of(error));
    fmt::print("{}\n", nlohmann::json{{"errors", all}}.dump(2));
  } else {
    for (const Error& error : errors) fmt::print(stderr, "{}\n", error.text());
    fmt::print(stderr, "{} error{} found; nothing was written.\n", errors.size(), errors.size() == 1 ? "" : "s");
  }
  return faults_in_input;
}

struct Asked {
  std::string job, request, readings, compositions, folder, units = "metric", jobs_folder = "examples";
  bool json = false, no_pictures = false, thickness_from_black = false;
  unsigned threads = 0;
  int port = 8137;
  std::string light = "window", sheet;
  BenchUnits bench_units() const { return units == "us" ? BenchUnits::us : BenchUnits::metric; }
  std::optional<Light> pictures() const {
    if (no_pictures) return std::nullopt;
    return light == "lamp" ? Light::lamp : light == "stage" ? Light::stage : Light::window;
  }
};

int do_simulate(const Asked& asked) {
  ProgressBar bar;
  const auto worked = simulate(asked.job, std::ref(bar));
  bar.clear();
  if (!worked) return print_faults(worked.errors(), asked.json);
  if (!asked.folder.empty()) {
    const auto written = write_outcome(*worked, asked.folder, asked.bench_units(), asked.pictures(), std::ref(bar));
    bar.clear();
    if (!written) return print_faults(written.errors(), asked.json);
  }
  fmt::print("{}\n",
             asked.json ? outcome_json(worked->outcome()) : outcome_text(worked->outcome(), asked.bench_units()));
  if (!asked.folder.empty() && !asked.json)
    fmt::print("Pictures and papers are in {}; begin with {}/papers/proposal.html\n", asked.folder, asked.folder);
  const auto& plans = worked->outcome().plans;
  return std::all_of(plans.begin(), plans.end(), [](const PlanOutcome& p) { return p.runs; }) ? well : faults_in_input;
}

int do_papers(const Asked& asked) {
  ProgressBar bar;
  const auto worked = simulate(asked.job, std::ref(bar));
  bar.clear();
  if (!worked) return print_faults(worked.errors(), asked.json);
  std::vector<Sheet> sheets;
  if (asked.sheet != "letter") sheets.push_back(Sheet::a4);
  if (asked.sheet == "letter" || asked.sheet == "both") sheets.push_back(Sheet::letter);
  if (asked.sheet.empty()) sheets = {usual_sheet(asked.bench_units())};
  const auto written = write_papers(*worked, asked.folder, asked.bench_units(), sheets, std::ref(bar));
  bar.clear();
  if (!written) return print_faults(written.errors(), asked.json);
  if (asked.json)
    fmt::print("{}\n", nlohmann::json{{"folder", asked.folder}}.dump());
  else
    fmt::print("Papers are in {}\n", asked.folder);
  return well;
}

int do_validate(const Asked& asked) {
  std::vector<Note> notes;
  const auto job = validate(asked.job, {}, &notes);
  std::vector<Error> faults = job ? std::vector<Error>{} : job.errors();
  if (const auto tried = try_plans(asked.job); !tried)
    faults.insert(faults.end(), tried.errors().begin(), tried.errors().end());
  if (!faults.empty()) return print_faults(faults, asked.json);
  nlohmann::json shown_text = nlohmann::json::array();
  for (const Note& note : notes) shown_text.push_back(note.text);
  if (asked.json) {
    const nlohmann::json answer{
        {"job", job->id}, {"plans", job->plans.size()}, {"errors", nlohmann::json::array()}, {"notes", shown_text}};
    fmt::print("{}\n", answer.dump(2));
  } else {
    for (const Note& note : notes) fmt::print("{}\n", note.text);
    fmt::print("{}: no errors; coats found: {}, plans: {}.\n", job->id, job->coats.size(), job->plans.size());
  }
  return well;
}

int do_verify(const Asked& asked) {
  const auto checks = verify();
  if (!checks) return print_faults(checks.errors(), asked.json);
  if (asked.json) fmt::print("{}\n", verify_json(*checks));
  int out = 0, truth = 0;
  for (const Check& c : *checks) {
    if (!c.within()) ++out;
    if (c.tests_truth) ++truth;
    if (asked.json) continue;
    if (!c.fault.empty())
      fmt::print("OUT {:58.58} refused: {}\n", c.what, c.fault);
    else
      fmt::print("{:3} {:58.58} {:>13.6g} {:>13.6g} {:>10.2g} {:>9.2g} {:12.12} {}\n", c.within() ? "ok" : "OUT",
                 c.what, c.ours, c.published, c.ours - c.published, c.tolerance, c.unit, c.source);
  }
  if (!asked.json)
    fmt::print(
        "\n{} values: {} test truth, {} test arithmetic only; {} outside tolerance.\nColumns: ours, published, "
        "difference, tolerance, unit, source.\n",
        checks->size(), truth, checks->size() - static_cast<std::size_t>(truth), out);
  return out == 0 ? well : faults_in_input;
}

int do_characterise(const Asked& asked) {
  const auto set = characterise_file(asked.readings);
  if (!set) return print_faults(set.errors(), asked.json);
  for (const Note& note : set->notes) fmt::print(stderr, "{}\n", note.text);
  fmt::print("{}\n", asked.json ? colorant_set_json(*set) : colorant_set_csv(*set));
  return well;
}

int do_predict(const Asked& asked) {
  const auto table =
      predict_files(asked.readings, asked.compositions,
                    asked.thickness_from_black ? ThicknessFrom::reading_over_black : ThicknessFrom::composition_alone);
  if (!table) return print_faults(table.errors(), asked.json);
  for (const Note& note : table->notes) fmt::print(stderr, "{}\n", note.text);
  fmt::print("{}\n", asked.json ? predicted_json(*table) : predicted_csv(*table));
  return well;
}

int do_verb(const Verb& verb, const Asked& asked) {
  const auto answered = ask_file(verb, asked.request, asked.bench_units(), today_by_the_clock());
  if (!answered) return print_faults(answered.errors(), asked.json);
  fmt::print("{}", asked.json ? print_json(answered->answer, 1) + "\n" : answered->text);
  return well;
}

}  // namespace

int command_line(int argc, char** argv) {
  CLI::App app{"Simulates a refinishing job step by step, before the first coat."};
  app.name("witnessline");
  app.require_subcommand(1);
  app.footer(
      "Examples:\n"
      "  witnessline new my_job.toml\n"
      "  witnessline validate examples/octave_mandolin/job.toml\n"
      "  witnessline simulate examples/octave_mandolin/job.toml --out out/octave_mandolin\n"
      "  witnessline serve --jobs examples\n"
      "  witnessline verify\n"
      "Exit status: 0 success, 1 errors in the input, 2 wrong command line, 3 internal error.");
  Asked asked;
  app.add_option("--threads", asked.threads, "Threads to use (default: all)")->check(CLI::Range(1u, 256u));

  auto* simulate_ = app.add_subcommand("simulate", "Simulate every plan of a job and print the results");
  simulate_->add_option("JOB", asked.job, "job file (.toml)")->required();
  simulate_->add_option("--out", asked.folder, "also write pictures, tables and papers into this folder");
  simulate_->add_option("--light", asked.light, "with --out: light of the stills")
      ->check(CLI::IsMember({"window", "lamp", "stage"}))
      ->capture_default_str();
  simulate_->add_flag("--no-pictures", asked.no_pictures, "with --out: tables and papers only, no stills");
  simulate_->footer("Example:\n  witnessline simulate examples/slab_bass/job.toml --out out/slab_bass --units us");
  auto* papers_ = app.add_subcommand("papers", "Simulate a job and print its papers as PDF and HTML");
  papers_->add_option("JOB", asked.job, "job file (.toml)")->required();
  papers_->add_option("--out", asked.folder, "folder for the papers")->required();
  papers_->add_option("--sheet", asked.sheet, "sheet to print on (default: a4, with US units letter)")
      ->check(CLI::IsMember({"a4", "letter", "both"}));
  papers_->footer("Example:\n  witnessline papers examples/lap_steel/job.toml --out out/papers --sheet letter");
  auto* validate_ =
      app.add_subcommand("validate", "Check a job file, the files it names and its plans; list every error");
  validate_->add_option("JOB", asked.job, "job file (.toml)")->required();
  auto* verify_ = app.add_subcommand("verify", "Print every published value beside the program's own");
  auto* serve_ = app.add_subcommand("serve", "Serve the bench app on 127.0.0.1");
  serve_->add_option("--jobs", asked.jobs_folder, "folder whose sub-folders hold job.toml files")
      ->capture_default_str();
  serve_->add_option("--port", asked.port, "port; 0: any free one")->check(CLI::Range(0, 65535))->capture_default_str();
  auto* new_ = app.add_subcommand("new", "Write a job file to start from, with a stand-in outline beside it");
  new_->add_option("FILE", asked.job, "file to make, e.g. my_job.toml")->required();
  auto* characterise_ =
      app.add_subcommand("characterise", "Find the absorption and scattering of colorants from readings");
  auto* predict_ =
      app.add_subcommand("predict", "Predict the readings of colorant mixtures from readings of other films");
  for (auto* sub : {characterise_, predict_})
    sub->add_option("READINGS", asked.readings, "table of measured films (docs/formats.md)")->required();
  predict_->add_option("COMPOSITIONS", asked.compositions, "table of films to predict, with their bare cards")
      ->required();
  predict_->add_flag("--thickness-from-black", asked.thickness_from_black,
                     "fit each film's thickness to its over_black row; predict over white only");
  predict_->footer("Example:\n  witnessline predict readings.csv new_mixtures.csv --json");
  std::vector<CLI::App*> in_units{simulate_, papers_},
      with_json{simulate_, papers_, validate_, verify_, new_, characterise_, predict_};
  std::vector<std::pair<const CLI::App*, const Verb*>> asking;
  for (const Verb& verb : verbs()) {
    auto* sub = app.add_subcommand(verb.word, verb.about);
    sub->add_option("REQUEST", asked.request, "request file (.toml); keys in docs/verb_keys.md")->required();
    sub->footer(fmt::format("Example:\n  witnessline {0} examples/verbs/{0}.toml", verb.word));
    asking.emplace_back(sub, &verb);
    in_units.push_back(sub), with_json.push_back(sub);
  }
  for (auto* sub : with_json) sub->add_flag("--json", asked.json, "answer as JSON");
  for (auto* sub : in_units)
    sub->add_option("--units", asked.units, "bench units")
        ->check(CLI::IsMember({"metric", "us"}))
        ->capture_default_str();

  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& e) {
    std::vector<std::string> commands;
    for (const auto* sub : app.get_subcommands([](const CLI::App*) { return true; }))
      commands.push_back(sub->get_name());
    const std::string word = argc > 1 ? argv[1] : "";
    if (!word.empty() && word[0] != '-' && std::find(commands.begin(), commands.end(), word) == commands.end()) {
      const std::string near = did_you_mean(word, commands);
      fmt::print(stderr, "there is no command '{}'{}; see witnessline --help\n", word, near.empty() ? "" : "; " + near);
      return wrong_command_line;
    }
    return app.exit(e) == 0 ? well : wrong_command_line;
  }
  try {
    if (asked.threads) use_threads(asked.threads);
    if (*simulate_) return do_simulate(asked);
    if (*papers_) return do_papers(asked);
    if (*validate_) return do_validate(asked);
    if (*verify_) return do_verify(asked);
    if (*characterise_) return do_characterise(asked);
    if (*predict_) return do_predict(asked);
    for (const auto& [sub, verb] : asking)
      if (*sub) return do_verb(*verb, asked);
    if (*new_) {
      const auto made = new_job(asked.job);
      if (!made) return print_faults(made.errors(), asked.json);
      if (asked.json)
        fmt::print("{}\n", nlohmann::json{{"made", asked.job}}.dump());
      else
        fmt::print("Made {} and its outline. Next: witnessline validate {}\n", asked.job, asked.job);
      return well;
    }
    ServeOptions serving;
    serving.jobs = asked.jobs_folder, serving.port = asked.port;
    return serve(serving);
  } catch (const BrokenPromise& bug) {
    fmt::print(
        stderr,
        "witnessline: {}. This is an internal error; nothing was written. Please report it with your job file.\n",
        bug.what());
    return our_own_bug;
  } catch (const std::exception& other) {
    fmt::print(stderr, "witnessline: unexpected error: {}. Nothing was written.\n", other.what());
    return our_own_bug;
  }
}

}  // namespace witnessline::cli

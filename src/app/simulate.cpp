// Opens a job and what it names, works every plan out, and answers from the result.
#include <fmt/format.h>
#include <unistd.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>

#include "analysis/lives.h"
#include "analysis/uncertainty.h"
#include "app/open_job.h"
#include "app/work.h"
#include "bench/paint.h"
#include "bench/softness.h"
#include "history/wear_in_words.h"

namespace witnessline::app {

namespace fs = std::filesystem;

namespace {

constexpr double coarse_pitch_m = 4e-3;  // ESTIMATE: readings of a 4 mm body move by less than the bands it makes

/// A film read thicker than all coats of the job together says that a coat is missing or the survey is wrong.
void hold_readings_to_coats(const Job& job, std::vector<Note>& notes) {
  double all_m = 0, variance_m2 = 0;
  for (const ExistingCoat& coat : job.coats)
    all_m += coat.thickness_m,
        variance_m2 += coat.spread_m * coat.spread_m + 0.01 * coat.thickness_m * coat.thickness_m;
  const double most_m = all_m + 3 * std::sqrt(variance_m2);
  for (const ReadingRecord& reading : job.readings)
    if (reading.film_m && *reading.film_m > most_m)
      notes.push_back(
          {Severity::caution,
           fmt::format("'{}' read {} of film, but all coats in the job together come to {}. A coat is missing, "
                       "or one is thicker than the survey states.",
                       reading.name, show(*reading.film_m, Quantity::film_thickness),
                       show(all_m, Quantity::film_thickness)),
           "readings"});
}

/// Whether the wear of a plan lies where contact would put it: beside the life its steps name, else the job's only one,
/// else that of an ordinary player, and then that is said.
std::vector<Note> notes_on_wear_of(const Plan& plan, const Run& run, const Bench& bench, const Job& job) {
  const PlannedStep* first = nullptr;
  const auto named_by = [](const PlannedStep& step) {
    return std::visit(
        [](const auto& kind) {
          if constexpr (requires { kind.life; })
            return kind.life;
          else
            return std::string();
        },
        step.step);
  };
  for (const PlannedStep& step : plan.steps)
    if (traits_of(step.step).wears && (!first || (named_by(*first).empty() && !named_by(step).empty()))) first = &step;
  if (!first) return {};
  const Result<Against> known = life_of(job, named_by(*first));
  const auto& [life, stands_in] = known ? *known : Against{usual_life_of(job.instrument), true};
  const auto found = wear_plausibility(run, bench, life);
  if (!found) return {};
  std::vector<Note> notes = notes_on_wear(*found);
  if (!stands_in || notes.empty()) return notes;
  double most_s = 0;
  for (const TouchTime& touch : life.touches)
    if (touch.by == Touch::forearm || touch.by == Touch::picking_hand) most_s = std::max(most_s, touch.time_s);
  notes.insert(
      notes.begin(),
      {Severity::caution,
       fmt::format("{}. Its wear is compared with a guess: an ordinary player's {:.0f} years and {:.0f} hours of "
                   "play. Trust the places, not the areas. Run `life` and name its answer in the step.",
                   job.lives.empty() ? "The job gives no history of use for the instrument"
                                     : "The job gives several histories of use and the step names none of them",
                   life.age_s / unit::year.scale, most_s / 3600),
       first->id});
  return notes;
}

/// What is known of every coat beside its film: the spread the survey gives, and what its dust would hold.
std::map<std::string, CoatFacts> facts_of_coats(const Job& job, const Bench& bench,
                                                const std::map<std::string, Run>& runs) {
  std::map<std::string, CoatFacts> facts;
  for (const ExistingCoat& coat : job.coats)
    if (coat.thickness_m > 0) facts[coat.name].spread_share = coat.spread_m / coat.thickness_m;
  const auto look = [&](const Film& film) {
    for (const FilmLayer& layer : film.layers)
      if (const auto paint = paint_of(layer.mixture, bench, "")) {
        CoatFacts& coat = facts[layer.provenance.laid_by];
        if (coat.hazard.empty()) coat.hazard = dust_hazard(*paint, layer.provenance.origin);
        if (!coat.softness) coat.softness = softness_of(*paint, bench.library);
      }
  };
  for (const auto& [plan, run] : runs) look(run.steps.back().film);
  return facts;
}

struct Coarse {
  Bench bench;
  Film film;                ///< as found
  std::vector<Note> notes;  ///< on the body
};
/// The table of a job in which a line of its file stands; empty: none could be read.
std::string table_at(const Tree& tree, int line) {
  std::string table;
  int nearest = 0;
  const auto look = [&](const std::string& key, int begins) {
    if (begins <= line && begins >= nearest) nearest = begins, table = key;
  };
  for (const Tree::Entry& e : tree.table) {
    look(e.key, e.line);
    for (const Tree& item : e.value.list) look(e.key, item.line);
  }
  return table;
}

/// Whether a fault may have kept one of these tables from being read. A line that is no TOML is a fault of the table it
/// stands in.
bool touches(const Opening& opening, std::initializer_list<std::string_view> tables) {
  return std::any_of(opening.faults.begin(), opening.faults.end(), [&](const Error& fault) {
    const std::string key = fault.where.key.empty() ? table_at(opening.opened.tree, fault.where.line) : fault.where.key;
    return key.empty() ||
           std::any_of(tables.begin(), tables.end(), [&](std::string_view t) { return key.starts_with(t); });
  });
}

/// A coarse body shows every fault of the body file and of the places the job names, quickly. Of a job with faults,
/// what they do not touch.
Result<std::optional<Coarse>> coarsely(Opening& opening, const Library& library, const StopCheck& stop = {}) {
  OpenedJob& opened = opening.opened;
  if (touches(opening, {"body"})) return std::optional<Coarse>{};
  if (touches(opening, {"survey"})) opened.job.survey.clear();
  if (touches(opening, {"parts"})) opened.job.parts.clear();
  const bool coats = !touches(opening, {"coats", "mixtures", "contents", "shelf", "shop"});
  const auto built = body_of(opened, std::max(coarse_pitch_m, opened.job.body.pitch_m), stop);
  if (!built) return built.errors();
  if (!coats) return std::optional<Coarse>{};
  Bench bench = bench_of(opened.job, built->body, library);
  auto film = existing_film(opened.job.coats, bench, opened.job.grime_kg_m2);
  if (!film) return opened.located(film.errors());
  return std::optional<Coarse>(Coarse{std::move(bench), std::move(film).value(), built->notes});
}

}  // namespace

std::string data_folder() {
  // Nothing in the program sets an environment variable, so reading one from several threads is safe.
  if (const char* given = std::getenv("WITNESSLINE_DATA")) return given;  // NOLINT(concurrency-mt-unsafe)
  std::error_code error;
  const fs::path program = fs::read_symlink("/proc/self/exe", error).parent_path();
  for (const fs::path& guess : {program / "../share/witnessline", program / "../../data", program / "../data"})
    if (fs::exists(guess / "materials", error)) return guess.lexically_normal().string();
  return "data";
}

Result<Job> validate(const std::string& job_path, const StopCheck& stop, std::vector<Note>* notes) {
  const auto library = read_library(data_folder());
  if (!library) return library.errors();
  Opening opening = begin_to_open(job_path, *library);
  // The body and what lies on it are tried beside other faults of the job, so that one run shows all of them.
  const auto before = coarsely(opening, *library, stop);
  if (!before) opening.faults.insert(opening.faults.end(), before.errors().begin(), before.errors().end());
  if (before && *before && notes != nullptr) *notes = (*before)->notes;
  if (!opening.faults.empty()) return std::move(opening.faults);
  return std::move(opening.opened.job);
}

Result<Done> try_plans(const std::string& job_path) {
  const auto library = read_library(data_folder());
  if (!library) return library.errors();
  Opening opening = begin_to_open(job_path, *library);
  const auto before = coarsely(opening, *library);
  if (!before || !*before || touches(opening, {"lives"})) return Done{};  // validate() says why
  std::vector<Error> why;
  for (const Plan& plan : opening.opened.job.plans) {
    if (touches(opening, {"plans." + plan.id + ".", "plans["})) continue;
    Result<Run> run = bench::run(plan, (*before)->film, (*before)->bench);
    if (run) continue;
    for (Error& error : opening.opened.located(run.errors())) why.push_back(std::move(error));
  }
  if (!why.empty()) return why;
  return Done{};
}

Result<Worked> simulate(const std::string& job_path, const Progress& progress, const StopCheck& stop) {
  const auto report_progress = [&](const std::string& what, double done) {
    if (progress) progress(what, done);
  };
  report_progress("reading the job", 0.0);
  auto library = read_library(data_folder());
  if (!library) return library.errors();
  auto opened = open_job(job_path, *library);
  if (!opened) return opened.errors();
  Job& job = opened->job;
  report_progress("making the body", 0.02);
  auto built = body_of(*opened, stop);
  if (!built) return built.errors();
  const auto coarse = body_of(*opened, std::max(coarse_pitch_m, job.body.pitch_m), stop);
  if (!coarse) return coarse.errors();
  Bench bench = bench_of(job, built->body, *library);
  bench.shelter = shelter_of(job, built->body);
  auto before = existing_film(job.coats, bench, job.grime_kg_m2);
  if (!before) return opened->located(before.errors());

  std::vector<ExistingCoat> even = job.coats;
  for (ExistingCoat& coat : even) coat.spread_m = 0;
  auto mean_before = existing_film(even, bench, job.grime_kg_m2);
  if (!mean_before) return opened->located(mean_before.errors());

  Palette palette(*library);
  std::map<std::string, Run> runs;
  Outcome outcome;
  outcome.job = job.id, outcome.title = job.title, outcome.invented = job.invented;
  outcome.notes = built->notes;
  hold_readings_to_coats(job, outcome.notes);
  for (Note& note : notes_on_parts(job)) outcome.notes.push_back(std::move(note));
  const ViewContext view_context{built->body, bench.woods, palette, Lamp::D65, job.target.observer};
  for (std::size_t p = 0; p < job.plans.size(); ++p) {
    const Plan& plan = job.plans[p];
    const double share = 0.9 / static_cast<double>(job.plans.size()), start = 0.1 + share * static_cast<double>(p);
    report_progress(plan.title, start);
    Result<Run> run = bench::run(plan, *before, bench, [&](int done, int total) {
      report_progress(plan.title, start + 0.4 * share * done / total);
    });
    if (!run) {
      PlanOutcome refused;
      refused.id = plan.id, refused.title = plan.title, refused.summary = plan.summary, refused.runs = false;
      for (Error& error : opened->located(run.errors())) {
        const std::string about = std::exchange(error.where.key, {});
        error.where.file = fs::path(error.where.file).filename().string();
        refused.notes.push_back({Severity::danger, error.text(), about});
      }
      outcome.plans.push_back(std::move(refused));
      continue;
    }
    const auto facts = facts_of_coats(job, bench, {{plan.id, *run}});
    auto readings = outcome_of(plan, *run, job, *library, view_context, ColoursRead::all, {&*mean_before, facts});
    if (!readings) return readings.errors();
    PlanOutcome& worked = *readings;
    for (Note& note : notes_on_wear_of(plan, *run, bench, job)) worked.notes.push_back(std::move(note));
    report_progress(plan.title + ": bands", start + 0.7 * share);
    add_bands(worked, plan, job, *library, coarse->body);
    outcome.plans.push_back(std::move(worked));
    runs.emplace(plan.id, std::move(*run));
  }
  report_progress("done", 1.0);
  auto facts = facts_of_coats(job, bench, runs);
  auto woods = bench.woods;
  auto untouched = as_if_untouched(job, bench);
  if (!untouched) return untouched.errors();
  FittingMesh fittings = fittings_of(job, built->body);
  return Worked(std::make_shared<Worked::Data>(
      Worked::Data{std::move(job), std::move(*library), std::move(built->body), std::move(palette), std::move(woods),
                   std::move(*before), std::move(*mean_before), std::move(facts), std::move(runs), std::move(outcome),
                   std::move(*untouched), std::move(fittings)}));
}

Worked::Worked(std::shared_ptr<const Data> data) : data_(std::move(data)) {}
const Job& Worked::job() const { return data_->job; }
const Outcome& Worked::outcome() const { return data_->outcome; }
const Body& Worked::body() const { return data_->body; }
const Library& Worked::library() const { return data_->library; }

const Film* Worked::film(const std::string& plan, std::size_t step) const {
  const auto run = data_->runs.find(plan);
  return run == data_->runs.end() || step >= run->second.steps.size() ? nullptr : &run->second.steps[step].film;
}

std::vector<std::uint8_t> Worked::glb(const std::string& plan, std::size_t step, std::size_t most_vertices) const {
  const Film* film = this->film(plan, step);
  return film ? view::glb(*film, data_->view_context(), most_vertices) : std::vector<std::uint8_t>{};
}

std::vector<std::array<std::uint8_t, 3>> Worked::colours(const std::string& plan, std::size_t step, Lamp lamp) const {
  const Film* film = this->film(plan, step);
  if (!film) return {};
  ViewContext view_context = data_->view_context();
  view_context.lamp = lamp;
  return vertex_colours(*film, view_context);
}

Result<ColumnReading> Worked::column(const std::string& plan, std::size_t step, Vec3 near) const {
  if (!film(plan, step)) return Error{fmt::format("plan '{}' has no step {}", plan, step), {}, "", "select a step"};
  std::vector<const Film*> history;
  for (std::size_t i = 0; i <= step; ++i) history.push_back(film(plan, i));
  return column_at(history, data_->view_context(), data_->body.nearest(std::array{near}).front(), data_->survey());
}

std::vector<float> Worked::stop_depths_m(const std::string& plan, std::size_t step,
                                         std::span<const std::uint32_t> vertices) const {
  if (!film(plan, step)) return {};
  std::vector<const Film*> history;
  for (std::size_t i = 0; i <= step; ++i) history.push_back(film(plan, i));
  return view::stop_depths_m(history, data_->body, data_->survey(), vertices);
}

Result<std::vector<float>> Worked::worn_depths_m(const std::string& plan, std::size_t step, const std::string& life,
                                                 const std::vector<Touch>& touches,
                                                 std::span<const std::uint32_t> vertices) const {
  const Film* film = this->film(plan, step);
  if (!film) return Error{fmt::format("plan '{}' has no step {}", plan, step), {}, "", "select a step"};
  const auto against = life_of(data_->job, life);
  if (!against) return against.errors();
  const auto lived = touched_only(against->life, touches);
  if (!lived) return lived.errors();
  Bench bench = bench_of(data_->job, data_->body, data_->library);
  bench.shelter = shelter_of(data_->job, data_->body);
  const auto all = contact_wear_m(*film, bench, *lived);
  if (!all) return all.errors();
  std::vector<float> depths_m;
  for (const std::uint32_t vertex : vertices) depths_m.push_back(all->at(vertex));
  return depths_m;
}

Image Worked::still(const std::string& plan, std::size_t step, Face face, Light light, StillSize size,
                    bool fitted) const {
  const Film* film = this->film(plan, step);
  return film ? view::still(*film, data_->view_context(), face, light, size, fitted ? &data_->fittings : nullptr)
              : Image{};
}

Image Worked::still_untouched(Face face, Light light, StillSize size, bool fitted) const {
  return data_->untouched ? view::still(*data_->untouched, data_->view_context(), face, light, size,
                                        fitted ? &data_->fittings : nullptr)
                          : Image{};
}

}  // namespace witnessline::app

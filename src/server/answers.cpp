#include "server/answers.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <filesystem>
#include <sstream>
#include <variant>

#include "app/verb.h"
#include "bench/fingerprint.h"
#include "job/write.h"
#include "server/maps.h"
#include "server/query.h"
#include "server/render_cache.h"

namespace witnessline::server {
namespace {

std::vector<std::string> parts_of(const std::string& path) {
  std::vector<std::string> parts;
  std::istringstream in(path);
  for (std::string part; std::getline(in, part, '/');)
    if (!part.empty()) parts.push_back(part);
  return parts;
}

/// What is drawn of a job holds as long as this stays the same.
std::string state_of(const DeskEntry& entry) { return fmt::format("{}{}", entry.version, entry.changed ? "*" : ""); }

Answer column(const Worked& worked, const std::string& plan, std::size_t step, const Query& query, bool drawn) {
  constexpr float reach_m = 10;  // no instrument is larger
  Vec3 at;
  for (const auto& [key, part] : {std::pair{"x", &at.x}, {"y", &at.y}, {"z", &at.z}}) {
    const auto value = number<float>(query, key, -reach_m, reach_m);
    if (!value) return bad_query(key, "metres in the body's frame");
    *part = *value;
  }
  const auto bench_units = units(query);
  if (!bench_units) return bad_query("units", "metric or us");
  const Result<ColumnReading> reading = worked.column(plan, step, at);
  if (!reading) return refusal(422, reading.errors());
  if (drawn) return {200, "image/svg+xml", section_svg(*reading, *bench_units)};
  return json(to_json(*reading));
}

enum class YesNo { no, yes };
constexpr auto words(const YesNo*) { return std::array{"no", "yes"}; }

/// What a still is asked for.
struct StillAsked {
  Face face{};
  Light light{};
  StillSize size{450, 600, 8};
  bool fitted = false;
  std::string text() const {
    return fmt::format("{} {} {}x{} {}", word_for(face), word_for(light), size.width, size.height, fitted);
  }
};
std::variant<StillAsked, Answer> still_asked(const std::string& file, const Query& query) {
  constexpr std::string_view ending = ".png";
  const auto face = file.ends_with(ending) ? word<Face>(file.substr(0, file.size() - ending.size())) : std::nullopt;
  if (!face) return not_found("no such still", "front.png, back.png, side.png or three_quarter.png");
  const auto light = word<Light>(query("light").value_or("window"));
  if (!light) return bad_query("light", "window, lamp or stage");
  const auto fitted = word<YesNo>(query("fitted").value_or("no"));
  if (!fitted) return bad_query("fitted", "yes or no");
  StillAsked asked{*face, *light, {450, 600, 8}, *fitted == YesNo::yes};
  for (const auto& [key, side] : {std::pair{"width", &asked.size.width}, {"height", &asked.size.height}}) {
    if (!query(key)) continue;
    const auto value = number<int>(query, key, 32, 2000);
    if (!value) return bad_query(key, "32 to 2000 pixels");
    *side = *value;
  }
  return asked;
}

Answer picture(const Image& image) {
  if (image.width == 0)
    return not_found("no original coat is found on it", "List the coats you found in the job file.");
  const auto png = to_png(image);
  return {200, "image/png", std::string(png.begin(), png.end())};
}

/// States that are equal share their stills, whatever plan they belong to.
Answer still(RenderCache& drawn, const DeskEntry& entry, const std::string& plan, std::size_t step,
             const std::string& file, const Query& query) {
  const auto read = still_asked(file, query);
  if (const auto* refused = std::get_if<Answer>(&read)) return *refused;
  const StillAsked& asked = std::get<StillAsked>(read);
  const auto state = fingerprint(*entry.worked->film(plan, step));
  return drawn.get(entry.id, state_of(entry), fmt::format("still {:x} {}", state, asked.text()), [&] {
    return picture(entry.worked->still(plan, step, asked.face, asked.light, asked.size, asked.fitted));
  });
}

Answer untouched_still(RenderCache& drawn, const DeskEntry& entry, const std::string& file, const Query& query) {
  const auto read = still_asked(file, query);
  if (const auto* refused = std::get_if<Answer>(&read)) return *refused;
  const StillAsked& asked = std::get<StillAsked>(read);
  return drawn.get(entry.id, state_of(entry), "as if untouched " + asked.text(), [&] {
    return picture(entry.worked->still_untouched(asked.face, asked.light, asked.size, asked.fitted));
  });
}

/// Thickness by region through the steps of a plan, in the unit asked for: what a chart needs.
Answer thickness_course(const PlanOutcome& plan, const Query& query) {
  const auto bench_units = units(query);
  if (!bench_units) return bad_query("units", "metric or us");
  const Unit unit = shown_unit(Quantity::film_thickness, *bench_units);
  Tree steps = Tree::empty_list(), regions = Tree::empty_table();
  for (const StepOutcome& step : plan.steps) steps.list.push_back(Tree::of(step.id));
  if (!plan.steps.empty()) {
    for (const ThicknessReading& first : plan.steps.front().thickness) {
      Tree p5 = Tree::empty_list(), median = p5, p95 = p5;
      for (const StepOutcome& step : plan.steps) {
        const auto reading = std::find_if(step.thickness.begin(), step.thickness.end(),
                                          [&](const ThicknessReading& r) { return r.region == first.region; });
        const auto add = [&](Tree& list, Figure ThicknessReading::*part) {
          list.list.push_back(reading == step.thickness.end() ? Tree{}
                                                              : Tree::of(unit.from_si(((*reading).*part).value)));
        };
        add(p5, &ThicknessReading::p5), add(median, &ThicknessReading::median), add(p95, &ThicknessReading::p95);
      }
      Tree region = Tree::empty_table();
      region.put("p5", std::move(p5)), region.put("median", std::move(median)), region.put("p95", std::move(p95));
      regions.put(first.region, std::move(region));
    }
  }
  Tree course = Tree::empty_table();
  course.put("unit", Tree::of(std::string(unit.symbol)));
  course.put("steps", std::move(steps));
  course.put("regions", std::move(regions));
  return json(print_json(course));
}

/// One of several words in a query; `usual` where it is absent.
template <class Enum>
std::optional<Enum> chosen(const Query& query, const std::string& key, Enum usual) {
  const auto asked = query(key);
  if (!asked) return usual;
  const auto all = words(&usual);
  const auto found = std::find(all.begin(), all.end(), *asked);
  return found == all.end() ? std::nullopt : std::optional(static_cast<Enum>(found - all.begin()));
}

Answer paper(RenderCache& drawn, const DeskEntry& entry, std::string name, const Query& query) {
  const bool pdf = name.ends_with(".pdf");
  if (pdf) name.resize(name.size() - 4);
  const auto bench_units = units(query);
  if (!bench_units) return bad_query("units", "metric or us");
  const auto sheet = chosen(query, "sheet", usual_sheet(*bench_units));
  if (!sheet) return bad_query("sheet", "a4 or letter");
  const Paper any{};
  const auto names = words(&any);
  const auto found = std::find(names.begin(), names.end(), name);
  if (found == names.end()) return not_found("no paper of this name", "See the list in docs/api.md.");
  const auto which = static_cast<Paper>(found - names.begin());
  const std::string plan = query("plan").value_or("");
  return drawn.get(
      entry.id, state_of(entry),
      fmt::format("paper {}{} {} {} {}", name, pdf ? ".pdf" : "", plan, word_for(*bench_units),
                  words(&*sheet)[static_cast<std::size_t>(*sheet)]),
      [&] {
        const auto page = paper_page(*entry.worked, which, plan, *bench_units, *sheet);
        if (!page) return not_found("this plan has no such paper", "Select another plan or paper.");
        if (!pdf) return Answer{200, "text/html; charset=utf-8", *page};
        auto printed = pdf_of(*page);
        return printed ? Answer{200, "application/pdf", std::move(*printed)} : refusal(500, printed.errors());
      });
}

Answer source(const Query& query) {
  const auto library = read_library(data_folder());
  if (!library) return refusal(500, library.errors());
  const std::string key = query("key").value_or("");
  const Source* known = library->source(key);
  if (!known) return not_found(fmt::format("no source '{}'", key), "It is ESTIMATE, or a reading taken in the shop.");
  Tree tree = Tree::empty_table();
  for (const auto& [name, value] : {std::pair{"key", &known->key},
                                    {"title", &known->title},
                                    {"author", &known->author},
                                    {"year", &known->year},
                                    {"where", &known->where},
                                    {"note", &known->note}})
    tree.put(name, Tree::of(*value));
  return json(print_json(tree));
}

Answer of_step(RenderCache& drawn, const DeskEntry& entry, const std::string& plan,
               const std::vector<std::string>& parts, const Query& query) {
  // parts: api jobs ID plans PLAN steps STEP what [file]
  std::size_t step = 0;
  const std::string& text = parts[6];
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), step);
  if (fault != std::errc{} || end != text.data() + text.size() || !entry.worked->film(plan, step))
    return not_found(fmt::format("plan '{}' has no step '{}'", plan, text), "Select a step.");
  const std::string& what = parts[7];
  const auto once = [&](const std::string& question, const std::function<Answer()>& draw) {
    return drawn.get(entry.id, state_of(entry), fmt::format("{} {} {} {}", plan, step, what, question), draw);
  };
  if (what == "colours" && parts.size() == 8)
    return once(query("lamp").value_or(""), [&] { return colours_answer(entry, plan, step, query); });
  if (what == "stops" && parts.size() == 8) return once("", [&] { return stop_map(entry, plan, step); });
  if (what == "wear" && parts.size() == 8)
    return once(query("life").value_or("") + " " + query("touches").value_or(""),
                [&] { return wear_map(entry, plan, step, query); });
  if (what == "column" && parts.size() == 8) return column(*entry.worked, plan, step, query, false);
  if (what == "section.svg" && parts.size() == 8) return column(*entry.worked, plan, step, query, true);
  if (what == "still" && parts.size() == 9) return still(drawn, entry, plan, step, parts[8], query);
  if (what == "body.glb" && parts.size() == 8)
    return once("", [&] {
      const auto bytes = entry.worked->glb(plan, step, 0);
      return Answer{200, "model/gltf-binary", std::string(bytes.begin(), bytes.end())};
    });
  return not_found("unknown reading", "See the list in docs/api.md.");
}

Answer of_plan(RenderCache& drawn, const DeskEntry& entry, const std::vector<std::string>& parts, const Query& query) {
  // parts: api jobs ID plans PLAN ...
  const auto& plans = entry.worked->outcome().plans;
  const auto plan = std::find_if(plans.begin(), plans.end(), [&](const PlanOutcome& p) { return p.id == parts[4]; });
  if (plan == plans.end()) return not_found(fmt::format("no plan '{}'", parts[4]), "Select a plan.");
  if (parts.size() == 6 && parts[5] == "thickness") return thickness_course(*plan, query);
  if (parts.size() >= 8 && parts[5] == "steps") return of_step(drawn, entry, plan->id, parts, query);
  return not_found("unknown reading", "See the list in docs/api.md.");
}

Answer of_job(JobQueue& desk, RenderCache& drawn, Method method, const std::vector<std::string>& parts,
              const Query& query) {
  // parts: api jobs ID ...
  const auto entry = desk.find(parts[2]);
  if (!entry) return not_found(fmt::format("no job '{}'", parts[2]), "Go back to the list of jobs.");
  if (method == Method::post) {
    if (parts.size() != 4 || parts[3] != "work")
      return not_found("nothing can be posted to this address", "See docs/api.md.");
    desk.work_out(entry->id);
    return json(to_json(*desk.find(entry->id)), 202);
  }
  if (parts.size() == 3) return json(to_json(*entry));
  if (!entry->worked) {
    if (!entry->errors.empty()) return refusal(409, entry->errors);
    return refusal(409,
                   {{"the job has not been simulated yet", {entry->file, 0, 0, ""}, "", "Open it from the list."}});
  }
  if (parts.size() == 4) {
    if (parts[3] == "outcome") return json(outcome_json(entry->worked->outcome()));
    if (parts[3] == "mesh") return mesh_answer(*entry->mesh);
    if (parts[3] == "lives") return lives_answer(entry->worked->job());
  }
  if (parts.size() == 5 && parts[3] == "papers") return paper(drawn, *entry, parts[4], query);
  if (parts.size() == 5 && parts[3] == "as_if_untouched") return untouched_still(drawn, *entry, parts[4], query);
  if (parts.size() >= 5 && parts[3] == "plans") return of_plan(drawn, *entry, parts, query);
  return not_found("unknown reading", "See the list in docs/api.md.");
}

Answer of_verbs(JobQueue& desk, Method method, const std::vector<std::string>& parts, const Query& query,
                const std::string& body) {
  // parts: api verbs [WORD]
  if (parts.size() == 2 && method == Method::get) {
    Tree words = Tree::empty_list();
    for (const Verb& verb : verbs()) {
      Tree one = Tree::empty_table();
      one.put("word", Tree::of(verb.word)), one.put("about", Tree::of(verb.about));
      words.list.push_back(std::move(one));
    }
    Tree tree = Tree::empty_table();
    tree.put("verbs", std::move(words));
    return json(print_json(tree));
  }
  const Verb* verb = parts.size() == 3 ? find_verb(parts[2]) : nullptr;
  if (verb == nullptr) return not_found("unknown question", "GET /api/verbs lists them.");
  if (method == Method::get) {
    const auto example = example_request(*verb);
    if (!example) return refusal(404, example.errors());
    Tree tree = Tree::empty_table();
    tree.put("word", Tree::of(verb->word)), tree.put("about", Tree::of(verb->about));
    tree.put("example", *example), tree.put("asks", tree_of_shape(verb->asks));
    tree.put("answers", tree_of_shape(verb->answers));
    return json(print_json(tree));
  }
  const auto bench_units = units(query);
  if (!bench_units) return bad_query("units", "metric or us");
  std::string folder = example_folder();
  if (const auto job = query("job")) {
    const auto entry = desk.find(*job);
    if (!entry) return not_found(fmt::format("no job '{}'", *job), "Go back to the list of jobs.");
    folder = std::filesystem::path(entry->file).parent_path().string();
  }
  const auto answered = ask_json(*verb, body, folder, *bench_units, today_by_the_clock());
  if (!answered) return refusal(422, answered.errors());
  Tree tree = Tree::empty_table();
  tree.put("answer", answered->answer), tree.put("text", Tree::of(answered->text));
  return json(print_json(tree));
}

}  // namespace

Answer refusal(int status, const std::vector<Error>& errors) {
  Tree tree = Tree::empty_table();
  tree.put("errors", tree_of(errors));
  return json(print_json(tree), status);
}

bool is_light(Method method, const std::string& path) {
  const auto parts = parts_of(path);
  if (parts.size() >= 2 && parts[1] == "verbs") return method == Method::get;
  if (parts.size() < 4 || parts[1] != "jobs") return true;
  return parts.size() == 4 && (parts[3] == "work" || parts[3] == "outcome" || parts[3] == "lives");
}

Answer answer(JobQueue& desk, RenderCache& drawn, Method method, const std::string& path, const Query& query,
              const std::string& body) {
  const auto parts = parts_of(path);
  if (parts.size() == 2 && parts[1] == "source" && method == Method::get) return source(query);
  if (parts.size() == 2 && parts[1] == "stop_legend" && method == Method::get) return stop_legend(query);
  if (parts.size() == 2 && parts[1] == "wear_legend" && method == Method::get) return wear_legend(query);
  if (parts.size() >= 2 && parts[1] == "verbs") return of_verbs(desk, method, parts, query, body);
  if (parts.size() >= 3 && parts[1] == "jobs") return of_job(desk, drawn, method, parts, query);
  if (parts.size() == 2 && parts[1] == "jobs" && method == Method::get) {
    Tree tree = Tree::empty_table();
    tree.put("jobs", tree_of(desk.all()));
    return json(print_json(tree));
  }
  return not_found("unknown address", "See the list in docs/api.md.");
}

}  // namespace witnessline::server

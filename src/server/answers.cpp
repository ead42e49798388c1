#include "server/answers.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <bit>
#include <charconv>
#include <cmath>
#include <cstring>
#include <filesystem>
#include <sstream>

#include "app/verb.h"
#include "job/write.h"

namespace witnessline {
namespace {

static_assert(std::endian::native == std::endian::little, "the mesh goes out as it lies in memory");

std::vector<std::string> parts_of(const std::string& path) {
  std::vector<std::string> parts;
  std::istringstream in(path);
  for (std::string part; std::getline(in, part, '/');)
    if (!part.empty()) parts.push_back(part);
  return parts;
}

Answer not_found(const std::string& what, const std::string& mend) { return refusal(404, {{what, {}, "", mend}}); }
Answer bad_query(const std::string& key, const std::string& expected) {
  return refusal(400, {{"the request cannot be understood", {"", 0, 0, key}, expected, "Load the page again."}});
}
Answer json(std::string body, int status = 200) { return {status, "application/json", std::move(body)}; }

template <class T>
std::optional<T> number(const Query& query, const std::string& key, T low, T high) {
  const auto text = query(key);
  if (!text) return std::nullopt;
  T value{};
  const auto [end, fault] = std::from_chars(text->data(), text->data() + text->size(), value);
  if (fault != std::errc{} || end != text->data() + text->size()) return std::nullopt;
  if (!(value >= low && value <= high)) return std::nullopt;  // refuses NaN too
  return value;
}

template <class Word>
std::optional<Word> word(const std::string& text) {
  const auto known = words(static_cast<const Word*>(nullptr));
  for (std::size_t i = 0; i < known.size(); ++i)
    if (text == known[i]) return static_cast<Word>(i);
  return std::nullopt;
}

enum class YesNo { no, yes };
constexpr auto words(const YesNo*) { return std::array{"no", "yes"}; }

std::optional<BenchUnits> units(const Query& query) { return word<BenchUnits>(query("units").value_or("metric")); }

template <class T>
void append(std::string& bytes, const std::vector<T>& values) {
  bytes.append(reinterpret_cast<const char*>(values.data()), values.size() * sizeof(T));
}

Answer mesh(const LightMesh& mesh) {
  std::string bytes = "WLM1";
  append(bytes, std::vector{static_cast<std::uint32_t>(mesh.positions.size()),
                            static_cast<std::uint32_t>(mesh.triangles.size())});
  append(bytes, mesh.positions);
  append(bytes, mesh.normals);
  append(bytes, mesh.triangles);
  return {200, "application/octet-stream", std::move(bytes)};
}

Answer colours(const DeskEntry& entry, const std::string& plan, std::size_t step, const Query& query) {
  const auto lamp = word<Lamp>(query("lamp").value_or("D65"));
  if (!lamp) return bad_query("lamp", "A, D50, D65 or LED-B3");
  const auto all = entry.worked->colours(plan, step, *lamp);
  std::string bytes;
  bytes.reserve(entry.mesh->source_vertex.size() * 3);
  for (const std::uint32_t vertex : entry.mesh->source_vertex)
    bytes.append(reinterpret_cast<const char*>(all.at(vertex).data()), 3);
  return {200, "application/octet-stream", std::move(bytes)};
}

/// A map of stop depths has few colours: this many depths, and one for what tape or a plug covers.
constexpr std::array stop_steps_m{0.0, 10e-6, 20e-6, 40e-6, 80e-6};

Answer stop_map(const DeskEntry& entry, const std::string& plan, std::size_t step) {
  const std::vector<std::uint32_t>& vertices = entry.mesh->source_vertex;
  const std::vector<float> depths_m = entry.worked->stop_depths_m(plan, step, vertices);
  const Field<std::uint8_t>& masking = entry.worked->film(plan, step)->masking;
  std::string bytes(vertices.size(), '\0');
  for (std::size_t i = 0; i < vertices.size(); ++i) {
    const bool covered = masking[vertices[i]] != static_cast<std::uint8_t>(Masking::bare);
    const auto deeper = [&](double step_m) { return static_cast<double>(depths_m[i]) > step_m; };
    bytes[i] = static_cast<char>(covered ? stop_steps_m.size() + 1
                                         : std::count_if(stop_steps_m.begin(), stop_steps_m.end(), deeper));
  }
  return {200, "application/octet-stream", std::move(bytes)};
}

/// What the numbers of a stop map mean, in words.
Answer stop_legend(const Query& query) {
  const auto bench_units = units(query);
  if (!bench_units) return bad_query("units", "metric or us");
  const auto said = [&](double si_m) { return show(si_m, Quantity::film_thickness, *bench_units); };
  Tree words = Tree::empty_list();
  words.list.push_back(Tree::of(std::string("cut nothing")));
  for (std::size_t i = 1; i < stop_steps_m.size(); ++i)
    words.list.push_back(Tree::of("up to " + said(stop_steps_m[i])));
  words.list.push_back(Tree::of("over " + said(stop_steps_m.back())));
  words.list.push_back(Tree::of(std::string("under tape or a plug")));
  Tree legend = Tree::empty_table();
  legend.put("words", std::move(words));
  return json(print_json(legend));
}

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

Answer still(const Worked& worked, const std::string& plan, std::size_t step, const std::string& file,
             const Query& query) {
  constexpr std::string_view ending = ".png";
  const auto face = file.ends_with(ending) ? word<Face>(file.substr(0, file.size() - ending.size())) : std::nullopt;
  if (!face) return not_found("no such still", "front.png, back.png, side.png or three_quarter.png");
  const auto light = word<Light>(query("light").value_or("window"));
  if (!light) return bad_query("light", "window, lamp or stage");
  const auto fitted = word<YesNo>(query("fitted").value_or("no"));
  if (!fitted) return bad_query("fitted", "yes or no");
  StillSize size{450, 600, 8};
  for (const auto& [key, side] : {std::pair{"width", &size.width}, {"height", &size.height}}) {
    if (!query(key)) continue;
    const auto value = number<int>(query, key, 32, 2000);
    if (!value) return bad_query(key, "32 to 2000 pixels");
    *side = *value;
  }
  const auto png = to_png(worked.still(plan, step, *face, *light, size, *fitted == YesNo::yes));
  return {200, "image/png", std::string(png.begin(), png.end())};
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

Answer report(const Worked& worked, const Query& query) {
  const auto bench_units = units(query);
  if (!bench_units) return bad_query("units", "metric or us");
  return {200, "text/html; charset=utf-8", report_page(worked, *bench_units)};
}

Answer source(const Query& query) {
  const auto library = read_library(data_folder());
  if (!library) return refusal(500, library.errors());
  const std::string key = query("key").value_or("");
  const Source* known = library->source(key);
  if (!known) return not_found(fmt::format("no source '{}'", key), "It is the word ESTIMATE or a reading of the shop.");
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

Answer of_step(const DeskEntry& entry, const std::string& plan, const std::vector<std::string>& parts,
               const Query& query) {
  // parts: api jobs ID plans PLAN steps STEP what [file]
  std::size_t step = 0;
  const std::string& text = parts[6];
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), step);
  if (fault != std::errc{} || end != text.data() + text.size() || !entry.worked->film(plan, step))
    return not_found(fmt::format("plan '{}' has no step '{}'", plan, text), "Choose a step of the strip.");
  const std::string& what = parts[7];
  if (what == "colours" && parts.size() == 8) return colours(entry, plan, step, query);
  if (what == "stops" && parts.size() == 8) return stop_map(entry, plan, step);
  if (what == "column" && parts.size() == 8) return column(*entry.worked, plan, step, query, false);
  if (what == "section.svg" && parts.size() == 8) return column(*entry.worked, plan, step, query, true);
  if (what == "still" && parts.size() == 9) return still(*entry.worked, plan, step, parts[8], query);
  if (what == "body.glb" && parts.size() == 8) {
    const auto bytes = entry.worked->glb(plan, step, 0);
    return {200, "model/gltf-binary", std::string(bytes.begin(), bytes.end())};
  }
  return not_found("no such reading", "docs/api.md lists what can be asked.");
}

Answer of_plan(const DeskEntry& entry, const std::vector<std::string>& parts, const Query& query) {
  // parts: api jobs ID plans PLAN ...
  const auto& plans = entry.worked->outcome().plans;
  const auto plan = std::find_if(plans.begin(), plans.end(), [&](const PlanOutcome& p) { return p.id == parts[4]; });
  if (plan == plans.end()) return not_found(fmt::format("no plan '{}'", parts[4]), "Choose a plan of the job.");
  if (parts.size() == 6 && parts[5] == "thickness") return thickness_course(*plan, query);
  if (parts.size() >= 8 && parts[5] == "steps") return of_step(entry, plan->id, parts, query);
  return not_found("no such reading", "docs/api.md lists what can be asked.");
}

Answer of_job(JobDesk& desk, Method method, const std::vector<std::string>& parts, const Query& query) {
  // parts: api jobs ID ...
  const auto entry = desk.find(parts[2]);
  if (!entry) return not_found(fmt::format("no job '{}'", parts[2]), "Go back to the list of jobs.");
  if (method == Method::post) {
    if (parts.size() != 4 || parts[3] != "work") return not_found("nothing to be done here", "See docs/api.md.");
    desk.work_out(entry->id);
    return json(to_json(*desk.find(entry->id)), 202);
  }
  if (parts.size() == 3) return json(to_json(*entry));
  if (!entry->worked) {
    if (!entry->errors.empty()) return refusal(409, entry->errors);
    return refusal(409, {{"the job is not worked out yet", {entry->file, 0, 0, ""}, "", "Open it from the list."}});
  }
  if (parts.size() == 4) {
    if (parts[3] == "outcome") return json(outcome_json(entry->worked->outcome()));
    if (parts[3] == "mesh") return mesh(*entry->mesh);
    if (parts[3] == "report") return report(*entry->worked, query);
  }
  if (parts.size() >= 5 && parts[3] == "plans") return of_plan(*entry, parts, query);
  return not_found("no such reading", "docs/api.md lists what can be asked.");
}

Answer of_verbs(JobDesk& desk, Method method, const std::vector<std::string>& parts, const Query& query,
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
  if (verb == nullptr) return not_found("no such verb", "GET /api/verbs lists them.");
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
  const auto answered = ask_json(*verb, body, folder, *bench_units);
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

Answer answer(JobDesk& desk, Method method, const std::string& path, const Query& query, const std::string& body) {
  const auto parts = parts_of(path);
  if (parts.size() == 2 && parts[1] == "source" && method == Method::get) return source(query);
  if (parts.size() == 2 && parts[1] == "stop_legend" && method == Method::get) return stop_legend(query);
  if (parts.size() >= 2 && parts[1] == "verbs") return of_verbs(desk, method, parts, query, body);
  if (parts.size() >= 3 && parts[1] == "jobs") return of_job(desk, method, parts, query);
  if (parts.size() == 2 && parts[1] == "jobs" && method == Method::get) {
    Tree tree = Tree::empty_table();
    tree.put("jobs", tree_of(desk.all()));
    return json(print_json(tree));
  }
  return not_found("no such address", "docs/api.md lists what can be asked.");
}

}  // namespace witnessline

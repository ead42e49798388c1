#include "papers/report.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "papers/ageing_card.h"
#include "papers/job_card.h"
#include "papers/page.h"
#include "papers/safety_sheet.h"
#include "papers/style.h"

namespace witnessline::papers {
namespace {

constexpr int thumbnail_px = 260, still_px = 620;
constexpr std::size_t most_thumbnails = 18;

std::string result_of(std::string word) {
  std::replace(word.begin(), word.end(), '_', ' ');
  return escaped(word);
}

std::string row(const std::string& head, const std::vector<std::string>& cells) {
  std::string html = "<tr><th scope=\"row\">" + head + "</th>";
  for (const std::string& cell : cells) html += "<td>" + cell + "</td>";
  return html + "</tr>";
}

double litres(const PlanOutcome& plan) {
  double volume_m3 = 0;
  for (const MaterialUse& use : plan.used)
    if (std::isfinite(use.volume.value)) volume_m3 += use.volume.value;
  return volume_m3;
}

std::string hold_boxes(const PlanOutcome& plan) {
  std::string html;
  for (const HoldPoint& hold : plan.open_hold_points) {
    std::string before;
    for (const std::string& b : hold.before) before += (before.empty() ? "" : ", ") + result_of(b);
    html += "<p class=\"hold\"><b>Open question, answer before " + before + ":</b> " + escaped(hold.question) + "</p>";
  }
  return html;
}

const PlanPictures* pictures_of(const ReportPictures& pictures, const std::string& plan) {
  for (const PlanPictures& p : pictures.plans)
    if (p.plan == plan) return &p;
  return nullptr;
}

std::string job_paragraph(const Job& job) {
  const Instrument& i = job.instrument;
  const bool vowel = !i.kind.empty() && std::string("aeiouAEIOU").find(i.kind.front()) != std::string::npos;
  std::string text = (vowel ? "An " : "A ") + i.kind;
  if (!i.year.empty()) text += " of " + i.year;
  if (!i.maker.empty()) text += " by " + i.maker;
  if (!i.owner.empty()) text += ", which belongs to " + i.owner;
  text += ". ";
  int original = 0, later = 0;
  for (const ExistingCoat& coat : job.coats) (coat.origin == Origin::original ? original : later)++;
  if (job.coats.empty())
    text += "It carries no finish.";
  else
    text += fmt::format("{} original coat{} and {} later one{} were found on it.", original, original == 1 ? "" : "s",
                        later, later == 1 ? "" : "s");
  if (!i.remark.empty()) text += " " + i.remark;
  return escaped(text);
}

std::string found_table(const Job& job, BenchUnits units) {
  if (job.coats.empty()) return {};
  std::string html =
      "<h3>Coats found, wood side first</h3><table><thead><tr><th>coat</th><th>made of</th><th>origin</th>"
      "<th class=\"n\">film</th><th>where</th></tr></thead><tbody>";
  for (const ExistingCoat& coat : job.coats) {
    std::string film = typeset(coat.thickness_m, Quantity::film_thickness, units);
    if (coat.spread_m > 0) film += " \u00b1 " + typeset(coat.spread_m, Quantity::film_thickness, units);
    html += fmt::format("<tr><td>{}</td><td>{}</td><td>{}</td><td class=\"n\">{}</td><td>{}</td></tr>",
                        escaped(coat.name), result_of(coat.mixture),
                        coat.origin == Origin::original ? "original" : "later", film, escaped(where_words(coat.where)));
  }
  return html + "</tbody></table>";
}

std::string side_by_side(const Outcome& outcome, const Job& job, Workings& workings) {
  std::string head = "<table><thead><tr><th></th>";
  for (const PlanOutcome& plan : outcome.plans)
    head += "<th>" + escaped(plan.title) + (plan.id == job.consent.plan ? "<br>agreed" : "") + "</th>";
  head += "</tr></thead><tbody>";
  const auto cells = [&](const auto& cell) {
    std::vector<std::string> all;
    for (const PlanOutcome& plan : outcome.plans)
      all.push_back(plan.runs ? cell(plan) : std::string("<span class=\"refused\">refused</span>"));
    return all;
  };
  using P = const PlanOutcome&;
  std::string html = head;
  html += row("Original finish kept", cells([&](P p) { return workings.cite(p.kept_fraction, p.title); }));
  const auto kept = [&](const char* what, Figure KeptReading::*part) {
    html += row(what, cells([&](P p) {
                  return p.steps.empty() ? std::string("-") : workings.cite(p.steps.back().kept.*part, p.title);
                }));
  };
  kept("of it in sight", &KeptReading::visible_area);
  kept("of it covered by an opaque coat", &KeptReading::buried_area);
  kept("melted into new finish", &KeptReading::dissolved_volume);
  html += row("Original finish cut, lifted or melted into",
              cells([&](P p) { return workings.cite(p.touched_fraction, p.title); }));
  html +=
      row("Colour difference to the target (Delta E 2000)",
          cells([&](P p) { return p.to_target ? workings.cite(*p.to_target, p.title) : std::string("no target"); }));
  html += row("From first to last day", cells([&](P p) { return workings.cite_days(p.days, p.title); }));
  html += row("Hours at the bench", cells([&](P p) { return workings.cite(p.hands_on, p.title); }));
  html += row("Waiting", cells([&](P p) { return workings.cite_days(p.waiting, p.title); }));
  html += row("Cost, shop's own currency", cells([&](P p) { return workings.cite(p.cost, p.title); }));
  html += row("Liquid used", cells([&](P p) {
                Figure f;
                f.name = "liquid used", f.value = litres(p), f.quantity = Quantity::film_volume;
                f.law = "sum of the materials used", f.kind = Kind::estimate;
                return workings.cite(f, p.title);
              }));
  html += row("Ready to begin", cells([](P p) {
                return p.ready ? std::string("yes") : std::string("<span class=\"refused\">not ready</span>");
              }));
  html += row("Open questions", cells([](P p) { return std::to_string(p.open_hold_points.size()); }));
  return html + "</tbody></table>";
}

std::string comparison(const PlanPictures& pictures) {
  if (!pictures.before.width) return {};
  std::string html = "<h3>Before, after, and if never refinished</h3><div class=\"trio\">";
  for (const auto& [image, name] : {std::pair{&pictures.before, "before"},
                                    {&pictures.after, "after"},
                                    {&pictures.untouched, "as if never refinished"}})
    if (image->width)
      html += "<figure>" + picture(*image, std::string("front, ") + name, still_px) + "<figcaption>" + name +
              "</figcaption></figure>";
  html += "</div>";
  if (pictures.untouched.width)
    html +=
        "<p class=\"kicker\">The last picture is an estimate. It shows the original coats with their light and grime, "
        "also where they are missing now, and no later coat. It leaves out wear.</p>";
  html += "<h3>The finished work in three lights</h3><div class=\"trio\">";
  for (const PlanPictures::InLight& one : pictures.lights)
    html += "<figure>" + picture(one.image, "finished, light: " + one.light, still_px) + "<figcaption>" +
            escaped(one.light) + "</figcaption></figure>";
  return html +
         "</div><p class=\"kicker\">Neck, strings and fittings are plain stand-ins. Colours are computed from the "
         "coats; grain, room and light are drawn in.</p>";
}

std::string strip(const PlanOutcome& plan, const PlanPictures& pictures) {
  std::string html = "<h3>After each step</h3><div class=\"strip\">";
  const std::size_t count = pictures.steps.size();
  for (std::size_t i = 0; i < count; ++i) {
    // A very long plan shows its beginning and its end.
    if (count > most_thumbnails && i >= most_thumbnails / 2 && i < count - most_thumbnails / 2) continue;
    const StepPictures& step = pictures.steps[i];
    const auto found =
        std::find_if(plan.steps.begin(), plan.steps.end(), [&](const StepOutcome& s) { return s.id == step.step; });
    const std::string word = found == plan.steps.end() ? step.step : found->word;
    const std::string caption = i == 0 ? "before" : std::to_string(i) + ". " + word + " \u2013 " + step.step;
    html += "<figure>" + picture(step.front, "front, " + caption, thumbnail_px) + "<figcaption>" + result_of(caption) +
            "</figcaption></figure>";
  }
  html += "</div>";
  if (!pictures.steps.empty()) {
    const StepPictures& last = pictures.steps.back();
    html +=
        "<h3>When it is done</h3><p class=\"kicker\">Colours are computed from the coats; grain, room and light are "
        "drawn in.</p><div class=\"trio\">";
    for (const auto& [image, name] : {std::pair{&last.front, "front"}, {&last.back, "back"}, {&last.side, "side"}})
      if (image->width)
        html += "<figure>" + picture(*image, std::string(name) + " when done", still_px) + "<figcaption>" + name +
                "</figcaption></figure>";
    html += "</div>";
  }
  return html;
}

std::string thickness_table(const StepOutcome& end, Workings& workings) {
  std::string html =
      "<h3>Thickness of all coats together, at the end</h3><table><thead><tr><th>region</th><th>area</th>"
      "<th>thinnest</th><th>5th percentile</th><th>median</th><th>95th percentile</th></tr></thead><tbody>";
  for (const ThicknessReading& t : end.thickness)
    html += fmt::format("<tr><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td></tr>",
                        result_of(t.region), workings.cite(t.area), workings.cite(t.min), workings.cite(t.p5),
                        workings.cite(t.median), workings.cite(t.p95));
  return html + "</tbody></table>";
}

std::string in_sight_table(const StepOutcome& start, const StepOutcome& end, Workings& workings) {
  std::string html =
      "<h3>Coats in sight: what rub-through has exposed</h3><table><thead><tr><th>outermost coat left</th>"
      "<th>origin</th><th>before</th><th>at the end</th></tr></thead><tbody>";
  for (const ExposedReading& now : end.exposed) {
    const auto then = std::find_if(start.exposed.begin(), start.exposed.end(), [&](const ExposedReading& e) {
      return e.coat == now.coat && e.origin == now.origin;
    });
    const bool was = then != start.exposed.end() && then->area.value > 0;
    if (!(now.area.value > 0) && !was) continue;
    const char* origin = now.coat == "wood"               ? "\u2013"
                         : now.origin == Origin::original ? "original"
                         : now.origin == Origin::later    ? "later"
                                                          : "this plan";
    html += fmt::format("<tr><td>{}</td><td>{}</td><td>{}</td><td>{}</td></tr>", result_of(now.coat), origin,
                        was ? workings.cite(then->area, "before") : "\u2013",
                        now.area.value > 0 ? workings.cite(now.area, "at the end") : "\u2013");
  }
  return html + "</tbody></table>";
}

std::string kept_table(const KeptReading& before, const KeptReading& after, Workings& workings) {
  std::string html =
      "<h3>Original finish kept</h3><table><thead><tr><th></th><th>before</th><th>at the end</th></tr></thead><tbody>";
  const auto line = [&](const char* name, const Figure& then, const Figure& now) {
    html += row(name, {workings.cite(then, "before"), workings.cite(now, "at the end")});
  };
  line("in sight, area", before.visible_area, after.visible_area);
  line("covered, area", before.buried_area, after.buried_area);
  line("in sight, volume", before.visible_volume, after.visible_volume);
  line("covered, volume", before.buried_volume, after.buried_volume);
  line("melted into new, volume", before.dissolved_volume, after.dissolved_volume);
  return html + "</tbody></table>";
}

std::string colour_table(const StepOutcome& end, const Job& job) {
  if (end.colours.empty()) return {};
  std::string html = "<h3>Colour at the end, mean of each place</h3><table><thead><tr><th>place</th>";
  for (const Lamp lamp : all_lamps)
    html += std::string("<th>") + words(&lamp)[static_cast<std::size_t>(lamp)] + "</th>";
  html += "</tr></thead><tbody>";
  for (const ColourReading& c : end.colours) {
    const auto byte = [](double v) { return static_cast<int>(std::lround(255 * std::clamp(v, 0.0, 1.0))); };
    html += fmt::format("<tr><td><span class=\"swatch\" style=\"background:rgb({},{},{})\"></span>{}</td>",
                        byte(c.srgb.r), byte(c.srgb.g), byte(c.srgb.b), result_of(c.region));
    for (const Lab& lab : c.lab) html += fmt::format("<td>{:.1f} / {:.1f} / {:.1f}</td>", lab.l, lab.a, lab.b);
    html += "</tr>";
  }
  const Observer observer = job.target.observer;
  return html +
         fmt::format(
             "</tbody></table><p class=\"kicker\">L* / a* / b* under each lamp, {} observer; computed from the mean "
             "reflectance of the place.</p>",
             words(&observer)[static_cast<std::size_t>(observer)]);
}

std::string used_table(const PlanOutcome& plan, Workings& workings) {
  if (plan.used.empty()) return {};
  std::string html =
      "<h3>Materials used</h3><table><thead><tr><th>material</th><th>volume</th><th>mass</th><th>left on the "
      "shelf</th><th>to have</th><th>chance it is enough</th></tr></thead><tbody>";
  for (const MaterialUse& use : plan.used) {
    const std::string name = use.name.empty() ? use.material : use.name;
    html += row(result_of(name),
                {workings.cite(use.volume, name), workings.cite(use.mass, name),
                 std::isfinite(use.left_on_shelf.value) ? workings.cite(use.left_on_shelf, name) : "not on the shelf",
                 std::isfinite(use.needed.value) ? workings.cite(use.needed, name) : "not sprayed",
                 std::isfinite(use.enough.value) ? workings.cite(use.enough, name) : "not known"});
  }
  return html + "</tbody></table>";
}

std::string hours_table(const PlanOutcome& plan, Workings& workings) {
  std::string html =
      "<h3>Step by step</h3><table><thead><tr><th>step</th><th>why</th><th>work</th><th>waiting</th>"
      "<th>original kept</th><th>Delta E</th></tr></thead><tbody>";
  for (std::size_t i = 1; i < plan.steps.size(); ++i) {
    const StepOutcome& s = plan.steps[i];
    const std::string place = plan.title + ", " + s.id;
    html += fmt::format("<tr><td>{}. {} \u2013 {}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td></tr>", i,
                        result_of(s.word), result_of(s.id), escaped(s.why), workings.cite(s.hands_on, place),
                        workings.cite(s.waiting, place), workings.cite(s.kept.kept_fraction, place),
                        s.to_target ? workings.cite(*s.to_target, place) : "\u2013");
  }
  return html + "</tbody></table>";
}

std::string plan_section(const PlanOutcome& plan, const Job& job, const PlanPictures* pictures, Workings& workings) {
  std::string html = "<section class=\"plan\"><h2>" + escaped(plan.title) + "</h2>";
  if (!plan.summary.empty()) html += "<p class=\"lead\">" + escaped(plan.summary) + "</p>";
  if (plan.id == job.consent.plan)
    html += "<p>The owner agreed to this plan" + (job.consent.date.empty() ? "" : " on " + escaped(job.consent.date)) +
            (job.consent.words.empty() ? "." : ": \u201c" + escaped(job.consent.words) + "\u201d") + "</p>";
  if (!plan.runs)
    return html + "<p class=\"refused\">This plan cannot be carried out.</p>" + note_boxes(plan.notes) + "</section>";
  html += note_boxes(plan.notes) + hold_boxes(plan);
  if (pictures) html += comparison(*pictures) + strip(plan, *pictures);
  if (!plan.steps.empty()) {
    const StepOutcome &start = plan.steps.front(), &end = plan.steps.back();
    html += hours_table(plan, workings) + thickness_table(end, workings) + "<div class=\"pair\"><div>" +
            in_sight_table(start, end, workings) + "</div><div>" + kept_table(start.kept, end.kept, workings) +
            "</div></div>" + colour_table(end, job);
  }
  html += used_table(plan, workings);
  if (pictures && !pictures->sections.empty()) {
    html += "<h3>Sections at chosen points</h3><div class=\"sections\">";
    for (const SectionPicture& s : pictures->sections)
      html += "<figure class=\"wide\">" + s.svg + "<figcaption>" + escaped(s.title) + "</figcaption></figure>";
    html += "</div>";
  }
  return html + "</section>";
}

std::vector<Note> grave_notes(const Outcome& outcome) {
  std::vector<Note> notes;
  const auto take = [&](const std::vector<Note>& from, const std::string& about) {
    for (const Note& note : from)
      if (note.severity == Severity::danger)
        notes.push_back({note.severity, note.text, about.empty() ? note.about : about});
  };
  take(outcome.notes, "");
  for (const PlanOutcome& plan : outcome.plans) take(plan.notes, plan.title);
  return notes;
}

}  // namespace

std::string report_html(const Outcome& outcome, const Job& job, const ReportPictures& pictures, BenchUnits units) {
  Workings workings(units);
  std::string html =
      "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" "
      "content=\"width=device-width, initial-scale=1\"><title>" +
      escaped(outcome.title) + "</title><style>" + paper_style + "</style></head><body>";
  if (outcome.invented || job.invented)
    html += "<p class=\"invented\">Invented data: a demonstration, not a real instrument</p>";
  html += "<p class=\"kicker\">Report on a finish" + (job.start.empty() ? "" : ", work from " + escaped(job.start)) +
          "</p><h1>" + escaped(outcome.title) + "</h1><p class=\"lead\">" + job_paragraph(job) + "</p>";
  html += note_boxes(grave_notes(outcome));
  if (job.consent.plan.empty())
    html += "<p class=\"note caution\"><b>No plan agreed.</b> The owner has not yet agreed to any plan.</p>";
  if (!outcome.plans.empty()) html += "<h2>The plans side by side</h2>" + side_by_side(outcome, job, workings);
  std::vector<Note> milder;
  for (const Note& note : outcome.notes)
    if (note.severity != Severity::danger) milder.push_back(note);
  html += note_boxes(milder) + found_table(job, units);
  for (const PlanOutcome& plan : outcome.plans)
    html += plan_section(plan, job, pictures_of(pictures, plan.id), workings);
  for (const PlanOutcome& plan : outcome.plans)
    if (plan.runs) html += safety_sheet(plan, job, workings);
  html +=
      "<section class=\"plan\"><h2>How each number was calculated</h2><p>Small numbers in the text lead here. Bands "
      "cover 95 %. ESTIMATE: the law or something that went into it is an estimate. Sources are keys of the list of "
      "sources "
      "that comes with the program.</p>"
      "<div class=\"workings\">" +
      workings.appendix() + "</div></section>";
  for (const Plan& plan : job.plans)
    for (const PlanOutcome& worked : outcome.plans)
      if (worked.id == plan.id && worked.runs && plan.id == job.consent.plan)
        html += job_card(plan, worked, job, units);
  for (const Plan& plan : job.plans)
    for (const PlanOutcome& worked : outcome.plans)
      if (worked.id == plan.id && worked.runs && (job.consent.plan.empty() || plan.id == job.consent.plan))
        html += ageing_card(plan, worked, job, units);
  return html + "</body></html>\n";
}

}  // namespace witnessline::papers

#include "papers/papers.h"

#include <fmt/format.h>

#include <algorithm>

#include "papers/page.h"

namespace witnessline::papers {
namespace {

struct Form {
  const char* title;
  const char* const* page;
};
Form form_of(Paper paper) {
  switch (paper) {
    case Paper::condition_report:
      return {"Condition report", &condition_report_html};
    case Paper::proposal:
      return {"Proposal and quote", &proposal_html};
    case Paper::job_card:
      return {"Job card", &job_card_html};
    case Paper::mixing_card:
      return {"Mixing card", &mixing_card_html};
    case Paper::ageing_card:
      return {"Ageing card", &ageing_card_html};
    case Paper::safety_sheet:
      return {"Safety sheet", &safety_sheet_html};
    case Paper::owners_report:
      return {"Owner's report", &owners_report_html};
    case Paper::templates:
      return {"Templates at true size", &templates_html};
    case Paper::workings:
      return {"Workings", &workings_html};
  }
  return {"", nullptr};
}

Tree of_plan(Paper paper, const PlanPaper& plan) {
  switch (paper) {
    case Paper::job_card:
      return job_card(plan);
    case Paper::mixing_card:
      return mixing_card(plan);
    case Paper::ageing_card:
      return ageing_card(plan);
    case Paper::safety_sheet:
      return safety_sheet(plan);
    case Paper::owners_report:
      return owners_report(plan);
    case Paper::templates:
      return templates(plan);
    case Paper::workings:
      return workings(plan);
    case Paper::condition_report:
    case Paper::proposal:
      break;
  }
  return {};
}

/// "Octave mandolin, 1938, by ...; owner: ..."
std::string instrument_words(const Instrument& i) {
  std::string line = i.kind;
  if (!i.year.empty()) line += ", " + i.year;
  if (!i.maker.empty()) line += ", by " + i.maker;
  return line;
}

}  // namespace

std::optional<std::string> paper_html(Paper paper, const PaperSource& source, const std::string& plan_id) {
  const Form form = form_of(paper);
  const Job& job = source.job;
  Tree values;
  std::string title = form.title;
  if (paper == Paper::condition_report) {
    values = condition_report(source);
  } else if (paper == Paper::proposal) {
    values = proposal(source);
  } else {
    const auto has_id = [&](const auto& one) { return one.id == plan_id; };
    const auto plan = std::find_if(job.plans.begin(), job.plans.end(), has_id);
    const auto worked = std::find_if(source.outcome.plans.begin(), source.outcome.plans.end(), has_id);
    if (plan == job.plans.end() || worked == source.outcome.plans.end() || !worked->runs) return std::nullopt;
    const auto drawn = std::find_if(source.pictures.begin(), source.pictures.end(),
                                    [&](const PlanPictures& p) { return p.plan == plan_id; });
    const PlanPaper one{source, *plan, *worked, drawn == source.pictures.end() ? nullptr : &*drawn};
    values = of_plan(paper, one);
    title += ": " + plan->title;
    if (values.is == Tree::Is::table) {
      values.put("plan_title", text(plan->title));
      values.put("not_agreed", yes(!one.agreed()));
      values.put("not_ready", yes(!worked->ready));
      values.put("open_questions", Tree::of(static_cast<std::int64_t>(worked->open_hold_points.size())));
    }
  }
  if (values.is != Tree::Is::table) return std::nullopt;
  values.put("paper", text(form.title));
  values.put("document_title", text(title + " \u2013 " + job.title));
  values.put("job_title", text(job.title));
  values.put("instrument", text(instrument_words(job.instrument)));
  values.put("owner", text(job.instrument.owner));
  values.put("start", text(job.start));
  values.put("invented", yes(job.invented || source.outcome.invented));
  values.put("sheet", text(source.sheet == Sheet::letter ? "letter" : "A4"));
  return filled(*form.page, values);
}

}  // namespace witnessline::papers

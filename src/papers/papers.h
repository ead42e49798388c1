// The papers of a job: what is printed for the owner and for the bench, each as one HTML page made for print.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "job/outcome.h"
#include "view/pictures.h"
#include "view/true_size.h"

namespace witnessline::papers {

enum class Paper {
  condition_report,  ///< of the job: what came in
  proposal,          ///< of the job: its plans side by side
  job_card,          ///< from here on of one plan
  mixing_card,
  ageing_card,
  safety_sheet,
  owners_report,
  templates,
  workings
};
constexpr auto words(const Paper*) {
  return std::array{"condition_report", "proposal",      "job_card",  "mixing_card", "ageing_card",
                    "safety_sheet",     "owners_report", "templates", "workings"};
}
constexpr bool of_the_job(Paper paper) { return paper == Paper::condition_report || paper == Paper::proposal; }

enum class Sheet { a4, letter };
constexpr auto words(const Sheet*) { return std::array{"a4", "letter"}; }

/// What a plan looks like on paper; an empty image or drawing is left out.
struct PlanPictures {
  std::string plan;
  Image before, after;          ///< one view in one light, put together
  std::string map_before, map;  ///< where original finish is, front and back (SVG)
  std::vector<TrueSize> true_size;
};

/// What papers are made from.
struct PaperSource {
  const Outcome& outcome;
  const Job& job;
  const Library& library;
  const std::vector<PlanPictures>& pictures;
  BenchUnits units = BenchUnits::metric;
  Sheet sheet = Sheet::a4;
};

/// Refers to nothing outside itself. Nothing: the plan is refused or has no such paper (one without ageing steps has no
/// ageing card). `plan` is ignored by the papers of the job.
std::optional<std::string> paper_html(Paper, const PaperSource&, const std::string& plan = "");

/// A true-size drawing by itself, in millimetres (SVG).
std::string true_size_svg(const TrueSize&, const std::string& title);

}  // namespace witnessline::papers

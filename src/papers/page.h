// Pieces that several papers share: a plan among its outcomes, words and numbers as they are printed.
#pragma once

#include <string>
#include <vector>

#include "materials/in_words.h"
#include "papers/papers.h"
#include "papers/templates.h"
#include "view/svg_parts.h"

namespace witnessline::papers {

/// One plan of a source: as planned, as worked out, as drawn.
struct PlanPaper {
  const PaperSource& source;
  const Plan& plan;
  const PlanOutcome& worked;
  const PlanPictures* pictures = nullptr;
  bool agreed() const { return source.job.consent.plan == plan.id; }
};

std::string spaced(std::string word);                                    ///< "melt_in" -> "melt in"
std::string listed(const std::vector<std::string>& words);               ///< "a, b"
std::string where_words(const Where&);                                   ///< "front treble, edge; not binding"
Tree picture(const Image&, const std::string& says, int most_width_px);  ///< src, says; nothing without an image
Tree figure(const Figure&, BenchUnits);                                  ///< value, band, estimate
Tree figure_in_days(const Figure&);
/// Notes of at least this severity, danger first, each text once: word, look, text, about.
Tree notes(std::vector<Note>, Severity at_least);
/// First day of a job and days after it: "2026-03-02" and 3 -> "2026-03-05"; empty where no day is given.
std::string day_after(const std::string& start, double days);

Tree condition_report(const PaperSource&);
Tree proposal(const PaperSource&);
Tree job_card(const PlanPaper&);
Tree mixing_card(const PlanPaper&);
Tree ageing_card(const PlanPaper&);
Tree safety_sheet(const PlanPaper&);
Tree owners_report(const PlanPaper&);
Tree templates(const PlanPaper&);
Tree workings(const PlanPaper&);

}  // namespace witnessline::papers

// The owner's and the restorer's report: one HTML page that holds everything and prints on A4 and Letter.
#pragma once

#include <string>
#include <vector>

#include "job/outcome.h"
#include "view/pictures.h"

namespace witnessline::papers {

/// What the instrument looks like after one step; an empty image is left out.
struct StepPictures {
  std::string step;  ///< id, "before" for the first
  Image front, back, side;
};
struct SectionPicture {
  std::string title;  ///< where, and after which step
  std::string svg;
};
struct PlanPictures {
  std::string plan;
  std::vector<StepPictures> steps;  ///< in order; the last is the finished work
  std::vector<SectionPicture> sections;
  Image before, after, untouched;  ///< one view, put together; untouched: as if nobody had refinished it
  struct InLight {
    std::string light;
    Image image;
  };
  std::vector<InLight> lights;  ///< the finished work, put together, in each light
};
struct ReportPictures {
  std::vector<PlanPictures> plans;
};

/// Refers to nothing outside itself: style, pictures and drawings are inside.
std::string report_html(const Outcome&, const Job&, const ReportPictures&, BenchUnits);

}  // namespace witnessline::papers

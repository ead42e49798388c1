// Pieces of a printed page: numbers with their working, pictures as data.
#pragma once

#include <string>
#include <vector>

#include "base/figure.h"
#include "base/result.h"
#include "image/image.h"
#include "view/svg_parts.h"

namespace witnessline::papers {

std::string picture(const Image&, const std::string& says, int most_width_px);  ///< <img>, data inside

/// Notes as boxes, danger first, each text once.
std::string note_boxes(std::vector<Note> notes);

/// Numbers shown and how each was worked out. A number carries a small reference to its law in the appendix.
class Workings {
 public:
  explicit Workings(BenchUnits units) : units_(units) {}
  std::string cite(const Figure&, const std::string& place = "");  ///< value, band, reference; "est." for an estimate
  std::string cite_days(const Figure&, const std::string& place = "");  ///< the same for a duration shown in days
  std::string appendix() const;
  BenchUnits units() const { return units_; }

 private:
  struct Row {
    std::string name, value, band, inputs;
  };
  struct Law {
    std::string law, source;
    Kind kind{};
    std::vector<Row> rows;
  };
  std::string cite(const Figure&, const std::string& place, const std::string& value, const std::string& band);
  BenchUnits units_;
  std::vector<Law> laws_;
};

}  // namespace witnessline::papers

#include "view/svg_parts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace witnessline::view {
namespace {

void replace_all(std::string& text, const std::string& from, const std::string& to) {
  for (std::size_t at = 0; (at = text.find(from, at)) != std::string::npos; at += to.size())
    text.replace(at, from.size(), to);
}

}  // namespace

std::string escaped(const std::string& text) {
  std::string out;
  for (const char c : text) switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      default:
        if (static_cast<unsigned char>(c) >= 0x20) out += c;  // XML 1.0 allows no control characters
    }
  return out;
}

std::string shortened(const std::string& text, int most_letters) {
  std::string out;
  int letters = 0;
  for (const char c : text) {
    const bool starts = (static_cast<unsigned char>(c) & 0xc0) != 0x80;  // first byte of a UTF-8 letter
    if (starts && ++letters > most_letters) return out + "\u2026";
    out += c;
  }
  return out;
}

std::string typeset(std::string text) {
  replace_all(text, " um", "\u00a0\u00b5m");
  replace_all(text, " degC", "\u00a0\u00b0C");
  replace_all(text, " degF", "\u00a0\u00b0F");
  for (const char* power : {"m2", "ft2"})
    replace_all(text, power, std::string(power).substr(0, std::string(power).size() - 1) + "\u00b2");
  replace_all(text, "m3", "m\u00b3");
  for (const char* unit : {" mL", " mm", " mil", " in", " h", " g", " oz", " fl"})
    if (text.size() > std::string(unit).size() && text.ends_with(unit))
      text = text.substr(0, text.size() - std::string(unit).size()) + "\u00a0" + std::string(unit).substr(1);
  return text;
}

std::string typeset(double si, Quantity quantity, BenchUnits units) { return typeset(show(si, quantity, units)); }

std::string hex(const Rgb& c) {
  const auto byte = [](double v) {
    return static_cast<int>(std::lround(255 * std::clamp(std::isfinite(v) ? v : 0, 0.0, 1.0)));
  };
  return fmt::format("#{:02x}{:02x}{:02x}", byte(c.r), byte(c.g), byte(c.b));
}

std::string origin_words(Origin origin) {
  return origin == Origin::original ? "original" : origin == Origin::later ? "later" : "this plan";
}

std::string origin_fill(Origin origin) {
  return origin == Origin::original ? "#2b2b2b" : origin == Origin::later ? "url(#later)" : "url(#this_plan)";
}

const char* origin_patterns() {
  return "<defs><pattern id=\"later\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\" "
         "patternTransform=\"rotate(45)\"><rect width=\"6\" height=\"6\" fill=\"#fff\"/><rect width=\"2.4\" "
         "height=\"6\" "
         "fill=\"#2b2b2b\"/></pattern><pattern id=\"this_plan\" width=\"5\" height=\"5\" "
         "patternUnits=\"userSpaceOnUse\">"
         "<rect width=\"5\" height=\"5\" fill=\"#fff\"/><circle cx=\"2.5\" cy=\"2.5\" r=\"1.1\" fill=\"#2b2b2b\"/>"
         "</pattern></defs>";
}

double round_length(double most_m, BenchUnits units, Quantity quantity) {
  const Unit shown = shown_unit(quantity, units);
  const double most = std::max(shown.from_si(most_m), 1e-6);
  const double ten = std::pow(10.0, std::floor(std::log10(most)));
  const double step = most >= 5 * ten ? 5 : most >= 2 * ten ? 2 : 1;
  return shown.to_si(step * ten);
}

}  // namespace witnessline::view

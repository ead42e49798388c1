#include "papers/page.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>

namespace witnessline::papers {
namespace {

std::string base64(const std::vector<std::uint8_t>& bytes) {
  static const char* letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string out;
  out.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    const std::size_t left = bytes.size() - i;
    const unsigned three = bytes[i] << 16 | (left > 1 ? bytes[i + 1] << 8 : 0) | (left > 2 ? bytes[i + 2] : 0);
    out += letters[three >> 18 & 63];
    out += letters[three >> 12 & 63];
    out += left > 1 ? letters[three >> 6 & 63] : '=';
    out += left > 2 ? letters[three & 63] : '=';
  }
  return out;
}

/// Box mean in encoded values: small pictures only.
Image reduced(const Image& image, int width) {
  if (width >= image.width) return image;
  Image small{width, std::max(1, image.height * width / image.width), {}};
  for (int y = 0; y < small.height; ++y)
    for (int x = 0; x < small.width; ++x) {
      const int x0 = x * image.width / small.width, x1 = std::max(x0 + 1, (x + 1) * image.width / small.width);
      const int y0 = y * image.height / small.height, y1 = std::max(y0 + 1, (y + 1) * image.height / small.height);
      std::array<int, 3> sum{};
      for (int v = y0; v < y1; ++v)
        for (int u = x0; u < x1; ++u)
          for (std::size_t c = 0; c < 3; ++c)
            sum[c] += image.rgb[3 * static_cast<std::size_t>(v * image.width + u) + c];
      for (const int s : sum) small.rgb.push_back(static_cast<std::uint8_t>(s / ((x1 - x0) * (y1 - y0))));
    }
  return small;
}

std::string days(double seconds) {
  if (!std::isfinite(seconds)) return "not known";
  const double n = seconds / unit::day.scale;
  const std::string number = fmt::format("{:.{}f}", n, n < 10 && std::abs(n - std::round(n)) > 0.05 ? 1 : 0);
  return number + (number == "1" ? " day" : " days");
}

Tree printed(const Figure& f, const std::string& value, const std::string& band) {
  return fields({{"value", text(value)}, {"band", text(band)}, {"estimate", yes(f.kind == Kind::estimate)}});
}

}  // namespace

std::string spaced(std::string word) {
  std::replace(word.begin(), word.end(), '_', ' ');
  return word;
}

std::string listed(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : ", ") + spaced(word);
  return text;
}

std::string where_words(const Where& where) {
  std::string text = where.on.empty() ? (where.patches.empty() ? "everywhere" : "") : listed(where.on);
  if (!where.patches.empty())
    text += (text.empty() ? "" : ", ") +
            fmt::format("{} marked place{}", where.patches.size(), where.patches.size() == 1 ? "" : "s");
  if (!where.except.empty()) text += "; not " + listed(where.except);
  return text;
}

Tree picture(const Image& image, const std::string& says, int most_width_px) {
  if (image.width == 0) return Tree::of(false);
  const Image shown = reduced(image, most_width_px);
  return fields({{"src", text("data:image/jpeg;base64," + base64(to_jpeg(shown, 86)))}, {"says", text(says)}});
}

Tree figure(const Figure& f, BenchUnits units) {
  const Shown s = shown(f.value, f.band, f.quantity, units);
  return printed(f, typeset(s.text), typeset(s.band));
}

Tree figure_in_days(const Figure& f) {
  const bool band = std::isfinite(f.band.low) && std::isfinite(f.band.high);
  return printed(f, days(f.value), band ? days(f.band.low) + " to " + days(f.band.high) : "");
}

Tree notes(std::vector<Note> notes, Severity at_least) {
  std::stable_sort(notes.begin(), notes.end(), [](const Note& a, const Note& b) { return a.severity > b.severity; });
  Tree list = Tree::empty_list();
  std::vector<std::string> stated;
  for (const Note& note : notes) {
    if (note.severity < at_least || std::find(stated.begin(), stated.end(), note.text) != stated.end()) continue;
    stated.push_back(note.text);
    const bool danger = note.severity == Severity::danger, caution = note.severity == Severity::caution;
    list.list.push_back(fields({{"word", text(danger    ? "Danger"
                                              : caution ? "Caution"
                                                        : "Note")},
                                {"look", text(danger    ? "danger"
                                              : caution ? "caution"
                                                        : "remark")},
                                {"note", text(typeset(note.text))},
                                {"about", text(spaced(note.about))}}));
  }
  return list;
}

std::string day_after(const std::string& start, double days) {
  int year = 0;
  unsigned month = 0, day = 0;
  if (std::sscanf(start.c_str(), "%d-%u-%u", &year, &month, &day) != 3 || !std::isfinite(days)) return {};
  const std::chrono::year_month_day first{std::chrono::year(year), std::chrono::month(month), std::chrono::day(day)};
  if (!first.ok()) return {};
  const std::chrono::year_month_day then(std::chrono::sys_days(first) + std::chrono::days(static_cast<int>(days)));
  return fmt::format("{}-{:02}-{:02}", static_cast<int>(then.year()), static_cast<unsigned>(then.month()),
                     static_cast<unsigned>(then.day()));
}

}  // namespace witnessline::papers

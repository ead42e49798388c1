#include "papers/page.h"

#include <fmt/format.h>

#include <algorithm>
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

/// Box mean in encoded values: thumbnails only.
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

}  // namespace

std::string picture(const Image& image, const std::string& says, int most_width_px) {
  if (image.width == 0) return {};
  const Image shown = reduced(image, most_width_px);
  return fmt::format("<img alt=\"{}\" width=\"{}\" height=\"{}\" src=\"data:image/jpeg;base64,{}\">", escaped(says),
                     shown.width, shown.height, base64(to_jpeg(shown, 86)));
}

std::string note_boxes(std::vector<Note> notes) {
  std::stable_sort(notes.begin(), notes.end(), [](const Note& a, const Note& b) { return a.severity > b.severity; });
  struct Box {
    Severity severity;
    std::string about;
    std::vector<std::string> texts;
  };
  std::vector<Box> boxes;  // notes on one step or thing, together
  std::vector<std::string> stated;
  for (Note& note : notes) {
    std::replace(note.about.begin(), note.about.end(), '_', ' ');
    if (std::find(stated.begin(), stated.end(), note.text) != stated.end()) continue;
    stated.push_back(note.text);
    const auto box = std::find_if(boxes.begin(), boxes.end(), [&](const Box& b) {
      return b.severity == note.severity && b.about == note.about && !note.about.empty();
    });
    if (box != boxes.end())
      box->texts.push_back(escaped(note.text));
    else
      boxes.push_back({note.severity, note.about, {escaped(note.text)}});
  }
  std::string html;
  for (const Box& box : boxes) {
    const char* word = box.severity == Severity::danger    ? "Danger"
                       : box.severity == Severity::caution ? "Caution"
                                                           : "Note";
    const char* look = box.severity == Severity::danger    ? "danger"
                       : box.severity == Severity::caution ? "caution"
                                                           : "remark";
    html += fmt::format("<p class=\"note {}\"><b>{}.</b> {}{}</p>", look, word, fmt::join(box.texts, "<br>"),
                        box.about.empty() ? "" : " <span class=\"about\">(" + escaped(box.about) + ")</span>");
  }
  return html;
}

std::string Workings::cite(const Figure& f, const std::string& place, const std::string& value,
                           const std::string& band) {
  auto law = std::find_if(laws_.begin(), laws_.end(),
                          [&](const Law& l) { return l.law == f.law && l.source == f.source && l.kind == f.kind; });
  if (law == laws_.end()) law = laws_.insert(laws_.end(), {f.law, f.source, f.kind, {}});
  std::string inputs;
  for (const Input& i : f.inputs) {
    inputs += (inputs.empty() ? "" : "; ") + escaped(i.name) + " " + typeset(show(i.value, i.quantity, units_));
    if (i.kind != Kind::computed)
      inputs += std::string(" (") + name_of(i.kind) + (i.source.empty() ? ")" : ", " + escaped(i.source) + ")");
  }
  const Row row{escaped(place.empty() ? f.name : f.name + ", " + place), value, band, inputs};
  const auto same = [&](const Row& r) { return r.name == row.name && r.value == row.value; };
  if (std::none_of(law->rows.begin(), law->rows.end(), same)) law->rows.push_back(row);
  const auto number = law - laws_.begin() + 1;
  return fmt::format("<span class=\"figure\">{}{}<a class=\"working\" href=\"#w{}\">{}</a></span>{}", value,
                     f.kind == Kind::estimate ? " <abbr title=\"estimate\">est.</abbr>" : "", number, number,
                     band.empty() ? "" : "<span class=\"band\">" + band + "</span>");
}

std::string Workings::cite(const Figure& f, const std::string& place) {
  const Shown s = shown(f.value, f.band, f.quantity, units_);
  return cite(f, place, typeset(s.text), typeset(s.band));
}

std::string Workings::cite_days(const Figure& f, const std::string& place) {
  const bool band = std::isfinite(f.band.low) && std::isfinite(f.band.high);
  return cite(f, place, days(f.value), band ? days(f.band.low) + " to " + days(f.band.high) : "");
}

std::string Workings::appendix() const {
  std::string html;
  for (std::size_t i = 0; i < laws_.size(); ++i) {
    const Law& law = laws_[i];
    const bool same_inputs = std::all_of(law.rows.begin(), law.rows.end(),
                                         [&](const Row& r) { return r.inputs == law.rows.front().inputs; });
    const std::string shared = same_inputs && !law.rows.empty() ? law.rows.front().inputs : "";
    html += fmt::format(
        "<div class=\"law\" id=\"w{0}\"><p><b>{0}</b> {1} <span class=\"kind\">{2}{3}</span>{4}</p><table>", i + 1,
        escaped(law.law.empty() ? "used as given" : law.law),
        law.kind == Kind::estimate ? "ESTIMATE" : name_of(law.kind),
        law.source.empty() ? "" : "; source: " + escaped(law.source), shared.empty() ? "" : ". From: " + shared);
    for (const Row& row : law.rows) {
      const std::string own = same_inputs ? "" : row.inputs, band = row.band.empty() ? "" : "band " + row.band;
      html += fmt::format("<tr><td>{}</td><td class=\"n\">{}</td><td>{}{}{}</td></tr>", row.name, row.value, band,
                          band.empty() || own.empty() ? "" : "; ", own);
    }
    html += "</table></div>";
  }
  return html;
}

}  // namespace witnessline::papers

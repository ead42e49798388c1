#include "app/verbs/read.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/app.h"
#include "materials/spectra.h"

namespace witnessline::app {

namespace {

const char* word(Lamp l) { return words(&l)[static_cast<std::size_t>(l)]; }
const char* word(MeasurementMode m) { return words(&m)[static_cast<std::size_t>(m)]; }
const char* word(Specular s) { return words(&s)[static_cast<std::size_t>(s)]; }

Error at_key(Error error, const std::string& key) {
  if (error.where.key.empty() && error.where.file.empty()) error.where.key = key;
  return error;
}

Figure difference(std::string name, double value, std::string law, Kind kind) {
  Figure f;
  f.name = std::move(name), f.value = value, f.quantity = Quantity::colour_difference;
  f.law = std::move(law), f.source = "sharma2005", f.kind = kind;
  return f;
}

// Readings of the mode and specular part asked for; those that do not say are kept and told.
Result<std::vector<Reading>> chosen(std::vector<Reading> readings, const ReadRequest& request) {
  std::vector<Reading> kept;
  for (Reading& r : readings) {
    const bool mode_known = r.mode != MeasurementMode::not_stated, specular_known = r.specular != Specular::not_stated;
    if (request.mode != MeasurementMode::not_stated && mode_known && r.mode != request.mode) continue;
    if (request.specular != Specular::not_stated && specular_known && r.specular != request.specular) continue;
    if (request.mode != MeasurementMode::not_stated && !mode_known)
      r.notes.push_back({Severity::caution,
                         fmt::format("It does not state its measurement mode: {} is assumed.", word(request.mode)),
                         r.name});
    if (request.specular != Specular::not_stated && !specular_known) {
      r.notes.push_back({Severity::caution,
                         fmt::format("It does not state whether specular reflection is included: {} is assumed.",
                                     word(request.specular)),
                         r.name});
      r.specular = request.specular;
    }
    kept.push_back(std::move(r));
  }
  if (kept.empty() && !readings.empty())
    return Error{"no reading is of the mode and specular part asked for",
                 {"", 0, 0, "mode"},
                 fmt::format("readings in mode {}, specular {}", word(request.mode), word(request.specular)),
                 "ask for what the file holds, or leave these keys out"};
  return kept;
}

Result<std::vector<Reading>> readings_of_files(const ReadRequest& request, const Asking& asking) {
  std::vector<Reading> all;
  std::vector<Error> faults;
  for (std::size_t i = 0; i < request.files.size(); ++i) {
    const auto text = asking.file(request.files[i]);
    const auto read = text ? read_readings(*text, request.files[i]) : Result<std::vector<Reading>>(text.errors());
    if (read)
      all.insert(all.end(), read->begin(), read->end());
    else
      for (const Error& e : read.errors()) faults.push_back(at_key(e, fmt::format("files[{}]", i + 1)));
  }
  if (!faults.empty()) return faults;
  auto kept = chosen(std::move(all), request);
  if (!kept || request.average == Averaging::none) return kept;
  if (request.average == Averaging::by_name) return averaged_by_name(*kept);
  auto mean = averaged(*kept);
  if (!mean) return mean.errors();
  return std::vector<Reading>{std::move(*mean)};
}

ReadingResult result_of(const Reading& r, const ReadRequest& request) {
  ReadingResult s;
  s.name = r.name, s.repeats = r.repeats, s.recovered = r.recovered, s.mode = r.mode, s.specular = r.specular;
  s.geometry = r.geometry, s.as_read = r.lab, s.notes = r.notes;
  s.reflectance.assign(r.reflectance.at.begin(), r.reflectance.at.end());
  s.scatter.assign(r.scatter.at.begin(), r.scatter.at.end());
  for (const Lamp lamp : request.lamps) s.lab.push_back({lamp, to_lab(r.reflectance, lamp, request.observer)});
  s.spread = difference("repeats from their mean", r.repeats > 1 ? r.scatter_delta_e : std::nan(""),
                        "mean CIEDE2000 of the repeats from their mean, D65, 10 degree", Kind::measured);
  return s;
}

Result<PhotoReading> photo_read(const ReadRequest& request, const Asking& asking) {
  std::optional<std::array<PixelPoint, 4>> corners;
  if (!request.corners.empty()) {
    if (request.corners.size() != 4)
      return Error{fmt::format("{} corners", request.corners.size()),
                   {"", 0, 0, "corners"},
                   "four: centres of the chart's corner patches",
                   "give four, or none to have the chart found"};
    corners.emplace();
    std::copy(request.corners.begin(), request.corners.end(), corners->begin());
  }
  const auto bytes = asking.file(request.photo);
  if (!bytes) return at_key(bytes.errors().front(), "photo");
  const auto image = from_photo(*bytes, request.photo);
  if (!image) return image.errors();
  const auto chart = published_chart(data_folder());
  if (!chart) return chart.errors();
  return read_chart_photo(*image, *chart, request.spots, corners, request.uneven_light, request.photo);
}

PhotoResult result_of(const PhotoReading& photo) {
  PhotoResult s;
  s.corners.assign(photo.corners.begin(), photo.corners.end());
  const char* law = "CIEDE2000 between a patch as published and as worked out from the other patches";
  s.left_out_mean = difference("patches left out, mean", photo.left_out_mean, law, Kind::computed);
  s.left_out_worst = difference("patches left out, worst", photo.left_out_worst, law, Kind::computed);
  s.unevenness.name = "light across the chart", s.unevenness.value = photo.unevenness_frac;
  s.unevenness.quantity = Quantity::fraction;
  s.unevenness.law = "exp(b column + c row), fitted with the camera model; corner to corner";
  s.unevenness.source = "golub1973";
  s.unevenness.band = {std::max(0.0, photo.unevenness_frac - 2 * photo.unevenness_sd_frac),
                       photo.unevenness_frac + 2 * photo.unevenness_sd_frac};
  s.light_corrected = photo.light_corrected, s.camera = photo.camera, s.patches = photo.patches;
  return s;
}

void add_spots(const PhotoReading& photo, const ReadRequest& request, ReadAnswer& answer) {
  for (const PhotoSpotReading& spot : photo.spots) {
    ReadingResult s = result_of(spot.reading, request);
    s.lab_sd = spot.lab_sd;
    s.spread =
        difference("patches of like colour left out", spot.likely_delta_e,
                   "root mean square CIEDE2000 of patches left out, nearer colours counting more", Kind::estimate);
    answer.readings.push_back(std::move(s));
  }
}

// The two questions asked before reading, and what their answers change.
void add_represented(const ReadRequest& request, ReadAnswer& answer) {
  if (!request.cleaned) {
    answer.sentences.push_back(
        "Not cleaned: grime and nicotine are in this colour. Clean the spot and read it again before "
        "a recipe is made from it.");
    answer.notes.push_back(
        {Severity::caution,
         "Read through grime: the target is darker and yellower than the finish. A recipe made from it "
         "would match the dirt, and stand out when the rest is cleaned.",
         "cleaned"});
  }
  if (request.target_is == TargetIs::original_colour) {
    answer.sentences.push_back(
        "Taken as the original colour: match the colour coat to it, and let the clear over it be "
        "reckoned fresh. Beside parts that have faded or yellowed it will look too strong and too "
        "cool.");
    answer.notes.push_back({Severity::information,
                            "A spot under a plate is protected from light and smoke, but its clear may have yellowed "
                            "in the dark or been rubbed thin by the plate.",
                            "target_is"});
  } else {
    answer.sentences.push_back(
        "Taken as today's colour, faded pigment and yellowed clear together: match it through the "
        "clear that will lie on it, or tint that clear; the colour coat alone must be cooler than "
        "this reading.");
    answer.notes.push_back(
        {Severity::information,
         "Today's colour goes on changing: new clear over the repair yellows from today on, the old clear "
         "has most of it behind it.",
         "target_is"});
  }
}

}  // namespace

Result<ChartAim> published_chart(const std::string& folder) {
  const auto spectra = read_spectra(folder + "/spectra/colour_chart.csv");
  if (!spectra) return spectra.errors();
  ChartAim chart;
  for (std::size_t p = 0; p < chart.size(); ++p)
    chart[p].at = spectra->at(fmt::format("chart_{}", p + 1)).at("reflectance").at;
  return chart;
}

Result<ReadAnswer> read_answer(const ReadRequest& request, const Asking& asking) {
  if (request.files.empty() && request.photo.empty())
    return Error{"neither readings nor a photograph is named", {"", 0, 0, "files"}, "files, or photo", ""};
  if (request.photo.empty() && !request.spots.empty())
    return Error{"spots without their photograph", {"", 0, 0, "spots"}, "photo", ""};
  if (request.lamps.empty()) return Error{"no lamp to give Lab under", {"", 0, 0, "lamps"}, "one lamp or more", ""};
  ReadAnswer answer;
  std::vector<Error> faults;
  if (!request.files.empty()) {
    const auto readings = readings_of_files(request, asking);
    if (readings)
      for (const Reading& r : *readings) answer.readings.push_back(result_of(r, request));
    else
      faults = readings.errors();
  }
  if (!request.photo.empty()) {
    const auto photo = photo_read(request, asking);
    if (photo) {
      answer.photo = result_of(*photo);
      answer.notes = photo->notes;
      add_spots(*photo, request, answer);
    } else {
      faults.insert(faults.end(), photo.errors().begin(), photo.errors().end());
    }
  }
  if (!faults.empty()) return faults;

  bool specular_not_stated = false;
  for (const ReadingResult& r : answer.readings) {
    const Lab& lab = r.lab.front().lab;
    const std::string spread =
        std::isfinite(r.spread.value) ? fmt::format(", give or take {:.1f} Delta E", r.spread.value) : "";
    answer.sentences.push_back(fmt::format("{}: L* {:.1f}, a* {:.1f}, b* {:.1f} under {}{}{}{}.", r.name, lab.l, lab.a,
                                           lab.b, word(r.lab.front().lamp),
                                           r.repeats > 1 ? fmt::format(", mean of {}", r.repeats) : "", spread,
                                           r.recovered ? "; recovered from Lab" : ""));
    specular_not_stated = specular_not_stated || (!r.recovered && r.specular == Specular::not_stated);
    Reflectance reflectance;
    std::copy(r.reflectance.begin(), r.reflectance.end(), reflectance.at.begin());
    answer.curves.push_back(spectrum_curve(r.name, reflectance));
    for (const Lamp lamp : request.lamps)
      answer.swatches.push_back(swatch_of(r.name, reflectance, lamp, request.observer));
  }
  add_represented(request, answer);
  if (answer.photo)
    answer.sentences.push_back(
        fmt::format("Chart found; patches left out are missed by {:.1f} Delta E on average, {:.1f} at "
                    "worst.",
                    answer.photo->left_out_mean.value, answer.photo->left_out_worst.value));
  if (specular_not_stated)
    answer.notes.push_back(
        {Severity::caution,
         "Some readings do not state whether specular reflection is included. On a glossy face that is 4 % of all "
         "light, most of what a dark colour reads: look it up in the instrument's manual.",
         "specular"});
  return answer;
}

std::string format_answer(const ReadAnswer& answer, BenchUnits) {
  std::string text;
  for (const std::string& s : answer.sentences) text += s + "\n";
  for (const ReadingResult& r : answer.readings) {
    text += fmt::format(
        "\n{} ({}, specular {}{}{})\n", r.name, r.mode == MeasurementMode::not_stated ? "mode not said" : word(r.mode),
        r.specular == Specular::not_stated ? "not said" : word(r.specular), r.geometry.empty() ? "" : ", ", r.geometry);
    for (const LabUnder& l : r.lab)
      text += fmt::format("  {:7} L* {:6.2f}  a* {:6.2f}  b* {:6.2f}\n", word(l.lamp), l.lab.l, l.lab.a, l.lab.b);
    if (r.lab_sd)
      text += fmt::format("  standard uncertainty of a photograph: L* {:.1f}, a* {:.1f}, b* {:.1f}\n", r.lab_sd->l,
                          r.lab_sd->a, r.lab_sd->b);
    for (const Note& n : r.notes) text += "  " + n.text + "\n";
  }
  for (const Note& n : answer.notes) text += "\n" + n.text;
  return text + "\n";
}

Verb read_verb() {
  return verb<ReadRequest, ReadAnswer>("read", "Colours read by an instrument or off a photograph with a chart", Work{},
                                       read_answer, format_answer);
}

}  // namespace witnessline::app

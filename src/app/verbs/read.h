// The verb `read`: readings of instruments' files, and colours of a photograph with a chart.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/answer_parts.h"
#include "app/verb.h"
#include "match/chart_photo.h"

namespace witnessline::app {

/// What the colour read stands for; the recipe that follows is another one.
enum class TargetIs { original_colour, todays_colour };
constexpr auto words(const TargetIs*) { return std::array{"original_colour", "todays_colour"}; }

enum class Averaging { by_name, all, none };
constexpr auto words(const Averaging*) { return std::array{"by_name", "all", "none"}; }

struct ReadRequest {
  bool cleaned = false;
  TargetIs target_is{};
  std::vector<std::string> files;
  MeasurementMode mode{};
  Specular specular{};
  Averaging average{};
  std::string photo;
  std::vector<PixelPoint> corners;
  std::vector<PhotoSpot> spots;
  UnevenLight uneven_light{};
  std::vector<Lamp> lamps{Lamp::D65, Lamp::A, Lamp::LED_B3, Lamp::D50};
  Observer observer = Observer::deg10;
};
template <class V>
void describe(V& v, ReadRequest& r) {
  v(member("cleaned", "grime and nicotine were cleaned off before reading").must(), r.cleaned);
  v(member("target_is", "the original colour (a spot that was protected), or today's (faded, yellowed)").must(),
    r.target_is);
  v(member("files", "of instruments: CSV, CGATS.17 or CxF3"), r.files);
  v(member("mode", "take only readings of this measurement mode; not_said: whichever"), r.mode);
  v(member("specular", "take only readings with the specular part included or excluded; not_said: whichever"),
    r.specular);
  v(member("average", "readings of one name, all of them, or none"), r.average);
  v(member("photo", "PNG or JPEG with a 24-patch chart"), r.photo);
  v(member("corners", "centres of the chart's four corner patches, round it; absent: found"), r.corners);
  v(member("spots", "places of the photograph to read"), r.spots);
  v(member("uneven_light", "where the light changes by over a quarter across the chart"), r.uneven_light);
  v(member("lamps", "to give Lab under"), r.lamps);
  v(member("observer", "to give Lab for"), r.observer);
}

struct LabUnder {
  Lamp lamp{};
  Lab lab;
};
template <class V>
void describe(V& v, LabUnder& l) {
  v(member("lamp", "lamp"), l.lamp);
  v(member("lab", "L*, a*, b*"), l.lab);
}

struct ReadingResult {
  std::string name;
  int repeats = 1;
  bool recovered = false;
  MeasurementMode mode{};
  Specular specular{};
  std::string geometry;
  std::vector<double> reflectance, scatter;
  std::vector<LabUnder> lab;
  std::optional<LabReading> as_read;
  std::optional<Lab> lab_sd;
  Figure spread;
  std::vector<Note> notes;
};
template <class V>
void describe(V& v, ReadingResult& r) {
  v(member("name", "what was read"), r.name);
  v(member("repeats", "readings averaged"), r.repeats);
  v(member("recovered", "the reflectance is the smoothest with the Lab read, not measured"), r.recovered);
  v(member("mode", "measurement mode, ISO 13655"), r.mode);
  v(member("specular", "whether the mirror reflection is in it"), r.specular);
  v(member("geometry", "of the instrument"), r.geometry);
  v(member("reflectance", "380 to 730 nm by 10, a factor"), r.reflectance);
  v(member("scatter", "standard deviation of the repeats in each band"), r.scatter);
  v(member("lab", "under each lamp"), r.lab);
  v(member("as_read", "Lab as the file or the photograph gives it"), r.as_read);
  v(member("lab_sd", "standard uncertainty of as_read, of a photograph"), r.lab_sd);
  v(member("spread", "Delta E 2000: of the repeats from their mean, or of a photograph's like patches"), r.spread);
  v(member("notes", "cautions"), r.notes);
}

struct PhotoResult {
  std::vector<PixelPoint> corners;
  Figure left_out_mean, left_out_worst, unevenness;
  bool light_corrected = false;
  std::string camera;
  std::vector<PhotoPatch> patches;
};
template <class V>
void describe(V& v, PhotoResult& p) {
  v(member("corners", "centres of the dark brown, blue-green, black and white patches"), p.corners);
  v(member("left_out_mean", "mean Delta E 2000 of patches left out"), p.left_out_mean);
  v(member("left_out_worst", "largest of them"), p.left_out_worst);
  v(member("unevenness", "how much the light changes across the chart"), p.unevenness);
  v(member("light_corrected", "the change was taken out"), p.light_corrected);
  v(member("camera", "camera model chosen"), p.camera);
  v(member("patches", "one by one"), p.patches);
}

struct ReadAnswer {
  std::vector<std::string> sentences;
  std::vector<ReadingResult> readings;
  std::optional<PhotoResult> photo;
  std::vector<Curve> curves;
  std::vector<Swatch> swatches;
  std::vector<Note> notes;
};
template <class V>
void describe(V& v, ReadAnswer& a) {
  v(member("sentences", "what to know, most important first"), a.sentences);
  v(member("readings", "one by one"), a.readings);
  v(member("photo", "the chart in the photograph"), a.photo);
  v(member("curves", "spectra"), a.curves);
  v(member("swatches", "under each lamp"), a.swatches);
  v(member("notes", "cautions of all of it"), a.notes);
}

/// The chart's patches as published.
Result<ChartAim> published_chart(const std::string& data_folder);

Result<ReadAnswer> read_answer(const ReadRequest&, const Asking&);
std::string format_answer(const ReadAnswer&, BenchUnits);
Verb read_verb();

}  // namespace witnessline::app

// Readings in CxF3 (ISO 17972-1, -4): objects with reflectance spectra or CIE Lab, and how they were measured.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <pugixml.hpp>
#include <sstream>

#include "match/raw_reading.h"

namespace witnessline::match {

namespace {

// Names without their namespace prefix: files write cc:Object, Object or another prefix.
std::string local(const char* name) {
  const std::string whole = name;
  const std::size_t colon = whole.find(':');
  return colon == std::string::npos ? whole : whole.substr(colon + 1);
}
pugi::xml_node child(const pugi::xml_node& node, const char* name) {
  return node.find_child([&](const pugi::xml_node& n) { return local(n.name()) == name; });
}
pugi::xml_node within(const pugi::xml_node& node, const char* name) {
  return node.find_node([&](const pugi::xml_node& n) { return local(n.name()) == name; });
}
std::string text_of(const pugi::xml_node& node) { return node.child_value(); }
template <class Visit>
void each(const pugi::xml_node& node, const char* name, const Visit& visit) {
  for (const pugi::xml_node& n : node.children())
    if (local(n.name()) == name) visit(n);
}

struct Specification {
  std::optional<double> start_nm, increment_nm;
  RawReading common;  // lamp, observer, mode, specular, geometry
  std::string lamp_stated;
};

class CxfReader {
 public:
  CxfReader(const std::string& text, const std::string& file) : text_(text) { raw_.file = file; }

  Result<std::vector<Reading>> read() {
    pugi::xml_document document;
    const pugi::xml_parse_result parsed = document.load_buffer(text_.data(), text_.size());
    if (!parsed)
      return Error{fmt::format("not well-formed XML: {}", parsed.description()), place(parsed.offset),
                   "a whole CxF3 file", "the file was cut short or edited: export it again"};
    const pugi::xml_node root = document.document_element();
    if (lower_case(local(root.name())) != "cxf")
      return Error{fmt::format("the root element is '{}'", root.name()), place(root.offset_debug()), "CxF", ""};
    const pugi::xml_node resources = child(root, "Resources");
    // The forms before CxF3 have other elements and other units; guessing at them could give a wrong colour.
    if (!resources)
      return Error{"this is an older form of CxF, from before ISO 17972, and is not read", place(root.offset_debug()),
                   "CxF3 (ISO 17972-1), with its colours under Resources",
                   "export the readings again as CxF3, or their reflectances as CSV or CGATS text"};
    each(child(resources, "ColorSpecificationCollection"), "ColorSpecification",
         [&](const pugi::xml_node& n) { specification(n); });
    each(child(resources, "ObjectCollection"), "Object", [&](const pugi::xml_node& n) { object(n); });
    if (raw_.readings.empty() && faults_.empty())
      fault("no object with a reflectance or a Lab", resources ? resources : root, "ReflectanceSpectrum or ColorCIELab",
            "");
    if (!faults_.empty()) return faults_;
    return on_the_grid(raw_);
  }

 private:
  Place place(std::ptrdiff_t offset, const std::string& key = "") const {
    const auto end = text_.begin() + std::clamp<std::ptrdiff_t>(offset, 0, static_cast<std::ptrdiff_t>(text_.size()));
    return {raw_.file, 1 + static_cast<int>(std::count(text_.begin(), end, '\n')), 0, key};
  }
  void fault(const std::string& what, const pugi::xml_node& at, const std::string& expected, const std::string& fix,
             const std::string& key = "") {
    faults_.push_back({what, place(at.offset_debug(), key), expected, fix});
  }

  void specification(const pugi::xml_node& node) {
    Specification spec;
    if (const auto tristimulus = child(node, "TristimulusSpec")) {
      spec.lamp_stated = text_of(child(tristimulus, "Illuminant"));
      spec.common.lamp = lamp_in(spec.lamp_stated);
      spec.common.observer = observer_in(text_of(child(tristimulus, "Observer")));
    }
    const pugi::xml_node measurement = child(node, "MeasurementSpec");
    const pugi::xml_node range = child(measurement, "WavelengthRange");
    if (range.attribute("StartWL")) spec.start_nm = reading_number(range.attribute("StartWL").value());
    if (range.attribute("Increment")) spec.increment_nm = reading_number(range.attribute("Increment").value());
    if (const auto mode = mode_in(text_of(within(measurement, "DeviceIllumination")))) spec.common.mode = *mode;
    const std::string polarised = lower_case(text_of(within(measurement, "DevicePolarization")));
    if (polarised == "true" || polarised == "1" || polarised == "yes") spec.common.mode = MeasurementMode::M3;
    if (const auto geometry = child(measurement, "GeometryChoice")) this->geometry(geometry, spec.common);
    specifications_[node.attribute("Id").value()] = spec;
  }

  void geometry(const pugi::xml_node& choice, RawReading& common) const {
    const std::string lit = text_of(within(choice, "IlluminationAngle")),
                      seen = text_of(within(choice, "MeasurementAngle"));
    std::string all;
    bool sphere = false;
    choice.find_node([&](const pugi::xml_node& n) {
      const std::string name = local(n.name());
      sphere = sphere || name.starts_with("Sphere");
      all += name + " " + n.child_value() + " ";
      return false;
    });
    if (sphere) {
      common.geometry = "d:8";
      // "Specular_Included" as a value, or an element of that name that says true or false.
      const std::string stated = lower_case(all);
      const bool no = stated.find("false") != std::string::npos;
      if (stated.find("exclud") != std::string::npos) common.specular = no ? Specular::included : Specular::excluded;
      if (stated.find("includ") != std::string::npos) common.specular = no ? Specular::excluded : Specular::included;
    } else if (!lit.empty() && !seen.empty()) {
      const auto from = reading_number(lit), to = reading_number(seen);
      if (from && to) set_geometry(common, fmt::format("{:g}:{:g}", *from, *to));
    }
  }

  // What an element's ColorSpecification names; an id that nothing answers to is a fault.
  Specification result_of(const pugi::xml_node& node, const std::string& name) {
    const std::string id = node.attribute("ColorSpecification").value();
    if (id.empty()) return {};
    const auto found = specifications_.find(id);
    if (found != specifications_.end()) return found->second;
    std::vector<std::string> ids;
    for (const auto& [known, spec] : specifications_) ids.push_back(known);
    fault(fmt::format("ColorSpecification '{}' is not in the file", id), node,
          "the Id of one of its ColorSpecifications", did_you_mean(id, ids), name);
    return {};
  }

  void object(const pugi::xml_node& node) {
    std::string name = node.attribute("Name").value();
    if (name.empty()) name = node.attribute("Id").value();
    if (name.empty()) name = fmt::format("object {}", ++unnamed_);
    const pugi::xml_node values = child(node, "ColorValues");
    std::vector<RawReading> spectra;
    each(values, "ReflectanceSpectrum", [&](const pugi::xml_node& n) { spectrum(n, name, spectra); });
    each(values, "ColorCIELab", [&](const pugi::xml_node& n) { lab(n, name, spectra); });
    for (RawReading& r : spectra) raw_.readings.push_back(std::move(r));
  }

  void spectrum(const pugi::xml_node& node, const std::string& name, std::vector<RawReading>& into) {
    const Specification spec = result_of(node, name);
    RawReading reading = spec.common;
    reading.name = name, reading.where = place(node.offset_debug(), name);
    const auto attribute = [&](const char* key, const std::optional<double>& other) {
      return node.attribute(key) ? reading_number(node.attribute(key).value()) : other;
    };
    const auto start_nm = attribute("StartWL", spec.start_nm), step_nm = attribute("Increment", spec.increment_nm);
    if (!start_nm || !step_nm || *step_nm <= 0) {
      fault("a spectrum without its wavelengths", node,
            "StartWL and Increment, here or in its ColorSpecification's WavelengthRange", "export the readings again",
            name);
      return;
    }
    std::istringstream numbers(text_of(node));
    for (std::string word; numbers >> word;) {
      const auto value = reading_number(word);
      if (!value) {
        fault(fmt::format("'{}' is not a number", word), node, "reflectances between spaces", "", name);
        return;
      }
      reading.wavelengths_nm.push_back(*start_nm + *step_nm * static_cast<double>(reading.values.size()));
      reading.values.push_back(*value);
    }
    if (reading.values.empty())
      fault("an empty spectrum", node, "reflectances between spaces", "export the readings again", name);
    else
      into.push_back(std::move(reading));
  }

  void lab(const pugi::xml_node& node, const std::string& name, std::vector<RawReading>& into) {
    const Specification spec = result_of(node, name);
    const auto l = reading_number(text_of(child(node, "L"))), a = reading_number(text_of(child(node, "A"))),
               b = reading_number(text_of(child(node, "B")));
    if (!l || !a || !b) {
      fault("a Lab without its three numbers", node, "L, A and B", "", name);
      return;
    }
    // A Lab beside a spectrum of the object belongs to it, and only checks it.
    for (RawReading& r : into)
      if (!r.values.empty()) {
        if (!r.lab) r.lab = Lab{*l, *a, *b}, r.lamp = spec.common.lamp, r.observer = spec.common.observer;
        return;
      }
    if (!spec.common.lamp && !spec.lamp_stated.empty()) {
      fault(fmt::format("Lab under a lamp the program does not know: '{}'", spec.lamp_stated), node,
            "A, C, D50, D65 or LED-B3", "export Lab under one of these, or the reflectance", name);
      return;
    }
    RawReading reading = spec.common;
    reading.name = name, reading.where = place(node.offset_debug(), name), reading.lab = Lab{*l, *a, *b};
    into.push_back(std::move(reading));
  }

  const std::string& text_;
  RawFile raw_;
  std::map<std::string, Specification> specifications_;
  std::vector<Error> faults_;
  int unnamed_ = 0;
};

}  // namespace

Result<std::vector<Reading>> read_cxf(const std::string& text, const std::string& file) {
  return CxfReader(text, file).read();
}

}  // namespace witnessline::match

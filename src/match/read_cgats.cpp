// Readings in CGATS.17 text (ISO 28178): keywords, a data format, rows of data; several such tables may follow.
#include <fmt/format.h>

#include <algorithm>
#include <sstream>

#include "match/raw_reading.h"

namespace witnessline::match {

namespace {

using Words = std::vector<std::string>;

// Words of a line: between spaces and tabs, or in double quotes. A '#' outside quotes begins a remark.
Words words_of(const std::string& line, bool tabs_only) {
  Words found;
  std::string word;
  bool quoted = false, any = false;
  const auto finish = [&] {
    if (tabs_only) {
      const std::size_t first = word.find_first_not_of(' ');
      word = first == std::string::npos ? "" : word.substr(first, word.find_last_not_of(' ') - first + 1);
    }
    if (any || tabs_only) found.push_back(word);
    word.clear();
    any = false;
  };
  for (const char c : line) {
    if (c == '"') {
      quoted = !quoted, any = true;
    } else if (!quoted && c == '#') {
      break;
    } else if (!quoted && (c == '\t' || (c == ' ' && !tabs_only))) {
      finish();
    } else {
      word += c, any = true;
    }
  }
  if (any) finish();
  return found;
}

std::string upper(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(),
                 [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
  return text;
}

std::string after(const std::string& text, const std::string& word) {
  const std::size_t at = lower_case(text).find(word);
  return at == std::string::npos ? "" : text.substr(at);
}

class CgatsReader {
 public:
  CgatsReader(const std::string& text, const std::string& file) : stream_(text) { raw_.file = file; }

  Result<std::vector<Reading>> read() {
    for (std::string line; std::getline(stream_, line);) {
      ++line_;
      if (!line.empty() && line.back() == '\r') line.pop_back();
      const Words words = words_of(line, false);
      if (!words.empty()) take(words, line);
      if (faults_.size() > 50) break;
    }
    if (part_ == Part::format)
      fault("the data format has no end", "END_DATA_FORMAT", "the file was cut short: export it again");
    if (part_ == Part::data) fault("the data have no end", "END_DATA", "the file was cut short: export it again");
    if (tables_ == 0 && faults_.empty())
      fault("no data", "BEGIN_DATA_FORMAT ... END_DATA_FORMAT, then BEGIN_DATA ... END_DATA", "export it again");
    if (!faults_.empty()) return faults_;
    return on_the_grid(raw_);
  }

 private:
  enum class Part { keywords, format, data };

  void fault(const std::string& what, const std::string& expected, const std::string& fix,
             const std::string& key = "") {
    faults_.push_back({what, {raw_.file, line_, 0, key}, expected, fix});
  }

  void take(const Words& words, const std::string& line) {
    const std::string first = upper(words[0]);
    if (first == "BEGIN_DATA_FORMAT") {
      part_ = Part::format;
      fields_.clear();
    } else if (first == "END_DATA_FORMAT") {
      part_ = Part::keywords;
      check_fields();
    } else if (first == "BEGIN_DATA") {
      if (fields_.empty()) fault("data before their format", "BEGIN_DATA_FORMAT ... END_DATA_FORMAT", "");
      part_ = Part::data;
      rows_ = 0;
    } else if (first == "END_DATA") {
      if (part_ != Part::data) fault("END_DATA without BEGIN_DATA", "", "");
      if (sets_ && *sets_ != rows_)
        fault(fmt::format("{} sets of data", rows_), fmt::format("{}, as NUMBER_OF_SETS states", *sets_),
              "the file was cut short or edited: export it again");
      part_ = Part::keywords;
      sets_.reset();
      ++tables_;
    } else if (part_ == Part::format) {
      for (const std::string& w : words) fields_.push_back(upper(w));
    } else if (part_ == Part::data) {
      row(words, line);
    } else {
      keyword(first, words);
    }
  }

  void keyword(const std::string& key, const Words& words) {
    std::string value;
    for (std::size_t i = 1; i < words.size(); ++i) value += (i > 1 ? " " : "") + words[i];
    const auto count = [&]() -> std::optional<int> {
      const auto number = reading_number(value);
      if (number && *number >= 0 && *number < 1e7 && *number == static_cast<int>(*number))
        return static_cast<int>(*number);
      fault(fmt::format("{} '{}'", key, value), "a whole number", "", key);
      return std::nullopt;
    };
    if (key == "NUMBER_OF_SETS") sets_ = count();
    if (key == "NUMBER_OF_FIELDS") field_count_ = count();
    if (key.find("GEOMETRY") != std::string::npos) {
      RawReading stated;
      set_geometry(stated, value);
      common_.geometry = stated.geometry;
      if (stated.specular != Specular::not_stated) common_.specular = stated.specular;
    }
    if (key.find("SPECULAR") != std::string::npos)
      if (const auto s = specular_in(value)) common_.specular = *s;
    const std::string lamp = key.find("ILLUMIN") != std::string::npos ? value : after(value, "illumin");
    if (!lamp.empty()) {
      common_.lamp = lamp_in(lamp);
      if (!common_.lamp) lamp_not_known_ = value;
    }
    const std::string observer = key.find("OBSERVER") != std::string::npos ? value : after(value, "observer");
    if (!observer.empty()) common_.observer = observer_in(observer);
    if (key.starts_with("MEASUREMENT_") || key == "FILTER" || key == "INSTRUMENTATION" || key == "KEYWORD") {
      if (const auto mode = mode_in(value))
        common_.mode = *mode;
      else if (key == "FILTER" && lower_case(value).find("pol") != std::string::npos)
        common_.mode = MeasurementMode::M3;
      else if (key == "FILTER" && lower_case(value).find("uv") != std::string::npos)
        common_.mode = MeasurementMode::M2;
    }
  }

  void check_fields() {
    if (field_count_ && *field_count_ != static_cast<int>(fields_.size()))
      fault(fmt::format("{} fields", fields_.size()), fmt::format("{}, as NUMBER_OF_FIELDS states", *field_count_), "");
    field_count_.reset();
    for (std::size_t f = 0; f < fields_.size(); ++f) {
      const std::string& name = fields_[f];
      const bool pairs = name == "SPECTRAL_NM" || name == "SPECTRAL_PCT" || name == "SPECTRAL_DEC";
      if (!pairs && std::count(fields_.begin(), fields_.begin() + static_cast<std::ptrdiff_t>(f), name) > 0)
        fault(fmt::format("field {} is there twice", name), "each field once", "remove one", name);
      if (name.starts_with("SPECTRAL_PCT")) raw_.scale = ReflectanceScale::per_cent;
      if (name.starts_with("SPECTRAL_DEC")) raw_.scale = ReflectanceScale::fraction;
    }
    const auto count = [&](const char* name) { return std::count(fields_.begin(), fields_.end(), name); };
    if (count("SPECTRAL_NM") != count("SPECTRAL_PCT") + count("SPECTRAL_DEC"))
      fault("SPECTRAL_NM without a value beside it", "SPECTRAL_NM with SPECTRAL_PCT or SPECTRAL_DEC", "",
            "SPECTRAL_NM");
  }

  void row(const Words& by_space, const std::string& line) {
    ++rows_;
    Words cells = by_space;
    // Names with spaces stand unquoted between tabs in some files.
    if (cells.size() != fields_.size() && line.find('\t') != std::string::npos) cells = words_of(line, true);
    if (cells.size() != fields_.size()) {
      fault(fmt::format("this set has {} values", by_space.size()),
            fmt::format("{}, as the data format states", fields_.size()),
            "put a name that holds a space in double quotes");
      return;
    }
    RawReading reading = common_;
    reading.where = {raw_.file, line_, 0, ""};
    Lab lab;
    int lab_values = 0;
    double paired_nm = 0;  // 0: none waits for its value
    std::string id;
    const std::size_t faults_before = faults_.size();
    for (std::size_t f = 0; f < fields_.size(); ++f) {
      const std::string& field = fields_[f];
      const auto nm = wavelength_in_nm(field);
      const bool paired = field == "SPECTRAL_NM" || field == "SPECTRAL_PCT" || field == "SPECTRAL_DEC";
      const bool is_lab = field == "LAB_L" || field == "LAB_A" || field == "LAB_B";
      if (field == "SAMPLE_NAME") reading.name = cells[f];
      if (field == "SAMPLE_ID") id = cells[f];
      if (field == "MEASUREMENT_CONDITION" || field == "MEASUREMENT_MODE")
        if (const auto mode = mode_in(cells[f])) reading.mode = *mode;
      if (!nm && !paired && !is_lab) continue;
      const auto value = reading_number(cells[f]);
      if (!value) {
        fault(fmt::format("'{}' is not a number", cells[f]), "a number with a decimal point", "", field);
        continue;
      }
      if (is_lab) {
        (field == "LAB_L" ? lab.l : field == "LAB_A" ? lab.a : lab.b) = *value;
        ++lab_values;
      } else if (field == "SPECTRAL_NM") {
        paired_nm = *value;
      } else if (paired) {
        if (paired_nm > 0)
          reading.wavelengths_nm.push_back(paired_nm), reading.values.push_back(*value);
        else
          fault("a value before its wavelength", "SPECTRAL_NM, then its value", "", field);
        paired_nm = 0;
      } else {
        reading.wavelengths_nm.push_back(*nm), reading.values.push_back(*value);
      }
    }
    if (faults_.size() > faults_before) return;
    if (lab_values == 3) reading.lab = lab;
    if (reading.name.empty()) reading.name = id.empty() ? fmt::format("set {}", rows_) : id;
    reading.where.key = reading.name;
    if (reading.values.empty() && !reading.lab)
      fault("neither reflectance nor Lab in this set", "fields SPECTRAL_..., nm... or LAB_L, LAB_A, LAB_B", "",
            reading.name);
    else if (reading.values.empty() && !reading.lamp && !lamp_not_known_.empty())
      fault(fmt::format("Lab under a lamp the program does not know: '{}'", lamp_not_known_),
            "A, C, D50, D65 or LED-B3", "export Lab under one of these, or the reflectance", reading.name);
    else
      raw_.readings.push_back(std::move(reading));
  }

  std::istringstream stream_;
  RawFile raw_;
  RawReading common_;  // what the keywords say of every set after them
  std::vector<Error> faults_;
  Words fields_;
  std::optional<int> sets_, field_count_;
  std::string lamp_not_known_;
  Part part_ = Part::keywords;
  int line_ = 0, rows_ = 0, tables_ = 0;
};

}  // namespace

Result<std::vector<Reading>> read_cgats(const std::string& text, const std::string& file) {
  return CgatsReader(text, file).read();
}

}  // namespace witnessline::match

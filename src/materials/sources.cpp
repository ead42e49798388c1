#include "materials/sources.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <fstream>
#include <map>

namespace witnessline::materials {

namespace {
const std::vector<std::string> known_types{"article", "book", "dataset", "inproceedings", "manual", "misc", "standard"};
const std::vector<std::string> known_fields{
    "title", "author",       "organization", "year", "journal", "publisher", "edition",   "volume", "number",
    "pages", "howpublished", "url",          "doi",  "note",    "licence",   "booktitle", "isbn"};

std::string trimmed(std::string text) {
  const auto blank = [](unsigned char c) { return std::isspace(c) != 0; };
  while (!text.empty() && blank(static_cast<unsigned char>(text.back()))) text.pop_back();
  std::size_t start = 0;
  while (start < text.size() && blank(static_cast<unsigned char>(text[start]))) ++start;
  return text.substr(start);
}

bool balanced(const std::string& text) {
  int depth = 0;
  for (const char c : text) {
    depth += c == '{' ? 1 : c == '}' ? -1 : 0;
    if (depth < 0) return false;
  }
  return depth == 0;
}

struct Entry {
  std::string type, key;
  int line = 0;
  std::map<std::string, std::string> fields;

  std::string field(const std::string& name) const {
    const auto it = fields.find(name);
    return it == fields.end() ? "" : it->second;
  }
};

Source source_of(const Entry& entry) {
  Source source;
  source.key = entry.key;
  source.title = entry.field("title");
  source.author = entry.fields.count("author") ? entry.field("author") : entry.field("organization");
  source.year = entry.field("year");
  for (const char* name : {"journal", "booktitle", "publisher", "howpublished", "edition", "volume", "number", "pages",
                           "doi", "isbn", "url"})
    if (const std::string text = entry.field(name); !text.empty()) {
      if (!source.where.empty()) source.where += ", ";
      const std::string word = name;
      source.where += (word == "volume" ? "vol. " : word == "number" ? "no. " : word == "pages" ? "p. " : "") + text;
    }
  source.licence = entry.field("licence");
  source.note = entry.field("note");
  return source;
}

class Reader {
 public:
  explicit Reader(std::string path) : path_(std::move(path)) {}

  Result<std::vector<Source>> read() {
    std::ifstream stream(path_);
    if (!stream) return Error{"the file cannot be read", {path_, 0, 0, ""}, "", "check that it is there"};
    std::string text;
    for (line_ = 1; std::getline(stream, text); ++line_) {
      text = trimmed(text);
      if (text.empty() || text.front() == '%') continue;
      if (text.front() == '@')
        begin(text);
      else if (text == "}")
        end();
      else if (open_)
        field(text);
      else
        fault("this line belongs to no entry", "@type{key,", "");
    }
    if (open_) fault(fmt::format("entry '{}' is not closed", entry_.key), "}", "");
    if (!faults_.empty()) return faults_;
    return sources_;
  }

 private:
  void fault(std::string what, std::string expected, std::string fix) {
    faults_.push_back(
        {std::move(what), {path_, line_, 0, open_ ? entry_.key : ""}, std::move(expected), std::move(fix)});
  }

  void begin(const std::string& text) {
    if (open_) fault(fmt::format("entry '{}' is not closed", entry_.key), "} before the next entry", "");
    const std::size_t brace = text.find('{');
    entry_ = Entry{};
    open_ = true;
    if (brace == std::string::npos || text.back() != ',') {
      fault("an entry does not begin like this", "@type{key,", "");
      return;
    }
    entry_.type = text.substr(1, brace - 1);
    entry_.key = text.substr(brace + 1, text.size() - brace - 2);
    entry_.line = line_;
    if (std::find(known_types.begin(), known_types.end(), entry_.type) == known_types.end())
      fault(fmt::format("entry type '{}' is not known", entry_.type), fmt::format("{}", fmt::join(known_types, ", ")),
            did_you_mean(entry_.type, known_types));
    const auto plain = [](unsigned char c) { return std::isalnum(c) || c == '_' || c == '-'; };
    if (entry_.key.empty() || !std::all_of(entry_.key.begin(), entry_.key.end(), plain))
      fault(fmt::format("key '{}' holds other characters", entry_.key), "letters, digits, _ and -", "");
  }

  void field(const std::string& text) {
    const std::size_t equals = text.find('=');
    const std::string name = trimmed(text.substr(0, equals));
    std::string value = equals == std::string::npos ? "" : trimmed(text.substr(equals + 1));
    if (!value.empty() && value.back() == ',') value.pop_back();
    if (value.size() < 3 || value.front() != '{' || value.back() != '}' || !balanced(value)) {
      fault("a field is not written like this", "name = {text}, on one line", "");
      return;
    }
    if (std::find(known_fields.begin(), known_fields.end(), name) == known_fields.end())
      fault(fmt::format("field '{}' is not known", name), fmt::format("{}", fmt::join(known_fields, ", ")),
            did_you_mean(name, known_fields));
    else if (!entry_.fields.emplace(name, trimmed(value.substr(1, value.size() - 2))).second)
      fault(fmt::format("field '{}' is given twice", name), "", "");
  }

  void end() {
    if (!open_) {
      fault("there is no open entry here", "", "");
      return;
    }
    for (const char* name : {"title", "year", "note"})
      if (entry_.field(name).empty()) fault(fmt::format("field '{}' is missing", name), "", "");
    if (entry_.field("author").empty() && entry_.field("organization").empty())
      fault("author or organization is missing", "", "");
    if (entry_.type == "dataset" && entry_.field("licence").empty())
      fault("field 'licence' is missing", "the licence of the data", "");
    const auto same = [&](const Source& s) { return s.key == entry_.key; };
    if (std::any_of(sources_.begin(), sources_.end(), same)) fault("this key is used twice", "", "");
    sources_.push_back(source_of(entry_));
    open_ = false;
  }

  std::string path_;
  int line_ = 0;
  bool open_ = false;
  Entry entry_;
  std::vector<Source> sources_;
  std::vector<Error> faults_;
};
}  // namespace

Result<std::vector<Source>> read_sources(const std::string& path) { return Reader(path).read(); }

}  // namespace witnessline::materials

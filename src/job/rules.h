// What every part of a job is held to: ids, dates, materials and places, each with its line in the file.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "job/job.h"
#include "job/read.h"

namespace witnessline::job {

/// A place in the file, followed down by key and index; stays at the last thing that is there.
struct At {
  const Tree* tree;
  std::string path;

  At operator[](std::string_view key) const {
    const Tree* inner = tree->find(key);
    return {inner == nullptr ? tree : inner, below(path, key)};
  }
  At operator[](std::size_t i) const {
    if (i >= tree->list.size()) return *this;
    return {&tree->list[i], item_path(path, tree->list[i], i)};
  }
};

/// Faults are kept as they are found.
class JobRules {
 public:
  JobRules(const Job& job, const Library& library, int this_year, Faults& faults)
      : job_(job), library_(library), this_year_(this_year > 0 ? this_year : 2100), faults_(faults) {}

 protected:
  void fault(const At& at, std::string what, std::string expected = "", std::string fix = "");
  void id(const std::string& word, const At& at);
  /// Faults every use of an id but the first, with the line of the first.
  void once(std::map<std::string, int>& seen, const std::string& word, const At& at);
  void known(const std::string& word, const At& at, const std::vector<std::string>& words, const std::string& what);
  void date(const std::string& text, const At& at);
  void date(const std::string& text, const At& at, int last);
  /// Years in words such as "about 1965" or "1890s": each number of four digits.
  void made(const std::string& words, const At& at);
  void lab(const std::vector<double>& values, const At& at);
  /// A material of the library, of one of these roles (any, when none is given).
  void material(const std::string& word, const At& at, const std::vector<Role>& roles);
  void mixture_or_material(const std::string& word, const At& at);
  void face(const std::string& word, const At& at, const std::vector<std::string>& faces);
  void patch(const Patch& p, const At& at);
  void where(const Where& w, const At& at);
  void patches(const std::vector<Patch>& all, const At& at);
  std::vector<std::string> coat_names() const;
  std::vector<std::string> life_ids() const;

  const Job& job_;
  const Library& library_;
  int this_year_;
  Faults& faults_;
};

}  // namespace witnessline::job

// Reads one file of materials; used by read_library only.
#pragma once

#include <map>
#include <set>
#include <string>
#include <vector>

#include "materials/material.h"
#include "materials/spectra.h"

namespace witnessline::materials {

/// Gathers the materials of several files, and every fault of all of them.
class MaterialReader {
 public:
  MaterialReader(const std::vector<Source>& sources, const std::map<std::string, SpectraFile>& spectra);
  void read(const std::string& path);
  const std::vector<Material>& materials() const { return materials_; }
  const std::vector<Error>& faults() const { return faults_; }

 private:
  struct File;
  std::vector<std::string> source_keys_;
  const std::map<std::string, SpectraFile>& spectra_;
  std::vector<Material> materials_;
  std::map<std::string, Place> defined_;
  std::vector<Error> faults_;
};

}  // namespace witnessline::materials

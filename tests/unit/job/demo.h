// The project's own library and demo jobs, read once.
#pragma once

#include <gtest/gtest.h>

#include <fstream>
#include <sstream>

#include "job/files.h"
#include "materials/material.h"

namespace witnessline::job {

inline std::string text_of(const std::string& path) {
  std::ifstream file(std::string(PROJECT_FOLDER) + "/" + path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  return std::move(text).str();
}

inline const Library& library() {
  static const Result<Library> read = read_library(std::string(PROJECT_FOLDER) + "/data");
  if (!read)
    for (const Error& e : read.errors()) ADD_FAILURE() << e.text();
  return *read;
}

inline const std::vector<std::string>& demo_jobs() {
  static const std::vector<std::string> paths{"examples/octave_mandolin/job.toml", "examples/slab_bass/job.toml",
                                              "examples/lap_steel/job.toml"};
  return paths;
}

inline std::string all_texts(const std::vector<Error>& errors) {
  std::string all;
  for (const Error& e : errors) all += e.text() + "\n";
  return all;
}

}  // namespace witnessline::job

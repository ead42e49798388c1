// write_generated FOLDER: writes every file that is made from the structs' own descriptions below FOLDER.
#include <filesystem>
#include <fstream>
#include <iostream>

#include "app/app.h"
#include "app/practice/practice.h"
#include "app/verb.h"
#include "job/files.h"

int main(int argc, char** argv) {
  if (argc != 2) {
    std::cerr << "usage: write_generated FOLDER   (the project's own folder to bring it up to date)\n";
    return 2;
  }
  const auto write = [&](const std::filesystem::path& file, const std::string& text) {
    const std::filesystem::path path = std::filesystem::path(argv[1]) / file;
    std::filesystem::create_directories(path.parent_path());
    std::ofstream out(path, std::ios::binary);
    out << text;
    out.close();
    if (!out) std::cerr << path.string() << ": cannot be written\n";
    return static_cast<bool>(out);
  };
  // Rows and predictors of the project this program was built in.
  const auto practice = witnessline::app::practice_page(witnessline::app::data_folder());
  if (!practice) {
    std::cerr << practice.errors()[0].text() << "\n";
    return 1;
  }
  const bool all = write("docs/models/practice.md", *practice) &&
                   write("data/schema/job.schema.json", witnessline::job::job_schema_json()) &&
                   write("docs/job_keys.md", witnessline::job::job_key_tables()) &&
                   write("web/src/generated/types.ts", witnessline::app::verb_typescript_types()) &&
                   write("docs/verb_keys.md", witnessline::app::verb_key_tables());
  return all ? 0 : 1;
}

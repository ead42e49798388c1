// write_example_photograph FILE.jpg: draws the invented photograph of examples/verbs again.
#include <fstream>
#include <iostream>

#include "unit/app/example_photograph.h"

int main(int argc, char** argv) {
  if (argc != 2) {
    std::cerr << "usage: write_example_photograph examples/verbs/invented_checked_face.jpg\n";
    return 2;
  }
  const auto jpeg = witnessline::image::to_jpeg(witnessline::app::example_photograph(), 90);
  std::ofstream out(argv[1], std::ios::binary);
  out.write(reinterpret_cast<const char*>(jpeg.data()), static_cast<std::streamsize>(jpeg.size()));
  out.close();
  if (!out) std::cerr << argv[1] << ": cannot be written\n";
  return out ? 0 : 1;
}

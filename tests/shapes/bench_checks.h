// Checks the bench's own cold opens in lacquer on a slab of maple, as paths on a picture of its front.
#pragma once

#include <stdexcept>

#include "bench/existing.h"
#include "body/build.h"
#include "shapes/checked_plate.h"

namespace witnessline::shapes {

using namespace bench;

/// The grain runs up the picture's width; the middle of the front is the picture's. Lacquer sixty years old.
inline std::vector<PixelPath> checks_of_the_bench(const PlateShot& shot, double m_per_px, double film_m, double degC) {
  const Result<Library> library = read_library(PROJECT_FOLDER "/data");
  if (!library) throw std::runtime_error(library.errors()[0].text());
  BodySpec spec;
  spec.outline = "slab.svg", spec.thickness_m = 0.04, spec.edge_radius_m = 0.004;
  spec.top_wood = spec.back_wood = spec.side_wood = "maple";
  const auto built =
      build_body(spec,
                 "<svg xmlns='http://www.w3.org/2000/svg' width='220mm' height='300mm' viewBox='0 0 220 300'>"
                 "<path id='outline' d='M10,10 L210,10 L210,290 L10,290 Z'/></svg>",
                 "slab.svg", {}, 3e-3);
  if (!built) throw std::runtime_error(built.errors()[0].text());
  const Bench bench{built->body, *library, {std::make_shared<const Material>(*library->find("maple"))}, {}, {}, 11};
  const auto film =
      existing_film({{"lacquer", "nitrocellulose_lacquer", Origin::original, film_m, 0.1 * film_m, 0, {}}}, bench);
  if (!film) throw std::runtime_error(film.errors()[0].text());
  ColdCheck cold;
  cold.to_K = 273.15 + degC, cold.found_s = 60 * unit::year.scale;
  const auto checked = run_step({"cold", "", cold}, *film, bench);
  if (!checked) throw std::runtime_error(checked.errors()[0].text());
  std::vector<PixelPath> lines;
  for (const Mark& mark : *checked->film.marks) {
    PixelPath path;
    const auto ended = [&] {
      if (path.size() > 1) lines.push_back(path);
      path.clear();
    };
    for (const SurfacePoint& at : mark.path) {
      const Vec3 p = bench.body.position(at);
      if (p.z < 0.0195f)  // off the flat front
        ended();
      else
        path.push_back({0.5 * shot.width + static_cast<double>(p.y - 0.15f) / m_per_px,
                        0.5 * shot.height + static_cast<double>(p.x) / m_per_px});
    }
    ended();
  }
  return lines;
}

}  // namespace witnessline::shapes

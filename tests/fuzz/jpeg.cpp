#include "fuzz.h"
#include "image/image.h"

FUZZ(bytes) {
  const auto picture = witnessline::image::from_jpeg(bytes, "picture");
  if (picture)
    witnessline::must(picture->width > 0 && picture->height > 0 &&
                          picture->rgb.size() == std::size_t{3} * picture->width * picture->height,
                      "a picture has three bytes a pixel");
  else
    witnessline::must_be_told(picture.errors());
}

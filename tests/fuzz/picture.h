// What any reader of pictures must answer with.
#pragma once

#include "fuzz.h"
#include "image/image.h"

namespace witnessline {

template <class Picture>
void take_picture(const base::Result<Picture>& picture) {
  if (!picture) return must_have_reason(picture.errors());
  must(picture->width > 0 && picture->height > 0 &&
           picture->rgb.size() == std::size_t{3} * picture->width * picture->height,
       "a picture has three bytes a pixel");
}

}  // namespace witnessline

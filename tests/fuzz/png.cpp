#include "picture.h"

FUZZ(bytes) { witnessline::take_picture(witnessline::image::from_png(bytes, "picture")); }

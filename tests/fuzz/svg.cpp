#include "body/svg.h"

#include "body.h"

// Making the body takes a tenth of a second, reading the drawing none: one in eight is made, with a cavity named.
FUZZ(bytes) {
  const auto tracing = witnessline::body::read_tracing(bytes, "body.file");
  if (!tracing) return witnessline::must_have_reason(tracing.errors());
  if (bytes.size() % 8 != 0) return;
  witnessline::body::BodySpec spec;
  spec.outline = "body.file";
  if (!tracing->others.empty()) spec.cavities = {{tracing->others.front().id, 0, 0, 0, 0.02, "front"}};
  witnessline::build(spec, bytes);
}

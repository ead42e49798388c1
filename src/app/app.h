// The verbs. The command line and the HTTP server are skins over these; only here are files opened.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "base/stop.h"
#include "job/outcome.h"
#include "papers/papers.h"
#include "view/pictures.h"

namespace witnessline::app {

/// Where the program's own data lie: data/ beside the sources, or installed.
std::string data_folder();

/// A job opened and worked out: its body, library, runs and outcome. Reads are thread-safe.
class Worked {
 public:
  const Job& job() const;
  const Outcome& outcome() const;
  const Body& body() const;
  const Library& library() const;
  const Film* film(const std::string& plan, std::size_t step) const;  ///< nullptr: no such step
  std::vector<std::uint8_t> glb(const std::string& plan, std::size_t step, std::size_t most_vertices) const;
  std::vector<std::array<std::uint8_t, 3>> colours(const std::string& plan, std::size_t step, Lamp) const;
  Result<ColumnReading> column(const std::string& plan, std::size_t step, Vec3 near) const;
  /// Nearest stop depth at each of `vertices` [m], tape or not.
  std::vector<float> stop_depths_m(const std::string& plan, std::size_t step,
                                   std::span<const std::uint32_t> vertices) const;
  /// How deep a life would wear at each of `vertices` [m]; `life` and `touches` as the question `wear` has them.
  Result<std::vector<float>> worn_depths_m(const std::string& plan, std::size_t step, const std::string& life,
                                           const std::vector<Touch>& touches,
                                           std::span<const std::uint32_t> vertices) const;
  /// `fitted`: with stand-ins for the parts the job lists.
  Image still(const std::string& plan, std::size_t step, Face, Light, StillSize, bool fitted = false) const;
  /// As if nobody had refinished it; an empty image where no original coat was found.
  Image still_untouched(Face, Light, StillSize, bool fitted = false) const;
  /// Drawn when first asked for, which takes seconds.
  const std::vector<PlanPictures>& paper_pictures() const;
  struct Data;
  explicit Worked(std::shared_ptr<const Data>);

 private:
  std::shared_ptr<const Data> data_;
};

using Progress = std::function<void(const std::string& what, double done)>;  ///< done 0..1

/// Reads and checks a job file and everything it names; `notes`: what to look at again. Errors: every fault found;
/// broken off by `stop`.
Result<Job> validate(const std::string& job_path, const StopCheck& stop = {}, std::vector<Note>* notes = nullptr);

/// Tries every plan of a job on a coarse body, as far as the faults that validate() names leave it whole. Errors: why a
/// plan would be refused, all that can be known at once.
Result<Done> try_plans(const std::string& job_path);

/// Works every plan of a job out. `stop` breaks the making of the body off; throwing from `progress` the rest.
Result<Worked> simulate(const std::string& job_path, const Progress& = {}, const StopCheck& stop = {});

/// Writes outcome (text, JSON, CSV), the papers as HTML, templates as SVG and, with `pictures`, stills in that light,
/// sections and GLB into `folder`; whole or not at all.
Result<Done> write_outcome(const Worked&, const std::string& folder, BenchUnits, std::optional<Light> pictures,
                           const Progress& = {});

/// One paper as HTML made for print; nothing where the job or plan has no such paper.
std::optional<std::string> paper_page(const Worked&, Paper, const std::string& plan, BenchUnits, Sheet);

/// HTML made for print as a tagged PDF with its fonts, title and bookmarks, by WeasyPrint. Errors: it is not installed,
/// or refuses.
Result<std::string> pdf_of(const std::string& html);

/// Writes every paper into `folder` as HTML and, for each of `sheets`, PDF; templates as SVG and
/// the outcome as JSON beside them. Whole or not at all.
Result<Done> write_papers(const Worked&, const std::string& folder, BenchUnits, const std::vector<Sheet>& sheets,
                          const Progress& = {});

/// A4, or Letter with US units.
constexpr Sheet usual_sheet(BenchUnits units) { return units == BenchUnits::us ? Sheet::letter : Sheet::a4; }

/// Writes a new job file a person can start from, and the folders above it. Errors: the file exists.
Result<Done> new_job(const std::string& path);

/// A published value beside ours.
struct Check {
  std::string id, what, inputs;
  double ours = 0, published = 0, tolerance = 0;  ///< [unit]
  std::string unit, source, locator;
  std::string how_known;    ///< how the published number is known: read, computed or memory
  bool tests_truth = true;  ///< false: the row only tests arithmetic
  std::string note;
  std::string fault;  ///< why ours could not be worked out; then `ours` says nothing
  bool within() const;
};
Result<std::vector<Check>> verify();
/// {"checks": [...], "outside_tolerance": n}; what could not be worked out is null, and "refused" says why.
std::string verify_json(const std::vector<Check>&);

}  // namespace witnessline::app

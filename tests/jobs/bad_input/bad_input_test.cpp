// What a person may hand the program by mistake: each time a located fault or a Note, nothing half-written, no crash.
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <stdlib.h>

#include <array>
#include <filesystem>
#include <fstream>

#include "app/app.h"

namespace witnessline::app {
namespace {

namespace fs = std::filesystem;

class BadInput : public testing::Test {
 protected:
  void SetUp() override {
    setenv("WITNESSLINE_DATA", PROJECT_FOLDER "/data", 1);
    std::string pattern = (fs::temp_directory_path() / "bad_input_XXXXXX").string();
    ASSERT_NE(mkdtemp(pattern.data()), nullptr);
    folder_ = pattern;
  }
  void TearDown() override { fs::remove_all(folder_); }

  std::string write(const std::string& name, const std::string& text) {
    std::ofstream(folder_ / name, std::ios::binary) << text;
    return (folder_ / name).string();
  }

  /// A job on a block 300 x 400 x 40 mm as a mesh, with one old coat and one plan.
  std::string job(const std::string& steps, const std::string& body = "mesh = \"block.stl\"\nmesh_unit = \"mm\"\n") {
    return write("job.toml",
                 "id = \"block\"\ntitle = \"A block\"\n[instrument]\nkind = \"block\"\n[body]\n" + body +
                     "pitch_mm = 8.0\n[[coats]]\nname = \"old lacquer\"\nmixture = \"nitrocellulose_lacquer\"\n"
                     "origin = \"original\"\nthickness_um = 60\n[[plans]]\nid = \"p\"\ntitle = \"P\"\n" +
                     steps);
  }

  /// The block as text STL; `scale` puts it in another unit, `leave_out` makes a hole, `bad` stands in for a number.
  std::string block(double scale = 1, int leave_out = -1, const std::string& bad = "") {
    const std::array<std::array<double, 3>, 8> c{{{-150, 0, -20},
                                                  {150, 0, -20},
                                                  {150, 400, -20},
                                                  {-150, 400, -20},
                                                  {-150, 0, 20},
                                                  {150, 0, 20},
                                                  {150, 400, 20},
                                                  {-150, 400, 20}}};
    const int faces[12][3] = {{0, 2, 1}, {0, 3, 2}, {4, 5, 6}, {4, 6, 7}, {0, 1, 5}, {0, 5, 4},
                              {1, 2, 6}, {1, 6, 5}, {2, 3, 7}, {2, 7, 6}, {3, 0, 4}, {3, 4, 7}};
    std::string text = "solid block\n";
    for (int f = 0; f < 12; ++f) {
      if (f == leave_out) continue;
      text += "facet normal 0 0 0\nouter loop\n";
      for (const int v : faces[f]) {
        const auto& p = c[static_cast<std::size_t>(v)];
        text +=
            fmt::format("vertex {} {} {}\n", f == 0 && v == 0 && !bad.empty() ? bad : fmt::format("{}", p[0] * scale),
                        p[1] * scale, p[2] * scale);
      }
      text += "endloop\nendfacet\n";
    }
    return write("block.stl", text + "endsolid block\n");
  }

  static std::string texts(const std::vector<Error>& errors) {
    std::string all;
    for (const Error& e : errors) all += e.text() + "\n";
    return all;
  }

  void refused(const std::string& path, const std::vector<std::string>& words) {
    const Result<Job> job = validate(path);
    ASSERT_FALSE(job);
    for (const std::string& word : words)
      EXPECT_NE(texts(job.errors()).find(word), std::string::npos) << word << " is not in\n" << texts(job.errors());
  }

  fs::path folder_;
};

const std::string clean_step = "[[plans.steps]]\nid = \"a\"\ndo = \"clean\"\n";

TEST_F(BadInput, ASoundJobPasses) {
  block();
  const Result<Job> read = validate(job(clean_step));
  EXPECT_TRUE(read) << texts(read.errors());
}

TEST_F(BadInput, MissingOrUnreadableJob) {
  refused((folder_ / "nowhere.toml").string(), {"nowhere.toml"});
  refused(folder_.string(), {folder_.string()});
  refused(write("empty.toml", ""), {"id: is missing", "body: is missing"});
  refused(write("binary.toml", std::string("\x7f"
                                           "ELF\0\0\xff\xfe",
                                           8)),
          {"binary.toml:1:"});
}

TEST_F(BadInput, FaultsOfTheJobAreLocated) {
  block();
  refused(
      job("[[plans.steps]]\nid = \"a\"\ndo = \"spray\"\nmixture = \"nitrocellulose_laquer\"\nwet = 80\ncolour = 3\n"),
      {"job.toml:20:11: plans.p.steps.a.mixture", "did you mean 'nitrocellulose_lacquer'?",
       "job.toml:21:1: plans.p.steps.a.wet: unit missing", "job.toml:22:1: plans.p.steps.a.colour: unknown key"});
}

TEST_F(BadInput, BodyFiles) {
  refused(job(clean_step), {"block.stl"});  // missing
  write("block.stl", "this is not a mesh");
  refused(job(clean_step), {"block.stl"});
  block(1, 3);
  refused(job(clean_step), {"block.stl", "hole"});
  block(1, -1, "nan");
  refused(job(clean_step), {"block.stl"});
  block(1.0 / 25.4);  // drawn in inches, said to be metres: 15.7 m long
  refused(job(clean_step, "mesh = \"block.stl\"\nmesh_unit = \"m\"\n"),
          {"body.mesh_unit", "not the size of an instrument"});
  block();
  refused(job(clean_step, "mesh = \"block.stl\"\n"), {"unit"});
  write("open.svg",
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"9mm\" height=\"9mm\" viewBox=\"0 0 9 9\">"
        "<path id=\"outline\" d=\"M 0 0 L 9 9\"/></svg>");
  refused(job(clean_step, "outline = \"open.svg\"\n"), {"open.svg"});
  write("open.svg", "<svg");
  refused(job(clean_step, "outline = \"open.svg\"\n"), {"open.svg"});
}

TEST_F(BadInput, AMeshThatCrossesItself) {
  std::string text;
  {
    std::ifstream in(block());
    text.assign(std::istreambuf_iterator<char>(in), {});
  }
  const std::string corner = "vertex -150 0 -20";
  for (std::size_t at; (at = text.find(corner)) != std::string::npos;)
    text.replace(at, corner.size(), "vertex 0 200 90");
  write("block.stl", text);
  const std::string path = job(clean_step);
  refused(path, {"block.stl", "crosses itself at"});
  EXPECT_FALSE(simulate(path));
}

TEST_F(BadInput, CheckingAJobCanBeStopped) {
  block();
  const Result<Job> read = validate(job(clean_step), [] { return true; });
  ASSERT_FALSE(read);
  EXPECT_NE(texts(read.errors()).find("stopped before it was finished"), std::string::npos) << texts(read.errors());
}

// A job may come from anybody: it reaches no file outside its own folder.
TEST_F(BadInput, TheBodyFileLiesInTheFolderOfTheJob) {
  const fs::path outside = folder_ / "outside";
  fs::create_directories(outside);
  block();
  fs::rename(folder_ / "block.stl", outside / "block.stl");
  const fs::path home = folder_ / "home";
  fs::create_directories(home / "deeper");
  const auto check = [&](const std::string& name) {
    const std::string written = job(clean_step, "mesh = \"" + name + "\"\nmesh_unit = \"mm\"\n");
    fs::rename(written, home / "job.toml");
    const Result<Job> read = validate((home / "job.toml").string());
    return read ? std::string("taken") : texts(read.errors());
  };
  const std::string lies_outside = "outside the job's folder";
  EXPECT_NE(check("../outside/block.stl").find(lies_outside), std::string::npos);
  EXPECT_NE(check((outside / "block.stl").string()).find(lies_outside), std::string::npos);
  EXPECT_NE(check("/etc/passwd").find(lies_outside), std::string::npos);
  EXPECT_NE(check("deeper/../../outside/block.stl").find(lies_outside), std::string::npos);
  fs::create_symlink(outside / "block.stl", home / "link.stl");
  EXPECT_NE(check("link.stl").find(lies_outside), std::string::npos);
  fs::create_directory_symlink(outside, home / "linked");
  EXPECT_NE(check("linked/block.stl").find(lies_outside), std::string::npos);
  EXPECT_NE(check("../outside/nowhere.stl").find(lies_outside), std::string::npos);  // nor whether it exists
  EXPECT_NE(check("/etc/passwd").find("body.mesh"), std::string::npos);
  fs::copy(outside / "block.stl", home / "deeper" / "block.stl");
  EXPECT_EQ(check("deeper/block.stl"), "taken");
  fs::create_symlink("deeper/block.stl", home / "inner.stl");
  EXPECT_EQ(check("inner.stl"), "taken");
  EXPECT_EQ(check("deeper/../deeper/block.stl"), "taken");
}

// A plan that cannot be worked is refused in the outcome, with the reason; the other plans are still worked out.
TEST_F(BadInput, APlanThatTakesOffWhatIsNotThere) {
  block();
  const std::string path = job(
      clean_step +
      "[[plans]]\nid = \"q\"\ntitle = \"Q\"\n[[plans.steps]]\nid = \"lay\"\ndo = \"clean\"\n[[plans.steps]]\nid = "
      "\"first\"\n"
      "do = \"lift\"\ncoat = \"old lacquer\"\nstop_at = \"wood\"\n[[plans.steps]]\nid = \"again\"\ndo = \"lift\"\n"
      "coat = \"old lacquer\"\nstop_at = \"wood\"\nresidue_pct = 0\n[[plans.steps]]\nid = \"third\"\ndo = \"lift\"\n"
      "coat = \"old lacquer\"\nstop_at = \"wood\"\n");
  const Result<Worked> worked = simulate(path);
  ASSERT_TRUE(worked) << texts(worked.errors());
  ASSERT_EQ(worked->outcome().plans.size(), 2u);
  EXPECT_TRUE(worked->outcome().plans[0].runs);
  const PlanOutcome& refused_plan = worked->outcome().plans[1];
  EXPECT_FALSE(refused_plan.runs);
  std::string shown_text;
  for (const Note& n : refused_plan.notes) shown_text += n.text + "\n";
  EXPECT_NE(shown_text.find("old lacquer"), std::string::npos) << shown_text;
  EXPECT_EQ(shown_text.find("plans.q.steps"), std::string::npos)
      << "the key stands beside the text, not in it: " << shown_text;
  const Result<Done> tried = try_plans(path);
  ASSERT_FALSE(tried);
  EXPECT_EQ(tried.errors()[0].where.key.rfind("plans.q.steps.", 0), 0u) << texts(tried.errors());
  EXPECT_EQ(tried.errors()[0].where.file, path);
  EXPECT_GT(tried.errors()[0].where.line, 20) << texts(tried.errors());
  EXPECT_NE(shown_text.find("job.toml:"), std::string::npos) << shown_text;
  EXPECT_EQ(shown_text.find(folder_.string()), std::string::npos)
      << "a report names no folder of this machine: " << shown_text;
}

// Faults of the body, of what is drawn on it and of the rest of the job come together, each with the line of its key.
TEST_F(BadInput, EveryFaultInOneRunWithItsLine) {
  refused(job(clean_step + "cloth = 2\n"),
          {"job.toml:6:8: body.mesh: there is no file", "job.toml:20:1: plans.p.steps.a.cloth: unknown key"});
  write("o.svg",
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"300mm\" height=\"400mm\" viewBox=\"0 0 300 400\">"
        "<path id=\"outline\" d=\"M 0 0 H 300 V 400 H 0 Z\"/><path id=\"pocket\" d=\"M 90 90 H 150 V 150 H 90 "
        "Z\"/></svg>");
  const std::string body =
      "outline = \"o.svg\"\nthickness_mm = 40\nedge_radius_mm = 5\n"
      "cavities = [{ path = \"pockte\", depth_mm = 9 },\n  { path = \"pocekt\", depth_mm = 9 }]\n";
  refused(job(clean_step + "cloth = 2\n", body),
          {"job.toml:9:", "body.cavities[1].path: the drawing o.svg has no path 'pockte'", "did you mean 'pocket'?",
           "job.toml:10:", "body.cavities[2].path", "job.toml:23:1: plans.p.steps.a.cloth: unknown key"});
}

TEST_F(BadInput, ADentOffTheBody) {
  block();
  refused(job(clean_step +
              "[[survey]]\nfact = \"dent\"\nat = { x_mm = 5000, y_mm = 100, radius_mm = 4, face = \"front\" }\n"
              "depth_um = 400\n"),
          {"job.toml:22:", "survey[1].at", "is 4850 mm off the body", "x -150 to 150 mm, y 0 to 400 mm"});
}

// A cavity that the drawing has not, one that lies off the body and one too deep are told together, each by its number.
TEST_F(BadInput, EveryFaultOfTheCavitiesInOneRun) {
  write("o.svg",
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"300mm\" height=\"400mm\" viewBox=\"0 0 300 400\">"
        "<path id=\"outline\" d=\"M 0 0 H 300 V 400 H 0 Z\"/></svg>");
  refused(job(clean_step + "cloth = 2\n",
              "outline = \"o.svg\"\nthickness_mm = 40\nedge_radius_mm = 5\ncavities = [\n"
              "  { path = \"pocket\", depth_mm = 9 },\n  { x_mm = 900, y_mm = 0, radius_mm = 9, depth_mm = 9 },\n"
              "  { x_mm = 0, y_mm = 200, radius_mm = 9, depth_mm = 90 }]\n"),
          {"body.cavities[1].path: the drawing o.svg has no path 'pocket'", "body.cavities[2]: this cavity is off",
           "body.cavities[3].depth_mm: the cavity is 90.0 mm deep", "plans.p.steps.a.cloth: unknown key"});
}

// A line that is no TOML hides nothing that is written in other tables: the body file is still opened and tried.
TEST_F(BadInput, ALineThatIsNoTomlDoesNotHideTheBody) {
  write("block.stl", "this is not a mesh");
  refused(job("[[plans.steps]]\nid = \"a\"\ndo = = \"clean\"\n"),
          {"job.toml:19:", "not readable as TOML", "block.stl"});
}

// All that can be known of a plan at once: what is wrong with any of its steps whatever the film, and the first that
// the film refuses.
TEST_F(BadInput, EveryRefusalOfAPlanThatCanBeKnown) {
  block();
  const std::string spray = "do = \"spray\"\nmixture = \"nitrocellulose_lacquer\"\nwet_um = 80\n";
  const std::string path = job(
      "[[plans.steps]]\nid = \"early\"\ndo = \"lift\"\ncoat = \"old lacquer\"\nstop_at = \"wood\"\nresidue_pct = 0\n"
      "[[plans.steps]]\nid = \"twice\"\ndo = \"lift\"\ncoat = \"old lacquer\"\nstop_at = \"wood\"\n"
      "[[plans.steps]]\nid = \"curdles\"\n" +
      spray +
      "thinner = \"water\"\nthinning = 1\n"
      "[[plans.steps]]\nid = \"nowhere\"\ndo = \"clean\"\nwhere = { patches = [{ face = \"front\", x_mm = 900, "
      "y_mm = 0, radius_mm = 5 }] }\n");
  const Result<Done> tried = try_plans(path);
  ASSERT_FALSE(tried);
  const std::string all = texts(tried.errors());
  for (const char* step : {"plans.p.steps.twice.", "plans.p.steps.curdles.thinner", "plans.p.steps.nowhere.where"})
    EXPECT_NE(all.find(step), std::string::npos) << step << " is not in\n" << all;
  EXPECT_EQ(tried.errors().size(), 3u) << all;
}

TEST_F(BadInput, NothingHalfWritten) {
  block();
  const Result<Worked> worked = simulate(job(clean_step));
  ASSERT_TRUE(worked) << texts(worked.errors());
  const fs::path mine = folder_ / "mine";
  fs::create_directory(mine);
  std::ofstream(mine / "letter.txt") << "not yours";
  EXPECT_FALSE(write_outcome(*worked, mine.string(), BenchUnits::metric, std::nullopt));
  EXPECT_TRUE(fs::exists(mine / "letter.txt"));
  EXPECT_EQ(std::distance(fs::directory_iterator(mine), fs::directory_iterator()), 1);
  EXPECT_FALSE(write_outcome(*worked, (folder_ / "job.toml" / "out").string(), BenchUnits::metric, std::nullopt));
  const Result<Done> written = write_outcome(*worked, (folder_ / "out").string(), BenchUnits::us, std::nullopt);
  ASSERT_TRUE(written);
  EXPECT_TRUE(
      write_outcome(*worked, (folder_ / "out").string(), BenchUnits::us, std::nullopt));  // its own files are replaced
  write("out/my_notes.txt", "mine");
  const Result<Done> beside = write_outcome(*worked, (folder_ / "out").string(), BenchUnits::us, std::nullopt);
  ASSERT_FALSE(beside);
  EXPECT_NE(beside.errors().front().what.find("my_notes.txt"), std::string::npos);
  EXPECT_TRUE(fs::exists(folder_ / "out" / "my_notes.txt"));
  ASSERT_TRUE(written) << texts(written.errors());
  EXPECT_TRUE(fs::exists(folder_ / "out" / "outcome.json"));
  EXPECT_FALSE(new_job((folder_ / "job.toml").string()));  // never over a file that is there
}

}  // namespace
}  // namespace witnessline::app

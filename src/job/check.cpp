#include "job/check.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "bench/tin_facts.h"

namespace witnessline::job {
namespace {

/// A place in the file, followed down by key and index; stays at the last thing that is there.
struct At {
  const Tree* tree;
  std::string path;

  At operator[](std::string_view key) const {
    const Tree* inner = tree->find(key);
    return {inner == nullptr ? tree : inner, below(path, key)};
  }
  At operator[](std::size_t i) const {
    if (i >= tree->list.size()) return *this;
    return {&tree->list[i], item_path(path, tree->list[i], i)};
  }
};

// ESTIMATES: no violin or lute that is still played is older; nobody at a bench dates a tin or a test earlier; work is
// planned no further ahead.
constexpr int first_instrument_year = 1400, first_bench_year = 1900, years_planned = 10;

class Check {
 public:
  Check(const Job& job, const Tree& tree, const Library& library, int this_year, Faults& faults)
      : job_(job), root_{&tree, ""}, library_(library), this_year_(this_year > 0 ? this_year : 2100), faults_(faults) {}

  void all() {
    id(job_.id, root_["id"]);
    made(job_.instrument.year, root_["instrument"]["year"]);
    date(job_.start, root_["start"], this_year_ + years_planned);
    body(root_["body"]);
    for (std::size_t i = 0; i < job_.survey.size(); ++i) patch(job_.survey[i].at, root_["survey"][i]["at"]);
    for (std::size_t i = 0; i < job_.parts.size(); ++i) patches(job_.parts[i].covers, root_["parts"][i]["covers"]);
    mixtures(root_["mixtures"]);
    coats(root_["coats"]);
    for (std::size_t i = 0; i < job_.readings.size(); ++i) lab(job_.readings[i].lab, root_["readings"][i]["lab"]);
    shelf(root_["shelf"]);
    tins(root_["tins"]);
    spots(root_["spots"]);
    target(root_["target"]);
    lives(root_["lives"]);
    plans(root_["plans"]);
    consent(root_["consent"]);
    hold_points(root_["hold_points"]);
    contents(root_["contents"]);
    room(root_["room"]);
  }

 private:
  void fault(const At& at, std::string what, std::string expected = "", std::string mend = "") {
    faults_.add(*at.tree, at.path, std::move(what), std::move(expected), std::move(mend));
  }

  void id(const std::string& word, const At& at) {
    const bool fit =
        std::all_of(word.begin(), word.end(), [](unsigned char c) { return std::isalnum(c) || c == '_' || c == '-'; });
    if (!fit) fault(at, "is not a word: " + in_quotes(word), "letters, digits, _ and - only");
  }

  /// The first use of a word is right; each later one is told where the first stands.
  void once(std::map<std::string, int>& seen, const std::string& word, const At& at) {
    if (word.empty()) return;
    const auto [first, fresh] = seen.emplace(word, at.tree->line);
    if (!fresh)
      fault(at, "is used twice: " + in_quotes(word), "a word of its own",
            first->second > 0 ? fmt::format("the first is on line {}", first->second) : "");
  }

  void known(const std::string& word, const At& at, const std::vector<std::string>& words, const std::string& what) {
    if (word.empty() || std::find(words.begin(), words.end(), word) != words.end()) return;
    fault(at, "no such " + what + ": " + in_quotes(word), words.empty() ? "" : one_of(words),
          did_you_mean(word, words));
  }

  void date(const std::string& text, const At& at) { date(text, at, this_year_); }
  void date(const std::string& text, const At& at, int last) {
    if (text.empty()) return;
    int y = 0, m = 0, d = 0;
    char rest = 0;
    const bool form = text.size() == 10 && std::sscanf(text.c_str(), "%4d-%2d-%2d%c", &y, &m, &d, &rest) == 3;
    constexpr int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    const bool leap = (y % 4 == 0 && y % 100 != 0) || y % 400 == 0;
    const bool fit = form && m >= 1 && m <= 12 && d >= 1 && d <= days[m - 1] + (m == 2 && leap ? 1 : 0);
    if (!fit) return fault(at, "is no day of the calendar: " + in_quotes(text), "YYYY-MM-DD");
    if (y < first_bench_year || y > last)
      fault(at, fmt::format("is in the year {}", y), fmt::format("{} to {}", first_bench_year, last), "check the year");
  }

  /// Years in words such as "about 1965" or "1890s": each number of four digits.
  void made(const std::string& words, const At& at) {
    for (std::size_t from = 0; from < words.size();) {
      const auto digit = [&](std::size_t i) { return i < words.size() && words[i] >= '0' && words[i] <= '9'; };
      std::size_t to = from;
      while (digit(to)) ++to;
      if (to - from == 4)
        if (const int year = std::stoi(words.substr(from, 4)); year < first_instrument_year || year > this_year_)
          fault(at, fmt::format("no instrument was made in {}", year),
                fmt::format("{} to {}", first_instrument_year, this_year_), "check the year");
      from = to + 1;
    }
  }

  void lab(const std::vector<double>& values, const At& at) {
    if (values.empty()) return;
    if (values.size() != 3) return fault(at, fmt::format("has {} numbers", values.size()), "three: L*, a*, b*");
    if (values[0] < 0 || values[0] > 100) fault(at[0], "L* is out of range", "0 to 100");
    for (const std::size_t i : {std::size_t{1}, std::size_t{2}})
      if (std::abs(values[i]) > 150) fault(at[i], "is out of range", "-150 to 150");
  }

  /// A material of the library, of one of these roles (any, when none is given).
  void material(const std::string& word, const At& at, const std::vector<Role>& roles) {
    if (word.empty()) return;
    const Material* found = library_.find(word);
    std::vector<std::string> fit;
    for (const Material& m : library_.all())
      if (roles.empty() || std::find(roles.begin(), roles.end(), m.role) != roles.end()) fit.push_back(m.id);
    if (found == nullptr) return known(word, at, fit, "material");
    if (std::find(fit.begin(), fit.end(), word) == fit.end())
      fault(at, in_quotes(word) + " is a " + word_for(found->role), one_of(fit));
  }

  void mixture_or_material(const std::string& word, const At& at) {
    std::vector<std::string> words;
    for (const Mixture& m : job_.mixtures) words.push_back(m.id);
    for (const Material& m : library_.all())
      if (m.role != Role::wood && m.role != Role::solvent && m.role != Role::cleaner && m.role != Role::compound)
        words.push_back(m.id);
    if (const Material* m = library_.find(word);
        m != nullptr && std::find(words.begin(), words.end(), word) == words.end())
      return fault(at, in_quotes(word) + " is a " + word_for(m->role) + " and makes no coat", one_of(words));
    known(word, at, words, "mixture or material");
  }

  void face(const std::string& word, const At& at, const std::vector<std::string>& faces) {
    if (std::find(faces.begin(), faces.end(), word) == faces.end())
      fault(at, "cannot be " + in_quotes(word), one_of(faces), did_you_mean(word, faces));
  }

  void patch(const Patch& p, const At& at) {
    face(p.face, at["face"], {"front", "back", "sides"});
    if (p.to_x_m.has_value() != p.to_y_m.has_value())
      fault(at, "has only one of to_x and to_y", "both for a long patch, neither for a round one");
  }

  void where(const Where& w, const At& at) {
    std::vector<std::string> regions;
    for (const char* word : words(static_cast<const Region*>(nullptr))) regions.emplace_back(word);
    const auto each = [&](const std::vector<std::string>& entries, const At& list) {
      for (std::size_t i = 0; i < entries.size(); ++i) {
        std::size_t from = 0;
        while (from < entries[i].size()) {
          const std::size_t to = std::min(entries[i].find(' ', from), entries[i].size());
          known(entries[i].substr(from, to - from), list[i], regions, "region");
          from = to + 1;
        }
        if (entries[i].empty()) fault(list[i], "is empty", one_of(regions));
      }
    };
    each(w.on, at["on"]);
    each(w.except, at["except"]);
    for (std::size_t i = 0; i < w.patches.size(); ++i) patch(w.patches[i], at["patches"][i]);
  }

  void body(const At& at) {
    const BodySpec& b = job_.body;
    if (b.outline.empty() == b.mesh.empty())
      fault(at, b.mesh.empty() ? "has neither outline nor mesh" : "has both outline and mesh", "one of the two");
    const std::vector<std::string> axes{"+x", "-x", "+y", "-y", "+z", "-z"};
    known(b.mesh_unit, at["mesh_unit"], {"mm", "cm", "m", "in"}, "mesh unit");
    known(b.up, at["up"], axes, "axis");
    known(b.front, at["front"], axes, "axis");
    if (!b.up.empty() && !b.front.empty() && b.up.back() == b.front.back())
      fault(at["front"], "lies along the same axis as up", "another axis");
    for (std::size_t i = 0; i < b.contours.size(); ++i)
      face(b.contours[i].face, at["contours"][i]["face"], {"front", "back"});
    for (std::size_t i = 0; i < b.cavities.size(); ++i) {
      const At cavity = at["cavities"][i];
      face(b.cavities[i].face, cavity["face"], {"front", "back"});
      if (b.cavities[i].path.empty() && !(b.cavities[i].radius_m > 0))
        fault(cavity, "has neither path nor radius", "the path of an outline file, or radius_mm");
    }
    material(b.top_wood, at["top_wood"], {Role::wood});
    material(b.back_wood, at["back_wood"], {Role::wood});
    material(b.side_wood, at["side_wood"], {Role::wood});
    material(b.binding_material, at["binding_material"], {});
    const bool bound = b.binding_width_m > 0 || b.binding_depth_m > 0;
    if (bound && b.binding_material.empty()) fault(at, "has a binding of no material", "binding_material");
  }

  void mixtures(const At& at) {
    std::map<std::string, int> seen;
    for (std::size_t i = 0; i < job_.mixtures.size(); ++i) {
      const Mixture& m = job_.mixtures[i];
      id(m.id, at[i]["id"]);
      once(seen, m.id, at[i]["id"]);
      if (library_.find(m.id) != nullptr)
        fault(at[i]["id"], "is the name of a material of the library: " + in_quotes(m.id), "a word of its own");
      double sum = 0;
      for (std::size_t p = 0; p < m.parts.size(); ++p) {
        sum += m.parts[p].mass_fraction;
        material(m.parts[p].material, at[i]["parts"][p]["material"],
                 {Role::clear, Role::colorant, Role::toner, Role::primer, Role::sealer, Role::filler});
      }
      if (!m.parts.empty() && std::abs(sum - 1.0) > 1e-6)
        fault(at[i]["parts"], fmt::format("mass fractions sum to {:.6g}", sum), "1",
              sum > 0 ? fmt::format("divide each by {:.6g}", sum) : "");
    }
  }

  void coats(const At& at) {
    std::map<std::string, int> seen;
    for (std::size_t i = 0; i < job_.coats.size(); ++i) {
      const ExistingCoat& c = job_.coats[i];
      once(seen, c.name, at[i]["name"]);
      if (c.name == "wood") fault(at[i]["name"], "is kept for the bare wood: \"wood\"", "another name");
      mixture_or_material(c.mixture, at[i]["mixture"]);
      if (c.origin == Origin::this_plan)
        fault(at[i]["origin"], "a coat found on the instrument was not laid by this plan", "original or later");
      where(c.where, at[i]["where"]);
    }
  }

  std::vector<std::string> coat_names() const {
    std::vector<std::string> names;
    for (const ExistingCoat& c : job_.coats) names.push_back(c.name);
    return names;
  }

  void shelf(const At& at) {
    for (std::size_t i = 0; i < job_.shelf.size(); ++i) {
      PaintTin tin = job_.shelf[i];
      // Thinners, cleaners and compounds stand on a shelf as well; they make no coat.
      if (library_.find(tin.material) == nullptr) mixture_or_material(tin.material, at[i]["material"]);
      if (!tin.parts.empty()) fault(at[i]["parts"], "the shelf names a mixture of the job under material", "no parts");
      if (tin.volume_m3 <= 0) fault(at[i], "does not say how much is in it", "volume_mL");
      if (tin.readings.empty() && tin.solvents.empty()) continue;
      for (const Mixture& mixture : job_.mixtures)
        if (mixture.id == tin.material) tin.parts = mixture.parts;
      std::vector<Note> notes;
      constexpr double room_K = 294.15;  // asked for its faults alone
      const Result<TinFacts> facts = facts_of(tin, library_, room_K, "", notes);
      if (facts) continue;
      for (const Error& error : facts.errors())
        fault(at[i], error.where.key + ": " + error.what, error.expected, error.mend);
    }
  }

  void tins(const At& at) {
    for (std::size_t i = 0; i < job_.tins.size(); ++i) {
      const TinTest& t = job_.tins[i];
      mixture_or_material(t.material, at[i]["material"]);
      date(t.date, at[i]["date"]);
      if (t.residue_kg.has_value() != t.strained_m3.has_value())
        fault(at[i], "has only one of residue_g and strained_mL", "both or neither");
      std::vector<std::string> grounds = coat_names();
      grounds.emplace_back("glass");
      for (std::size_t s = 0; s < t.spray_outs.size(); ++s)
        known(t.spray_outs[s].on, at[i]["spray_outs"][s]["on"], grounds, "coat");
    }
  }

  void spots(const At& at) {
    std::vector<std::string> grounds = coat_names();
    grounds.emplace_back("wood");
    for (std::size_t i = 0; i < job_.spots.size(); ++i) {
      const SpotTest& s = job_.spots[i];
      known(s.coat, at[i]["coat"], grounds, "coat");
      if (!s.with.empty()) mixture_or_material(s.with, at[i]["with"]);
      where(s.where, at[i]["where"]);
      date(s.date, at[i]["date"]);
    }
  }

  void target(const At& at) {
    const Target& t = job_.target;
    if (const Tree* given = root_.tree->find("target"); given == nullptr || given->is != Tree::Is::table) return;
    lab(t.lab, at["lab"]);
    if (t.lab.empty() == t.untouched.empty())
      fault(at, t.lab.empty() ? "has neither lab nor untouched" : "has both lab and untouched", "one of the two");
    if (!t.untouched.empty()) where(Where{{t.untouched}, {}, {}, 0}, at["untouched"]);
    where(t.where, at["where"]);
  }

  std::vector<std::string> life_ids() const {
    std::vector<std::string> ids;
    for (const Life& l : job_.lives) ids.push_back(l.id);
    return ids;
  }

  void lives(const At& at) {
    std::map<std::string, int> seen;
    for (std::size_t i = 0; i < job_.lives.size(); ++i) {
      id(job_.lives[i].id, at[i]["id"]);
      once(seen, job_.lives[i].id, at[i]["id"]);
    }
  }

  void plans(const At& at) {
    std::map<std::string, int> seen;
    for (std::size_t i = 0; i < job_.plans.size(); ++i) {
      id(job_.plans[i].id, at[i]["id"]);
      once(seen, job_.plans[i].id, at[i]["id"]);
      if (job_.plans[i].steps.empty())
        fault(at[i], "has no steps", "at least one [[plans.steps]]", "write what is done, or take the plan out");
      steps(job_.plans[i], at[i]["steps"]);
    }
  }

  void steps(const Plan& plan, const At& at) {
    std::map<std::string, int> seen;
    laid_ = {};
    for (const ExistingCoat& c : job_.coats) laid_.push_back(c.name);
    later_ = {};
    for (const PlannedStep& s : plan.steps) later_.push_back(s.id);
    for (std::size_t i = 0; i < plan.steps.size(); ++i) {
      const PlannedStep& s = plan.steps[i];
      id(s.id, at[i]["id"]);
      once(seen, s.id, at[i]["id"]);
      for (const ExistingCoat& c : job_.coats)
        if (c.name == s.id) fault(at[i]["id"], "is the name of a coat found: " + in_quotes(s.id), "a word of its own");
      std::visit([&](const auto& step) { this->step(step, at[i]); }, s.step);
      if (traits_of(s.step).lays) laid_.push_back(s.id);
    }
  }

  void coat(const std::string& word, const At& at, bool wood_too) {
    if (word.empty()) return;
    std::vector<std::string> words = laid_;
    if (wood_too) words.emplace_back("wood");
    const bool there = std::find(words.begin(), words.end(), word) != words.end();
    if (!there && std::find(later_.begin(), later_.end(), word) != later_.end())
      return fault(at, "is not laid before this step: " + in_quotes(word), one_of(words));
    known(word, at, words, "coat");
  }

  void thinned(double thinning, const std::string& thinner, const At& at) {
    material(thinner, at["thinner"], {Role::solvent});
    if (thinning > 0 && thinner.empty()) fault(at, "is thinned with nothing", "thinner, a material id");
  }

  void step(const Clean& s, const At& at) {
    where(s.where, at["where"]);
    material(s.with, at["with"], {Role::cleaner, Role::solvent});
  }
  void step(const Mask& s, const At& at) { where(s.where, at["where"]); }
  void step(const Unmask& s, const At& at) { where(s.where, at["where"]); }
  void step(const Plug& s, const At& at) { where(s.where, at["where"]); }
  void step(const Lift& s, const At& at) {
    coat(s.coat, at["coat"], false);
    coat(s.stop_at, at["stop_at"], true);
    if (!s.coat.empty() && s.coat == s.stop_at)
      fault(at["stop_at"], "is the coat that is lifted", "a coat below it, or wood");
    material(s.with, at["with"], {Role::solvent, Role::cleaner});
    if (s.by == LiftBy::swab && s.with.empty()) fault(at, "swabs with nothing", "with, a solvent of the library");
    where(s.where, at["where"]);
  }
  void step(const Spray& s, const At& at) {
    mixture_or_material(s.mixture, at["mixture"]);
    thinned(s.thinning, s.thinner, at);
    where(s.where, at["where"]);
  }
  void step(const MeltIn& s, const At& at) {
    mixture_or_material(s.mixture, at["mixture"]);
    thinned(s.thinning, s.thinner, at);
    where(s.where, at["where"]);
  }
  void step(const Sand& s, const At& at) { where(s.where, at["where"]); }
  void step(const Buff& s, const At& at) {
    material(s.compound, at["compound"], {Role::compound});
    where(s.where, at["where"]);
  }
  void step(const Wear& s, const At& at) {
    if (s.depth_m.has_value() == !s.life.empty())
      fault(at, s.life.empty() ? "has neither depth_um nor life" : "has both depth_um and life", "one of the two",
            "depth_um wears by hand, life as what touched it would have");
    if (s.depth_m && s.life.empty() && at.tree->find("where") == nullptr)
      fault(at, "is worn by hand, but no place is named", "where", "say where; only a life finds its places itself");
    if (!s.life.empty()) known(s.life, at["life"], life_ids(), "life");
    if (s.stop_at != "nothing") coat(s.stop_at, at["stop_at"], true);
    where(s.where, at["where"]);
  }
  void life(const std::string& word, const At& at) {
    std::vector<std::string> words;
    for (const Life& l : job_.lives) words.push_back(l.id);
    known(word, at, words, "life");
  }
  void patches(const std::vector<Patch>& all, const At& at) {
    for (std::size_t i = 0; i < all.size(); ++i) patch(all[i], at[i]);
  }
  void step(const Yellow& s, const At& at) {
    if (s.life.empty() != s.light_lx_s.has_value())
      fault(at, s.life.empty() ? "has neither light_Mlx_h nor life" : "has both light_Mlx_h and life",
            "one of the two");
    life(s.life, at["life"]);
    where(s.where, at["where"]);
    patches(s.parts, at["parts"]);
  }
  void step(const Grime& s, const At& at) {
    life(s.life, at["life"]);
    where(s.where, at["where"]);
    patches(s.parts, at["parts"]);
  }
  void step(const KnockBack& s, const At& at) {
    if (s.life.empty() != s.gloss_60.has_value())
      fault(at, s.life.empty() ? "has neither gloss_60 nor life" : "has both gloss_60 and life", "one of the two");
    life(s.life, at["life"]);
    where(s.where, at["where"]);
  }
  void step(const Wait& s, const At& at) {
    if (s.duration_s <= 0)
      fault(at["duration_h"], "waits for no time", "more than 0 h", "write how long, or take it out");
  }
  void step(const ColdCheck& s, const At& at) {
    where(s.where, at["where"]);
    std::vector<std::string> lives;
    for (const Life& life : job_.lives) lives.push_back(life.id);
    if (!s.life.empty()) known(s.life, at["life"], lives, "life");
    if (s.life.empty() && !s.to_K) fault(at, "has neither life nor to_degC", "one of the two");
  }

  std::vector<std::string> plan_ids() const {
    std::vector<std::string> ids;
    for (const Plan& p : job_.plans) ids.push_back(p.id);
    return ids;
  }

  void consent(const At& at) {
    known(job_.consent.plan, at["plan"], plan_ids(), "plan");
    date(job_.consent.date, at["date"]);
  }

  template <class... Steps>
  static std::vector<std::string> step_words(const std::variant<Steps...>*) {
    return {std::string(Steps::word)...};
  }

  void hold_points(const At& at) {
    for (std::size_t i = 0; i < job_.hold_points.size(); ++i) {
      const HoldPoint& h = job_.hold_points[i];
      known(h.plan, at[i]["plan"], plan_ids(), "plan");
      if (h.met && h.answer.empty())
        fault(at[i], "says it is met but not how", "answer, with how it was found", "write answer = ...");
      if (h.hazard == Hazard::none && h.question.empty())
        fault(at[i], "asks nothing", "question, or the hazard it is about", "write question = ...");
      if (h.hazard == Hazard::none && h.before.empty())
        fault(at[i], "holds nothing back", "before, or the hazard it is about", "write before = [...]");
      std::vector<std::string> words = step_words(static_cast<const Step*>(nullptr));
      for (const Plan& p : job_.plans)
        if (h.plan.empty() || h.plan == p.id)
          for (const PlannedStep& s : p.steps) words.push_back(s.id);
      for (std::size_t b = 0; b < h.before.size(); ++b) known(h.before[b], at[i]["before"][b], words, "step");
    }
  }

  void contents(const At& at) {
    std::map<std::string, int> seen;
    for (std::size_t i = 0; i < job_.contents.size(); ++i) {
      material(job_.contents[i].of, at[i]["of"], {});
      once(seen, job_.contents[i].of, at[i]["of"]);
      for (const Error& e : faults_of(job_.contents[i], library_, at[i].path)) {
        At inner = at[i];
        for (std::size_t s = 0; s < job_.contents[i].solvents.size(); ++s)
          if (e.where.key == fmt::format("{}.solvents[{}].material", at[i].path, s + 1))
            inner = at[i]["solvents"][s]["material"];
        if (inner.tree == at[i].tree) inner = at[i]["solvents"];
        fault(inner, e.what, e.expected, e.mend);
      }
    }
  }

  void room(const At& at) {
    const Room& r = job_.room;
    if (r.drying_volume_m3.has_value() != r.drying_fan_m3_s.has_value())
      fault(at, "gives the drying room by half", "drying_volume_m3 and drying_fan_m3_h",
            "give both, or neither where it is dried where it was sprayed");
  }

  const Job& job_;
  At root_;
  const Library& library_;
  int this_year_;
  Faults& faults_;
  std::vector<std::string> laid_, later_;  ///< coats there before the step looked at; ids of the plan's steps
};

}  // namespace

void check_job(const Job& job, const Tree& tree, const Library& library, int this_year, Faults& faults) {
  Check(job, tree, library, this_year, faults).all();
}

}  // namespace witnessline::job

#include "job/check.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "bench/tin_facts.h"
#include "job/check_plans.h"
#include "job/supplies.h"

namespace witnessline::job {
namespace {

constexpr int years_planned = 10;  // ESTIMATE: work is planned no further ahead

class Check : JobRules {
 public:
  Check(const Job& job, const Tree& tree, const Library& library, int this_year, Faults& faults)
      : JobRules(job, library, this_year, faults), root_{&tree, ""} {}

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
    check_plans(*this, root_["plans"]);
    consent(root_["consent"]);
    hold_points(root_["hold_points"]);
    contents(root_["contents"]);
    room(root_["room"]);
  }

 private:
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

  /// What a tin says of itself: its parts, readings and solvents.
  void tin(const PaintTin& tin, const At& at) {
    if (!tin.parts.empty()) fault(at["parts"], "a tin of a job names its mixture under material", "no parts");
    if (tin.readings.empty() && tin.solvents.empty()) return;
    std::vector<Note> notes;
    constexpr double room_K = 294.15;  // asked for its faults alone
    const Result<TinFacts> facts = facts_of(with_parts(tin, job_), library_, room_K, "", notes);
    if (facts) return;
    for (const Error& error : facts.errors()) fault(at, error.where.key + ": " + error.what, error.expected, error.fix);
  }

  void shelf(const At& at) {
    for (std::size_t i = 0; i < job_.shelf.size(); ++i) {
      const PaintTin& tin = job_.shelf[i];
      // Thinners, cleaners and compounds stand on a shelf as well; they make no coat.
      if (library_.find(tin.material) == nullptr) mixture_or_material(tin.material, at[i]["material"]);
      if (tin.volume_m3 <= 0) fault(at[i], "does not say how much is in it", "volume_mL");
      this->tin(tin, at[i]);
    }
  }

  void tins(const At& at) {
    for (std::size_t i = 0; i < job_.tins.size(); ++i) {
      const TinTest& t = job_.tins[i];
      mixture_or_material(t.material, at[i]["material"]);
      tin(t, at[i]);
      if (t.volume_m3 > 0)
        fault(at[i]["volume_mL"], "a tin that was tried says how much is in it under [[shelf]]", "no volume_mL here",
              "give the tin its line under [[shelf]], with the same material and batch");
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
      if (s.with) mixture_or_material(s.with->material, at[i]["with"]["material"]);
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

  void lives(const At& at) {
    std::map<std::string, int> seen;
    for (std::size_t i = 0; i < job_.lives.size(); ++i) {
      id(job_.lives[i].id, at[i]["id"]);
      once(seen, job_.lives[i].id, at[i]["id"]);
    }
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
        fault(inner, e.what, e.expected, e.fix);
      }
    }
  }

  void room(const At& at) {
    const Room& r = job_.room;
    if (r.drying_volume_m3.has_value() != r.drying_fan_m3_s.has_value())
      fault(at, "gives the drying room by half", "drying_volume_m3 and drying_fan_m3_h",
            "give both, or neither where it is dried where it was sprayed");
  }

  At root_;
};

}  // namespace

void check_job(const Job& job, const Tree& tree, const Library& library, int this_year, Faults& faults) {
  Check(job, tree, library, this_year, faults).all();
}

}  // namespace witnessline::job

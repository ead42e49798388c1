// Every verb warns of what it handles. Each example request, with each hazardous material put where it names one.
#include <gtest/gtest.h>

#include <map>

#include "app/app.h"
#include "app/verb.h"
#include "app/verbs/on_job.h"
#include "safety/handled.h"

namespace witnessline::app {
namespace {

const Library& library() {
  static const Library read = *read_library(data_folder());
  return read;
}

/// Places in a request where a material of the library is named.
void named_in(Tree& tree, std::vector<Tree*>& places) {
  if (tree.is == Tree::Is::text && library().find(tree.text)) places.push_back(&tree);
  for (Tree& item : tree.list) named_in(item, places);
  for (Tree::Entry& entry : tree.table) named_in(entry.value, places);
}

/// Words that an answer about the material must hold.
const std::map<std::string, std::string>& warned_with() {
  static const std::map<std::string, std::string> all{{"red_lead", "(lead)"},
                                                      {"chrome_yellow", "(lead and chromate)"},
                                                      {"two_pack_polyurethane", "Isocyanate in "},
                                                      {"polyester", "Styrene from "},
                                                      {"catalysed_lacquer", "Formaldehyde from "},
                                                      {"nitrocellulose_lacquer", "nitrocellulose burns fiercely"},
                                                      {"oil_varnish", "heat by themselves"}};
  return all;
}

bool warns(const Answered& answered, const std::string& words) {
  const Tree* notes = answered.answer.find("notes");
  if (!notes || answered.text.find(words) == std::string::npos) return false;
  return std::any_of(notes->list.begin(), notes->list.end(), [&](const Tree& note) {
    const Tree* text = note.find("text");
    return text && text->text.find(words) != std::string::npos;
  });
}

class EveryVerb : public testing::TestWithParam<std::string> {};

TEST_P(EveryVerb, WarnsOfWhateverItHandles) {
  const Verb* verb = find_verb(GetParam());
  ASSERT_NE(verb, nullptr);
  const auto example = example_request(*verb);
  ASSERT_TRUE(example);
  Tree request = *example;
  // The weighed card of the example is lacquer's; with another paint its weights are rightly refused.
  std::erase_if(request.table, [](const Tree::Entry& entry) { return entry.key == "card"; });
  std::vector<Tree*> places;
  named_in(request, places);
  for (const auto& [material, words] : warned_with()) {
    bool taken = places.empty();
    for (Tree* place : places) {
      const std::string before = place->text;
      place->text = material;
      const auto answered = ask_json(*verb, print_json(request), example_folder(), BenchUnits::metric);
      place->text = before;
      if (!answered) continue;  // this place wants another kind of material
      taken = true;
      EXPECT_TRUE(warns(*answered, words)) << verb->word << " with " << material << "\n" << answered->text;
      break;
    }
    EXPECT_TRUE(taken || verb->word == "yellowed_clear" || verb->word == "shade")
        << verb->word << " takes no " << material << " anywhere";
  }
}

std::vector<std::string> words_of_verbs() {
  std::vector<std::string> words;
  for (const Verb& verb : verbs()) words.push_back(verb.word);
  return words;
}
INSTANTIATE_TEST_SUITE_P(Verbs, EveryVerb, testing::ValuesIn(words_of_verbs()),
                         [](const auto& verb) { return verb.param; });

// Questions about an instrument name no material: what lies on it is handled all the same.
TEST(VerbsOnAJob, WarnOfTheCoatsFoundOnIt) {
  const Verb* verb = find_verb("wear");
  ASSERT_NE(verb, nullptr);
  const auto request = example_request(*verb);
  ASSERT_TRUE(request);
  const auto answered = ask_json(*verb, print_json(*request), example_folder(), BenchUnits::metric);
  ASSERT_TRUE(answered) << answered.errors().front().text();
  EXPECT_TRUE(warns(*answered, "nitrocellulose burns fiercely")) << answered->text;
}

// A plan's film is asked about: what its steps lay is handled, also where it is mixed for the job.
TEST(VerbsOnAJob, WarnOfWhatTheirPlanLays) {
  std::vector<Handled> handled;
  std::vector<Mixture> mixtures;
  Asking asking{library(), BenchUnits::metric, {}, example_folder()};
  asking.handled = &handled, asking.mixtures = &mixtures;
  const auto on = on_job({"../lap_steel/job.toml", "finish", "fill", 10e-3}, asking);
  ASSERT_TRUE(on) << on.errors().front().text();
  const auto lays = [&](Harmful what) {
    return std::any_of(handled.begin(), handled.end(), [&](const Handled& h) { return h.material->contains(what); });
  };
  EXPECT_TRUE(lays(Harmful::drying_oil)) << "its pore filler";
  EXPECT_FALSE(lays(Harmful::nitrocellulose)) << "sprayed later";
  EXPECT_FALSE(mixtures.empty());
}

TEST(Named, AMixtureOfTheJobIsWhatItIsMadeOf) {
  const std::vector<Mixture> mixtures{{"sunburst_red", "sunburst red", {{"red_lead", 0.2}, {"shellac", 0.8}}}};
  Tree name;
  name.is = Tree::Is::text, name.text = "sunburst_red";
  std::vector<Handled> handled;
  add_named(name, library(), {}, handled);
  EXPECT_TRUE(handled.empty());
  add_named(name, library(), mixtures, handled);
  EXPECT_EQ(handled.size(), 2u);
}

}  // namespace
}  // namespace witnessline::app

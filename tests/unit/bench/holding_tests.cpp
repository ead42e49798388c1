// How an instrument is held, and what its parts keep from the surface under them.
#include <gtest/gtest.h>

#include <fstream>
#include <sstream>

#include "bench/contact.h"
#include "bench/existing.h"
#include "body/spec.h"
#include "shapes/bench_bodies.h"
#include "shapes/slab_bass.h"

namespace witnessline::bench {
namespace {

using namespace shapes;

std::string bytes_of(const std::string& file) {
  std::ifstream in(PROJECT_FOLDER + file, std::ios::binary);
  std::stringstream text;
  text << in.rdbuf();
  return text.str();
}

Body built(BodySpec spec, const std::string& file, const std::string& name, double pitch_m) {
  spec.top_wood = spec.back_wood = spec.side_wood = "spruce";
  auto made = build_body(spec, bytes_of(file), name, {}, pitch_m);
  if (!made) throw std::runtime_error(made.errors().front().text());
  return made->body;
}
const Body& slab() {
  static const Body held = slab_bass(5e-3);
  return held;
}
const Body& steel() {
  static const Body held = [] {
    BodySpec spec;
    spec.mesh = "body.stl", spec.mesh_unit = "mm";
    return built(spec, "/examples/lap_steel/body.stl", "body.stl", 4e-3);
  }();
  return held;
}

/// The same body seen in a mirror.
Body mirrored(const Body& body) {
  auto data = std::make_shared<Body::Data>();
  const auto flip = [](std::span<const Vec3> from) {
    std::vector<Vec3> to;
    for (const Vec3 p : from) to.push_back({-p.x, p.y, p.z});
    return to;
  };
  const auto same = [](auto from) { return std::vector(from.begin(), from.end()); };
  data->positions = flip(body.positions()), data->normals = flip(body.normals()), data->grain = flip(body.grain());
  data->areas_m2 = same(body.areas_m2());
  data->curvature_min = same(body.curvature_min()), data->curvature_max = same(body.curvature_max());
  data->wood_of = same(body.wood_of()), data->region_bits = same(body.region_bits());
  data->woods = body.woods(), data->pitch_m = body.pitch_m();
  for (const Triangle& t : body.triangles()) data->triangles.push_back({t[0], t[2], t[1]});
  data->settle();
  return Body(data);
}

Life played(Hand hand, Hold held) {
  Life life;
  life.id = "played", life.age_s = 40 * 31557600.0, life.cased_share = 0.5, life.grime_kg_m2 = 1e-3;
  life.light_lx_s = 1e10, life.hand = hand, life.held = held;
  for (std::size_t t = 0; t < words(static_cast<const Touch*>(nullptr)).size(); ++t)
    life.touches.push_back({static_cast<Touch>(t), 2000 * 3600.0});
  return life;
}

std::vector<float> total(const ContactField& field) {
  std::vector<float> sum = field.dry_Pa_m;
  for (std::size_t v = 0; v < sum.size(); ++v) sum[v] += field.sweat_Pa_m[v];
  return sum;
}
template <class In>
double mean(const Body& body, const std::vector<float>& of, const In& in) {
  double sum = 0, area_m2 = 0;
  for (std::size_t v = 0; v < body.size(); ++v) {
    if (!in(v, Vec3d(body.positions()[v]))) continue;
    sum += static_cast<double>(of[v]) * static_cast<double>(body.areas_m2()[v]);
    area_m2 += static_cast<double>(body.areas_m2()[v]);
  }
  EXPECT_GT(area_m2, 0);
  return sum / area_m2;
}

TEST(Holding, AMirroredPlayerWearsAMirroredBodyTheSame) {
  for (const Body* body : {&slab(), &steel()}) {
    const Body other = mirrored(*body);
    for (const Hold held : {Hold::unstated, Hold::strap, Hold::lap, Hold::flat}) {
      const ContactField right = contact_field(played(Hand::right, held), *body, Key{3});
      const ContactField left = contact_field(played(Hand::left, held), other, Key{3});
      EXPECT_EQ(right.dry_Pa_m, left.dry_Pa_m);
      EXPECT_EQ(right.sweat_Pa_m, left.sweat_Pa_m);
      EXPECT_EQ(right.most, left.most);
    }
  }
}

// common practice, no source: the forearm of a left-handed player lies over the other edge of the same body.
TEST(Holding, ALeftHandedPlayerWearsTheOtherEdge) {
  const auto edges = [&](Hand hand) {
    const ContactField field = contact_field(played(hand, Hold::strap), slab(), Key{3});
    const auto side = [&](double sign) {
      return mean(slab(), field.sweat_Pa_m, [&](std::size_t v, Vec3d p) {
        return slab().in(v, Region::edge) && sign * p.x > 0.05 && p.z > 0 && p.y < 0.2;
      });
    };
    return std::pair{side(-1), side(1)};
  };
  const auto [right_bass, right_treble] = edges(Hand::right);
  const auto [left_bass, left_treble] = edges(Hand::left);
  EXPECT_GT(right_bass, 5 * right_treble);
  EXPECT_GT(left_treble, 5 * left_bass);
}

TEST(Holding, UnsaidIsRightHandedAndUprightAndSaysSo) {
  const ContactField unstated = contact_field(played(Hand::unstated, Hold::unstated), slab(), Key{3});
  EXPECT_EQ(unstated.dry_Pa_m, contact_field(played(Hand::right, Hold::unstated), slab(), Key{3}).dry_Pa_m);
  ASSERT_FALSE(unstated.notes.empty());
  EXPECT_NE(unstated.notes[0].text.find("right-handed"), std::string::npos) << unstated.notes[0].text;
  EXPECT_NE(unstated.notes[0].text.find("`held`"), std::string::npos) << unstated.notes[0].text;
  const ContactField stated = contact_field(played(Hand::left, Hold::lap), slab(), Key{3});
  EXPECT_EQ(stated.notes[0].text, "worn as played left-handed, upright on the lap");
  EXPECT_TRUE(contact_field({}, slab(), Key{3}).notes.empty());
}

// common practice, no source: a lap steel wears where it lies on the thighs, along the edge towards the player, and
// where the palm rests by the bridge; its far edge and the rest of its front stay.
TEST(Holding, ALapSteelWearsUnderneathAtItsNearEdgeAndByTheBridge) {
  Life life = played(Hand::right, Hold::flat);
  std::erase_if(life.touches, [](const TouchTime& t) { return t.by == Touch::case_lining || t.by == Touch::stand; });
  const ContactField field = contact_field(life, steel(), Key{3});
  const std::vector<float> rub = total(field);
  const auto on = [&](std::size_t v, Region r) { return steel().in(v, r); };
  const double back = mean(steel(), rub, [&](std::size_t v, Vec3d) { return on(v, Region::back); });
  const double front = mean(steel(), rub, [&](std::size_t v, Vec3d p) { return on(v, Region::front) && p.y > 0.25; });
  EXPECT_GT(back, 20 * front);
  const double near = mean(steel(), rub, [&](std::size_t v, Vec3d p) { return on(v, Region::edge) && p.x < -0.03; });
  const double far = mean(steel(), rub, [&](std::size_t v, Vec3d p) { return on(v, Region::edge) && p.x > 0.03; });
  EXPECT_GT(near, 2 * far);
  const double palm = mean(steel(), field.sweat_Pa_m, [&](std::size_t v, Vec3d p) {
    return on(v, Region::front) && std::abs(p.x + 0.015) < 0.03 && p.y > 0.05 && p.y < 0.10;
  });
  const double rest = mean(steel(), field.sweat_Pa_m,
                           [&](std::size_t v, Vec3d p) { return on(v, Region::front) && (p.y > 0.16 || p.x > 0.06); });
  EXPECT_GT(palm, 20 * std::max(rest, 1e-12));
  for (const Contact& c : field.contacts) EXPECT_TRUE(c.by == Touch::thigh || c.by == Touch::picking_hand) << c.name;
  // Five touches of its hours do not come about; each is told.
  for (const char* name : {"forearm", "chest", "buckle", "strap tail", "fretting hand"})
    EXPECT_TRUE(std::any_of(field.notes.begin(), field.notes.end(), [&](const Note& n) {
      return n.text.find("'" + std::string(name) + "'") != std::string::npos;
    })) << name;
}

TEST(Holding, StrapAndLapLeaveEachOthersTouchesOut) {
  const auto touches = [](Hold held, Touch by) {
    const auto& all = contact_bodies(held);
    return std::any_of(all.begin(), all.end(), [&](const ContactBody& c) { return c.by == by; });
  };
  EXPECT_TRUE(touches(Hold::strap, Touch::strap_neck) && !touches(Hold::strap, Touch::thigh));
  EXPECT_TRUE(touches(Hold::lap, Touch::thigh) && !touches(Hold::lap, Touch::strap_neck));
  EXPECT_TRUE(touches(Hold::unstated, Touch::thigh) && touches(Hold::unstated, Touch::strap_tail));
}

/// A bench with a part over the places `under` says, and its neighbourhood beside it.
Bench sheltered_bench(const std::function<double(Vec3d)>& outside_m) {
  static const Library library = shelf();
  Bench bench{slab(), library, {nullptr}, {}, {}, 7};
  bench.lives["played"] = played(Hand::right, Hold::unstated);
  for (const Vec3 p : slab().positions()) {
    const double out_m = outside_m(Vec3d(p));
    bench.shelter.push_back(out_m <= 0 ? Shelter::under : out_m < 4e-3 ? Shelter::beside : Shelter::open);
  }
  return bench;
}

TEST(Shelter, UnderPartsNothingOfALifeArrives) {
  // A plate under the forearm's edge and the picking hand: where wear is deepest without it.
  const Bench bench = sheltered_bench([](Vec3d p) { return p.z > 0 && p.x < 0.05 && p.y < 0.2 ? -1.0 : 1.0; });
  Bench open = bench;
  open.shelter.clear();
  const Result<Film> film = existing_film({{"lacquer", "lacquer", Origin::original, 60e-6, 0, 0, {}}}, bench, 0);
  ASSERT_TRUE(film);
  Wear wear;
  wear.life = "played";
  Yellow yellow;
  yellow.life = "played";
  Grime grime;
  grime.life = "played";
  double worn_without = 0;
  for (const Step& step : {Step{wear}, Step{yellow}, Step{grime}}) {
    const auto in = run_step({"it", "", step}, *film, bench), out = run_step({"it", "", step}, *film, open);
    ASSERT_TRUE(in && out);
    for (std::size_t v = 0; v < film->size(); ++v) {
      if (bench.shelter[v] != Shelter::under) continue;
      ASSERT_EQ(in->film.layers[0].dry_m[v], film->layers[0].dry_m[v]);
      ASSERT_EQ(in->film.light_lx_s[v], film->light_lx_s[v]);
      ASSERT_EQ(in->film.grime_kg_m2[v], film->grime_kg_m2[v]);
      worn_without += static_cast<double>(film->layers[0].dry_m[v] - out->film.layers[0].dry_m[v]);
    }
    for (const Mark& mark : *in->film.marks)
      for (const std::uint32_t v : slab().triangles()[mark.path[mark.path.size() / 2].triangle])
        ASSERT_EQ(bench.shelter[v], Shelter::open);
  }
  EXPECT_GT(worn_without, 0) << "without the part this place is worn";
}

TEST(Shelter, BesidePartsThereIsLightButNoWear) {
  const Bench bench = sheltered_bench([](Vec3d p) { return p.z > 0 ? p.y - 0.1 : 1.0; });
  const ContactField field = contact_field(bench.lives.at("played"), slab(), Key{3}, bench.shelter);
  const Result<Film> film = existing_film({{"lacquer", "lacquer", Origin::original, 60e-6, 0, 0, {}}}, bench, 0);
  Yellow yellow;
  yellow.life = "played";
  const auto lit = run_step({"it", "", yellow}, *film, bench);
  ASSERT_TRUE(lit);
  int beside = 0;
  for (std::size_t v = 0; v < film->size(); ++v) {
    if (bench.shelter[v] != Shelter::beside) continue;
    ++beside;
    ASSERT_EQ(field.dry_Pa_m[v] + field.sweat_Pa_m[v], 0.0f);
    ASSERT_GT(lit->film.light_lx_s[v], film->light_lx_s[v]);
  }
  EXPECT_GT(beside, 10);
}

TEST(Shelter, ALampInTheShopReachesWhatPartsCoverInUse) {
  const Bench bench = sheltered_bench([](Vec3d p) { return p.z > 0 ? -1.0 : 1.0; });
  const Result<Film> film = existing_film({{"lacquer", "lacquer", Origin::original, 60e-6, 0, 0, {}}}, bench, 0);
  Yellow yellow;
  yellow.light_lx_s = 1e9;
  const auto lit = run_step({"it", "", yellow}, *film, bench);
  ASSERT_TRUE(lit);
  for (std::size_t v = 0; v < film->size(); ++v) ASSERT_GT(lit->film.light_lx_s[v], film->light_lx_s[v]);
  Wear wear;
  wear.life = "played", wear.where.on = {"front"};
  const auto refused = run_step({"it", "", wear}, *film, bench);
  ASSERT_FALSE(refused);
  EXPECT_NE(refused.errors()[0].text().find("under the parts"), std::string::npos);
}

TEST(GrimeOfALife, IsDarkestWhereHandsLay) {
  Bench bench = sheltered_bench([](Vec3d) { return 1.0; });
  const Result<Film> film = existing_film({{"lacquer", "lacquer", Origin::original, 60e-6, 0, 0, {}}}, bench, 0);
  Grime grime;
  grime.life = "played";
  const auto dirty = run_step({"it", "", grime}, *film, bench);
  ASSERT_TRUE(dirty);
  std::vector<float> kg_m2(film->size());
  for (std::size_t v = 0; v < kg_m2.size(); ++v) kg_m2[v] = dirty->film.grime_kg_m2[v];
  const ContactField field = contact_field(bench.lives.at("played"), slab(), player_of(bench.seed), bench.shelter);
  std::vector<float> order = field.sweat_Pa_m;
  std::sort(order.begin(), order.end());
  const float much = order[order.size() * 98 / 100];
  // Flats alone: edges hold half, whatever touched them.
  const auto flat = [&](std::size_t v) { return !slab().in(v, Region::edge) && !slab().in(v, Region::cavity); };
  const double handled =
      mean(slab(), kg_m2, [&](std::size_t v, Vec3d) { return flat(v) && field.sweat_Pa_m[v] > much; });
  const double never = mean(slab(), kg_m2, [&](std::size_t v, Vec3d) { return flat(v) && field.sweat_Pa_m[v] == 0; });
  EXPECT_GT(handled, 2.5 * never);
  EXPECT_NEAR(never, 0.2e-3, 0.04e-3) << "a fifth of what lies where it was handled most";
}

}  // namespace
}  // namespace witnessline::bench

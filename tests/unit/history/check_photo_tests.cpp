#include "history/check_photo.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/parallel.h"
#include "history/crossings.h"
#include "shapes/bench_checks.h"

namespace witnessline::history {
namespace {

using namespace shapes;
constexpr double deg = std::numbers::pi / 180;

CheckPhotoAsked asked(double m_per_px = 0.05e-3, double grain_deg = 0) {
  CheckPhotoAsked a;
  a.m_per_px = m_per_px, a.grain_rad = grain_deg * deg, a.name = "headstock face";
  return a;
}
CheckPhoto counted(const Image& image, const CheckPhotoAsked& a) {
  const Result<CheckPhoto> photo = count_checks(image, a, "photo.png");
  if (!photo) throw std::runtime_error(photo.errors()[0].text());
  return *photo;
}

struct Ruled {
  double apart_px, angle_deg, dark, line_px, blur_px, noise, fall;
};
class RuledPicture : public testing::TestWithParam<Ruled> {};

// Lines a known way apart, the grain square to them: what is counted is that way, whatever the angle, blur and noise.
TEST_P(RuledPicture, SpacingIsTheRuledOne) {
  const Ruled r = GetParam();
  PlateShot shot;
  shot.dark = r.dark, shot.line_px = r.line_px, shot.blur_px = r.blur_px, shot.noise = r.noise, shot.fall = r.fall;
  shot.grain_rad = (r.angle_deg + 90) * deg;
  const CheckPhoto p =
      counted(plate_shot(shot, ruled(shot, r.apart_px, r.angle_deg * deg), Key{3}), asked(0.05e-3, r.angle_deg + 90));
  EXPECT_NEAR(p.across.spacing_m, r.apart_px * 0.05e-3, 0.04 * r.apart_px * 0.05e-3);
  EXPECT_LT(p.across.band.low, r.apart_px * 0.05e-3);
  EXPECT_GT(p.across.band.high, r.apart_px * 0.05e-3);
  EXPECT_NEAR(p.across.square_rad, 0, 1.5 * deg);
  EXPECT_LT(p.along.length_m + p.aslant_m, 0.05 * p.across.length_m);
  EXPECT_LT(p.across.evenness, 0.25);
  RecordProperty("missed", std::to_string(p.across.missed_frac));
}
INSTANTIATE_TEST_SUITE_P(Photo, RuledPicture,
                         testing::Values(Ruled{60, 0, 0.25, 1.2, 0.7, 2, 0.3}, Ruled{60, 23, 0.25, 1.2, 0.7, 2, 0.3},
                                         Ruled{35, 77, 0.25, 1.2, 0.7, 2, 0.3}, Ruled{110, 128, 0.25, 1.2, 0.7, 2, 0.6},
                                         Ruled{60, 23, 0.25, 1.2, 1.8, 2, 0.3}, Ruled{60, 23, 0.12, 1.2, 0.7, 4, 0.3},
                                         Ruled{20, 45, 0.4, 1.0, 0.6, 2, 0.0}, Ruled{80, 90, 0.5, 3.0, 1.0, 3, 0.7}));

// As the noise drowns the lines: the band still holds, and it is said; past that it is refused.
TEST(CheckPhoto, FaintLinesWidenTheBandAndAreRefusedAtLast) {
  PlateShot shot;
  shot.dark = 0.12, shot.grain_rad = 113 * deg;
  const auto in_noise = [&](double noise) {
    shot.noise = noise;
    return count_checks(plate_shot(shot, ruled(shot, 60, 23 * deg), Key{3}), asked(0.05e-3, 113), "photo.png");
  };
  for (const double noise : {5.0, 6.0}) {
    const Result<CheckPhoto> p = in_noise(noise);
    ASSERT_TRUE(p) << p.errors()[0].text();
    EXPECT_LT(p->across.band.low, 3e-3);
    EXPECT_GT(p->across.band.high, 3e-3);
    EXPECT_GT(p->across.missed_frac, 0.1);
    ASSERT_FALSE(p->notes.empty());
  }
  const Result<CheckPhoto> drowned = in_noise(7);
  ASSERT_FALSE(drowned);
  EXPECT_NE(drowned.errors()[0].what.find("too faint"), std::string::npos);
}

TEST(CheckPhoto, TurningTheGrainTurnsAcrossIntoAlong) {
  PlateShot shot;
  const Image image = plate_shot(shot, ruled(shot, 60, 30 * deg), Key{3});
  const CheckPhoto across = counted(image, asked(0.05e-3, 120)), along = counted(image, asked(0.05e-3, 30));
  EXPECT_EQ(across.along.lines, 0);
  EXPECT_EQ(along.across.lines, 0);
  EXPECT_NEAR(across.across.spacing_m, along.along.spacing_m, 1e-12);
  const CheckPhoto aslant = counted(image, asked(0.05e-3, 75));
  EXPECT_EQ(aslant.across.lines + aslant.along.lines, 0);
  ASSERT_FALSE(aslant.notes.empty());
  EXPECT_NE(aslant.notes[0].text.find("neither across"), std::string::npos);
}

TEST(CheckPhoto, TheScaleScalesAndNothingElse) {
  PlateShot shot;
  const Image image = plate_shot(shot, ruled(shot, 60, 90 * deg), Key{3});
  EXPECT_NEAR(counted(image, asked(0.04e-3)).across.spacing_m * 2, counted(image, asked(0.08e-3)).across.spacing_m,
              1e-5);
}

// Figure, noise and the blocks of a JPEG alone, in several pictures: nothing across the grain, and along it less than
// one line through the picture.
TEST(CheckPhoto, NoneOnAPlateWithoutChecks) {
  for (std::uint64_t seed = 1; seed <= 6; ++seed) {
    PlateShot shot;
    shot.noise = 0.5 + static_cast<double>(seed), shot.figure = 0.01 * static_cast<double>(seed);
    Image image = plate_shot(shot, {}, Key{seed});
    if (seed % 2 == 0) {
      const auto jpeg = to_jpeg(image, 70 + static_cast<int>(seed) * 3);
      image = *from_jpeg(std::string(jpeg.begin(), jpeg.end()), "photo.jpg");
    }
    const CheckPhoto p = counted(image, asked());
    EXPECT_EQ(p.across.lines, 0) << seed;
    EXPECT_LT(p.along.length_m, 0.05e-3 * 900) << seed;
    EXPECT_EQ(p.across.evidence->counted, 0);
    EXPECT_NEAR(p.across.evidence->over_m, 0.05e-3 * (900 - 22), 1e-3);
    EXPECT_TRUE(std::isinf(p.across.spacing_m));
  }
}

// Late wood, or dirt in pores, as fine and dark as a check cannot be told from one: it is counted, and said.
TEST(CheckPhoto, FineLinesAlongTheGrainAreCountedWithACaution) {
  PlateShot shot;
  const CheckPhoto p = counted(plate_shot(shot, ruled(shot, 90, 2 * deg), Key{4}), asked());
  EXPECT_EQ(p.across.lines, 0);
  EXPECT_GT(p.along.lines, 3);
  const auto stated = [&](const Note& n) { return n.text.find("late wood") != std::string::npos; };
  EXPECT_TRUE(std::any_of(p.notes.begin(), p.notes.end(), stated));
}

std::string fault(const Image& image, const CheckPhotoAsked& a) {
  const Result<CheckPhoto> photo = count_checks(image, a, "photo.png");
  return photo ? "" : photo.errors()[0].text();
}

TEST(CheckPhoto, RefusesWhatCannotShowChecks) {
  PlateShot shot;
  const std::vector<PixelPath> lines = ruled(shot, 60, 90 * deg);
  EXPECT_NE(fault(plate_shot(shot, lines, Key{3}), asked(0.3e-3)).find("narrower than that"), std::string::npos);
  shot.blur_px = 5, shot.dark = 0.9, shot.line_px = 4;
  EXPECT_NE(fault(plate_shot(shot, lines, Key{3}), asked(0.08e-3)).find("out of focus"), std::string::npos);
  shot.width = 100;
  EXPECT_NE(fault(plate_shot(shot, {}, Key{3}), asked()).find("too small"), std::string::npos);
  Image white{400, 400, std::vector<std::uint8_t>(480000, 255)};
  EXPECT_NE(fault(white, asked()).find("burnt out"), std::string::npos);
}

/// How much line lies in the part of a picture away from its rim, projected on its height and on its width.
struct Truth {
  double across_px = 0, along_px = 0;
};
Truth truth_of(const std::vector<PixelPath>& lines, const PlateShot& shot, double margin_px) {
  Truth t;
  for (const PixelPath& path : lines)
    for (std::size_t i = 0; i + 1 < path.size(); ++i) {
      const Vec2d m = 0.5 * (path[i] + path[i + 1]), run = path[i + 1] - path[i];
      if (m.x < margin_px || m.y < margin_px || m.x > shot.width - margin_px || m.y > shot.height - margin_px) continue;
      (std::abs(run.y) > std::abs(run.x) ? t.across_px : t.along_px) += std::max(std::abs(run.y), std::abs(run.x));
    }
  return t;
}

// The truth is the bench's own list of lines: their length across the grain an area is the crossings a length.
TEST(CheckPhoto, FindsTheChecksOfTheBenchAsFarApartAsTheyAre) {
  PlateShot shot;
  shot.width = 1300, shot.height = 1000, shot.line_px = 0.8, shot.dark = 0.3;
  constexpr double m_per_px = 0.06e-3, margin_px = 11;
  const std::vector<PixelPath> lines = checks_of_the_bench(shot, m_per_px, 200e-6, -20);
  const Truth s = truth_of(lines, shot, margin_px);
  const double area_px2 = (shot.width - 2 * margin_px) * (shot.height - 2 * margin_px);
  const double across_m = m_per_px * area_px2 / s.across_px;
  ASSERT_GT(lines.size(), 20u);
  double inside = 0;
  for (std::uint64_t seed = 1; seed <= 4; ++seed) {
    shot.noise = 1.5 * static_cast<double>(seed);
    const CheckPhoto p = counted(plate_shot(shot, lines, Key{seed}), asked(m_per_px, 0));
    EXPECT_NEAR(p.across.spacing_m, across_m, 0.1 * across_m) << seed;
    inside += p.across.band.low < across_m && across_m < p.across.band.high;
    EXPECT_GT(p.across.length_m, 2 * p.along.length_m);
    EXPECT_GT(p.across.evenness, 0.35);  // never even
    EXPECT_NEAR(p.across.evidence->over_m / p.across.evidence->counted, p.across.spacing_m, 1e-9);
  }
  EXPECT_EQ(inside, 4);
}

TEST(CheckPhoto, SameAtAnyThreadCount) {
  PlateShot shot;
  const Image image = plate_shot(shot, ruled(shot, 47, 80 * deg), Key{3});
  use_threads(1);
  const CheckPhoto one = counted(image, asked());
  use_threads(3);
  const CheckPhoto three = counted(image, asked());
  use_threads(0);
  EXPECT_EQ(one.across.spacing_m, three.across.spacing_m);
  EXPECT_EQ(one.across.missed_frac, three.across.missed_frac);
}

// Buffon: parallel lines d apart meet isotropic test lines 2/(pi d) times a length.
TEST(Crossings, AsManyAsCroftonSays) {
  PlateShot shot;
  FineLine circle;
  for (int i = 0; i <= 720; ++i)
    circle.path.push_back({450 + 300 * std::cos(i * 0.5 * deg), 350 + 300 * std::sin(i * 0.5 * deg)});
  for (const double angle : {0.0, 0.3, 1.1, 2.0}) {
    const Crossings c = cross({&circle}, {std::cos(angle), std::sin(angle)}, 0.5, {0, 0}, {900, 700});
    EXPECT_NEAR(c.count * 0.5, 2 * 600, 3);  // each test line through a circle meets it twice
    EXPECT_NEAR(c.test_px * 0.5, 900.0 * 700.0, 900);
  }
}

}  // namespace
}  // namespace witnessline::history

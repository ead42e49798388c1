// Contact: what touches a body in use, pressed on it by load balance over the actual gap. No region and no curvature
// enters: where a thing touches, and how hard, follows from its shape, its stiffness and the surface under it.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "base/random.h"
#include "base/result.h"
#include "body/vec.h"
#include "materials/life.h"

namespace witnessline::bench {

/// Seen from the body: cylinder: round across, straight along; plate: flat; strip: a narrow plate; hull: round both
/// ways.
enum class ContactShape { cylinder, plate, hull, strip };

/// A thing that touches: rigid in its shape, on a bed of springs (flesh, cloth, foam, leather).
struct ContactBody {
  Touch by{};
  std::string name;  ///< "heel of the hand"
  ContactShape shape{};
  double half_length_m = 0, half_width_m = 0;  ///< along and across; of a hull: half axes
  double height_m = 0;                         ///< radius of a cylinder; half axis of a hull; rounding of a plate's rim
  double foundation_Pa_m = 0;                  ///< pressure for each metre it is pressed in
  double load_N = 0;
  double pivot_N_m = 0;    ///< moment for each radian of tilt; 0: it does not tilt
  double speed_m_s = 0;    ///< mean sliding speed while it touches
  double wear_number = 0;  ///< Archard's K against a coat [1]
  double reach_m = 0;      ///< how far past Posture::at it can go along the push; 0: as far as it must
  int draws = 16;          ///< postures: a player is never twice the same (ESTIMATE)
  bool sweaty = false;     ///< softens a coat that sweat softens
  bool hard = false;       ///< scratches
};

/// How one is held against the body. Only what lies across the push matters of `at`: the load decides how near it
/// comes.
struct Posture {
  Vec3d at;     ///< a point on the line of the load [m]
  Vec3d push;   ///< direction of the load
  Vec3d along;  ///< of the thing's length
};

struct Pressed {
  std::vector<std::uint32_t> vertex;  ///< touched, in vertex order
  std::vector<float> pressure_Pa;
  double approach_m = 0;             ///< beyond first touch, at the line of the load
  std::array<double, 2> tilt_rad{};  ///< about what runs across, and about what runs along
  double area_m2 = 0, peak_Pa = 0;
  bool held = false;  ///< false: nothing of the body lies before it, or the load finds no balance
};

/// Presses a thing on a body until the springs carry its load; where it can, it tilts until their moments balance.
/// Law: p = k (delta + t1 a + t2 b - gap) cos, never below zero; sum of p cos dA = load, moments about the line of the
/// load = -pivot x tilt. cos: between push and surface. Source: johnson1985 4.3 (elastic foundation).
/// Valid: pressed in less than the thing is thick. Departs: springs do not know of each other (no Hertz); the surface
/// is rigid; friction does not shift the load.
Pressed press(const ContactBody&, const Posture&, const Body&);

/// Many of them, in parallel.
struct Pressing {
  const ContactBody* contact_body;
  Posture posture;
};
std::vector<Pressed> press_all(const std::vector<Pressing>&, const Body&);

/// The things of each touch: what a player who holds it so, a strap, a case and a stand bring. Every figure is an
/// ESTIMATE. A touch without things does not come about so.
const std::vector<ContactBody>& contact_bodies(Hold = Hold::unstated);
/// Hours against one touch, in seconds.
double time_against_s(const Life&, Touch);
/// Where each thing that had time meets this body, by its outline and how it is held: some draws of each with the
/// spread of one player (ESTIMATE), in the order of counters(). Law: a left-handed player is the mirror image of a
/// right-handed one.
std::vector<Pressing> pressings(const Life&, const Body&, Key);

/// One thing over a whole life.
struct Contact {
  Touch by{};
  std::string name;
  double time_s = 0, slid_m = 0;
  double area_m2 = 0, mean_Pa = 0, peak_Pa = 0;  ///< of one posture, mean over all
};

/// What a life rubs where: Archard's K x pressure x way slid, summed over all that touches [Pa m]. Divided by the
/// hardness of a coat it is the depth worn.
struct ContactField {
  std::vector<float> dry_Pa_m, sweat_Pa_m;  ///< a vertex
  std::vector<float> hard_Pa_m;             ///< the part of what scratches
  std::vector<std::uint8_t> most;           ///< Touch that did most; 255: nothing touches
  std::vector<Contact> contacts;            ///< of those with time, in the order of counters()
  std::vector<Note> notes;
};
/// `shelter`, a vertex: under and beside a part nothing is rubbed. Departs: a part carries load as if its face lay in
/// the body's own.
ContactField contact_field(const Life&, const Body&, Key player, std::span<const Shelter> shelter = {});
/// "right-handed, flat across the thighs"
std::string as_held(const Life&);
/// One player a job: every wear of it is by the same draw of postures.
inline Key player_of(std::uint64_t seed) { return Key{seed}.with("player"); }

}  // namespace witnessline::bench

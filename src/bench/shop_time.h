// Work around the steps of a plan: taking apart, photographs, cards, cleaning the gun, putting together and setting up.
#pragma once

#include <array>
#include <span>

#include "base/describe.h"
#include "base/figure.h"

namespace witnessline::bench {

enum class ShopWork { strip_down, photographs, masking, gun_cleaning, test_panels, reassembly, setting_up };
constexpr auto words(const ShopWork*) {
  return std::array{"strip_down", "photographs", "masking", "gun_cleaning", "test_panels", "reassembly", "setting_up"};
}
/// "strip_down", ...
constexpr const char* name_of(ShopWork work) { return words(&work)[static_cast<std::size_t>(work)]; }
inline constexpr std::array all_shop_work{ShopWork::strip_down,   ShopWork::photographs, ShopWork::masking,
                                          ShopWork::gun_cleaning, ShopWork::test_panels, ShopWork::reassembly,
                                          ShopWork::setting_up};

/// Time one kind of work takes in this shop: the mean of its own log.
struct ShopTime {
  ShopWork work{};
  double time_s = 0;
  int logged = 1;  ///< jobs it is the mean of
};
template <class V>
void describe(V& v, ShopTime& t) {
  v(member("work", "kind of work").must(), t.work);
  v(member("time_h", "time it takes in this shop, the mean of its log", unit::h).within(0, 200).must(), t.time_s);
  v(member("logged", "jobs in the log it is the mean of").within(1, 100000), t.logged);
}

/// Hours of one kind of work with the 95 % band [s], and how they are known.
struct KnownTime {
  double time_s = 0;
  Band band_s;
  Kind kind = Kind::estimate;
};
/// Law: the shop's own time where its log has one, spread by the usual scatter of one job over the root of the jobs
/// logged; else the usual time x pace.
/// Source: common_practice (docs/estimates.md, "Hours around the steps").
KnownTime time_of(ShopWork, std::span<const ShopTime> own, double pace);

}  // namespace witnessline::bench

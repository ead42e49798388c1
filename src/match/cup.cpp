#include "match/cup.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace witnessline::match {

namespace {
double sum(const std::vector<double>& of) { return std::accumulate(of.begin(), of.end(), 0.0); }
}  // namespace

Cup::Cup(const std::vector<Tin>& shelf, const Aim& aim, const LaidFilm& laying, const std::vector<double>& mass_kg,
         const Reflectance& read)
    : shelf_(shelf),
      aim_(aim),
      laying_(laying),
      mass_kg_(mass_kg),
      views_(views_that_count(aim, laying)),
      problem_(problem_of(shelf, aim, laying, sum(mass_kg))),
      cup_kg_(sum(mass_kg)) {
  // What the panel reads apart from the prediction, under each lamp; as aged it is taken as on the day.
  const Reflectance predicted = laid(mixed_tins(shelf, mass_kg), laying, aim.specular_share, false);
  for (const View& view : views_) {
    const Xyz a = to_xyz(read, view.lamp, aim.observer), b = to_xyz(predicted, view.lamp, aim.observer);
    const Xyz w = white_point(view.lamp, aim.observer);
    apart_.push_back({a.x - b.x, a.y - b.y, a.z - b.z});
    relative_.push_back({apart_.back().x / w.x, apart_.back().y / w.y, apart_.back().z / w.z});
  }
  problem_.kernel.set_offset(relative_);
}

std::vector<ViewDifference> Cup::seen(const std::vector<double>& mass_kg) const {
  const MixedTins mixed = mixed_tins(shelf_, mass_kg);
  return carried_over(laid(mixed, laying_, aim_.specular_share, false),
                      laid(mixed, laying_, aim_.specular_share, true));
}

double Cup::closeness(const std::vector<double>& mass_kg) const {
  return closeness_of(seen(mass_kg), views_.size(), aim_);
}

double Cup::closeness(const Reflectance& on_the_day, const Reflectance& as_aged) const {
  return closeness_of(carried_over(on_the_day, as_aged), views_.size(), aim_);
}

std::optional<Cup::Addition> Cup::with(double added_kg, const std::vector<bool>& allowed) {
  const double all_kg = cup_kg_ + added_kg;
  double room_kg = 0;
  std::vector<double> left(shelf_.size(), 0.0);
  for (std::size_t i = 0; i < shelf_.size(); ++i) {
    if (allowed[i] && shelf_[i].separated) left[i] = std::min(shelf_[i].left_kg, added_kg);
    room_kg += left[i];
  }
  if (room_kg < added_kg * (1 + 1e-9)) {
    if (room_kg < added_kg * (1 - 1e-9)) return std::nullopt;
  }
  std::vector<float> start;
  for (std::size_t i = 0; i < shelf_.size(); ++i) {
    problem_.lowest[i] = static_cast<float>(mass_kg_[i] / all_kg);
    problem_.highest[i] = static_cast<float>((mass_kg_[i] + left[i]) / all_kg);
    start.push_back(static_cast<float>((mass_kg_[i] + added_kg * left[i] / room_kg) / all_kg));
  }
  const WholeShelf found = nearest_of_all(problem_, start);
  Addition a{added_kg, {}, 0};
  for (std::size_t i = 0; i < shelf_.size(); ++i)
    a.mass_kg.push_back(std::max(mass_kg_[i], static_cast<double>(found.share[i]) * all_kg));
  a.closeness = closeness(a.mass_kg);
  return a;
}

std::optional<Cup::Addition> Cup::least(const std::vector<bool>& allowed, double tolerance, double from_kg,
                                        double most_kg) {
  std::optional<Addition> nearest;
  double short_kg = 0;
  for (double kg = from_kg; kg <= most_kg; kg *= 1.25) {
    const auto a = with(kg, allowed);
    if (!a) break;
    if (!nearest || a->closeness < nearest->closeness - 0.02) nearest = a;
    if (a->closeness <= tolerance) {
      nearest = a;
      break;
    }
    short_kg = kg;
  }
  if (!nearest || nearest->closeness > tolerance || short_kg == 0) return nearest;
  double low = short_kg, high = nearest->added_kg;
  while (high > 1.01 * low) {
    const double middle = std::sqrt(low * high);
    const auto a = with(middle, allowed);
    if (a && a->closeness <= tolerance)
      high = middle, nearest = a;
    else
      low = middle;
  }
  return nearest;
}

std::vector<ViewDifference> Cup::carried_over(const Reflectance& on_the_day, const Reflectance& as_aged) const {
  std::vector<ViewDifference> list = differences(views_, aim_, on_the_day, as_aged);
  for (std::size_t v = 0; v < list.size(); ++v) {
    const Xyz white = white_point(list[v].view.lamp, aim_.observer);
    const Xyz plain = to_xyz(list[v].lab, white);
    list[v].lab = to_lab(Xyz{plain.x + apart_[v].x, plain.y + apart_[v].y, plain.z + apart_[v].z}, white);
    list[v].delta_e = delta_e_2000(list[v].aim, list[v].lab);
  }
  return list;
}

}  // namespace witnessline::match

#include "bench/columns.h"

#include <cmath>

namespace witnessline::bench {

namespace {
// Columns of one chunk at a time a thread: the buffers live on, so that a step does not ask the system for memory.
thread_local std::vector<float> dry_buffer, solvent_buffer, wood_buffer;
thread_local std::vector<std::uint8_t> melted_buffer;

void add(CoatSums& a, const CoatSums& b) {
  a.laid += b.laid;
  a.cut += b.cut;
  a.lifted += b.lifted;
  a.dissolved += b.dissolved;
  a.solvent_laid += b.solvent_laid;
  a.solvent_left += b.solvent_left;
  a.solvent_cut += b.solvent_cut;
  a.soaked += b.soaked;
  a.gone_through_m2 += b.gone_through_m2;
}
double above_zero(float v) { return v > 0 ? static_cast<double>(v) : 0.0; }
}  // namespace

MassBalance MassBalance::operator+(const MassBalance& o) const {
  MassBalance sum = *this;
  for (std::size_t l = 0; l < coats.size(); ++l) add(sum.coats[l], o.coats[l]);
  sum.wood_cut_m3 += o.wood_cut_m3;
  sum.overspray_solids_m3 += o.overspray_solids_m3;
  sum.overspray_solvent_m3 += o.overspray_solvent_m3;
  sum.worked_m2 += o.worked_m2;
  sum.metallic_cut_m2 += o.metallic_cut_m2;
  sum.sprayed_m3 += o.sprayed_m3;
  sum.drying_dry_m3 += o.drying_dry_m3;
  sum.drying_solvent_m3 += o.drying_solvent_m3;
  return sum;
}

Columns::Columns(const Film& film, std::size_t begin, std::size_t end)
    : begin_(begin),
      count_(end - begin),
      layers_(film.layers.size()),
      dry_(dry_buffer),
      solvent_(solvent_buffer),
      wood_cut_(wood_buffer),
      melted_(melted_buffer),
      old_(layers_),
      film_changed_(layers_),
      melted_changed_(layers_) {
  const std::size_t c = begin / field_chunk;
  dry_.resize(std::max(dry_.size(), layers_ * count_));
  solvent_.resize(std::max(solvent_.size(), layers_ * count_));
  melted_.resize(std::max(melted_.size(), layers_ * count_));
  wood_cut_.resize(std::max(wood_cut_.size(), count_));
  for (std::size_t l = 0; l < layers_; ++l) {
    film.layers[l].dry_m.read(c, &dry_[l * count_]);
    film.layers[l].solvent_m.read(c, &solvent_[l * count_]);
    film.layers[l].melted.read(c, &melted_[l * count_]);
    old_[l] = film.layers[l].provenance.origin != Origin::this_plan;
  }
  film.wood_cut_m.read(c, wood_cut_.data());
}

void Columns::store(Film& film) const {
  const std::size_t c = begin_ / field_chunk;
  for (std::size_t l = 0; l < layers_; ++l) {
    if (film_changed_[l]) {
      film.layers[l].dry_m.write(c, &dry_[l * count_]);
      film.layers[l].solvent_m.write(c, &solvent_[l * count_]);
    }
    if (melted_changed_[l]) film.layers[l].melted.write(c, &melted_[l * count_]);
  }
  if (wood_changed_) film.wood_cut_m.write(c, wood_cut_.data());
}

double Columns::cut_coats(std::size_t i, double depth_m, double area_m2, MassBalance& books, std::size_t lifted_from) {
  for (std::size_t l = layers_; l-- > 0 && depth_m > 0;) {
    float &dry = dry_[l * count_ + i], &solvent = solvent_[l * count_ + i];
    std::uint8_t& melted = melted_[l * count_ + i];
    double d = static_cast<double>(dry), s = static_cast<double>(solvent), m = melted / 255.0;
    depth_m = cut_layer(d, s, m, depth_m);
    // A sliver too thin for the float to show a loss must still never grow.
    const float new_dry = std::min(dry, static_cast<float>(d)), new_solvent = std::min(solvent, static_cast<float>(s));
    CoatSums& sums = books.coats[l];
    (l >= lifted_from ? sums.lifted : sums.cut) += (above_zero(dry) - above_zero(new_dry)) * area_m2;
    sums.solvent_cut += (static_cast<double>(solvent) - static_cast<double>(new_solvent)) * area_m2;
    if (dry > 0 && new_dry <= 0) sums.gone_through_m2 += area_m2;
    if (melted) {
      melted = static_cast<std::uint8_t>(std::min(255.0, m * 255.0 + 0.5));
      melted_changed_[l] = 1;
    }
    dry = new_dry;
    solvent = new_solvent;
    film_changed_[l] = 1;
  }
  return depth_m;
}

void Columns::cut_to_wood(std::size_t i, double depth_m, double area_m2, MassBalance& books) {
  cut_coats(i, depth_m, area_m2, books, layers_);
}

void Columns::cut(std::size_t i, double depth_m, double area_m2, MassBalance& books, std::size_t lifted_from) {
  depth_m = cut_coats(i, depth_m, area_m2, books, lifted_from);
  if (depth_m <= 0) return;
  const float before = wood_cut_[i];
  wood_cut_[i] = static_cast<float>(static_cast<double>(before) + depth_m);
  books.wood_cut_m3 += (static_cast<double>(wood_cut_[i]) - static_cast<double>(before)) * area_m2;
  wood_changed_ = true;
}

void Columns::lay(std::size_t layer, std::size_t i, double dry_m, double solvent_m, double area_m2,
                  MassBalance& books) {
  if (dry_m <= 0) return;
  float &dry = dry_[layer * count_ + i], &solvent = solvent_[layer * count_ + i];
  const double dry_before = above_zero(dry), solvent_before = static_cast<double>(solvent);
  dry = static_cast<float>(dry_before + dry_m);
  solvent = static_cast<float>(solvent_before + solvent_m);
  books.coats[layer].laid += (static_cast<double>(dry) - dry_before) * area_m2;
  books.coats[layer].solvent_laid += (static_cast<double>(solvent) - solvent_before) * area_m2;
  film_changed_[layer] = 1;
}

void Columns::evaporate(std::size_t layer, std::size_t i, double left_m, double area_m2, MassBalance& books) {
  float& solvent = solvent_[layer * count_ + i];
  const float left = std::min(solvent, static_cast<float>(left_m));
  if (left == solvent) return;
  books.coats[layer].solvent_left += (static_cast<double>(solvent) - static_cast<double>(left)) * area_m2;
  solvent = left;
  film_changed_[layer] = 1;
}

void Columns::dry(std::size_t i, std::span<const double> left_m, double area_m2, MassBalance& books) {
  double lost_m = 0, gained_m = 0;
  thread_local std::vector<double> change_m;
  change_m.assign(layers_, 0.0);
  for (std::size_t l = 0; l < layers_; ++l) {
    float& solvent = solvent_[l * count_ + i];
    // Rounded down, so that rounding makes no solvent.
    auto left = static_cast<float>(left_m[l]);
    if (static_cast<double>(left) > left_m[l]) left = std::nextafter(left, 0.0f);
    if (left == solvent) continue;
    change_m[l] = static_cast<double>(left) - static_cast<double>(solvent);
    (change_m[l] > 0 ? gained_m : lost_m) += std::abs(change_m[l]);
    solvent = left;
    film_changed_[l] = 1;
  }
  if (lost_m <= 0) return;
  const double handed_on = gained_m / lost_m;
  for (std::size_t l = 0; l < layers_; ++l) {
    CoatSums& sums = books.coats[l];
    if (change_m[l] > 0) {
      sums.soaked += change_m[l] * area_m2;
    } else {
      sums.soaked += change_m[l] * handed_on * area_m2;
      sums.solvent_left -= change_m[l] * (1.0 - handed_on) * area_m2;
    }
  }
}

void Columns::melt(std::size_t layer, std::size_t i, double depth_m, double area_m2, MassBalance& books) {
  const double dry = above_zero(dry_[layer * count_ + i]);
  if (dry <= 0 || depth_m <= 0) return;
  std::uint8_t& melted = melted_[layer * count_ + i];
  const double fraction = std::min(1.0, melted / 255.0 + depth_m / dry);
  const auto now = static_cast<std::uint8_t>(std::lround(fraction * 255.0));
  if (now <= melted) return;
  books.coats[layer].dissolved += (now - melted) / 255.0 * dry * area_m2;
  melted = now;
  melted_changed_[layer] = 1;
}

}  // namespace witnessline::bench

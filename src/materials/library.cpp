#include <algorithm>

#include "base/random.h"
#include "materials/properties.h"

namespace witnessline::materials {

Library::Library(std::vector<Material> materials, std::vector<Source> sources, std::uint64_t hash,
                 std::vector<ShelfLife> shelf_lives, std::vector<UsualCarrier> usual_carriers)
    : materials_(std::move(materials)),
      sources_(std::move(sources)),
      hash_(hash),
      shelf_lives_(std::move(shelf_lives)),
      usual_carriers_(std::move(usual_carriers)) {
  std::sort(materials_.begin(), materials_.end(), [](const Material& a, const Material& b) { return a.id < b.id; });
  std::sort(sources_.begin(), sources_.end(), [](const Source& a, const Source& b) { return a.key < b.key; });
}

std::vector<Harmful> always_in(Binder binder) {
  switch (binder) {
    case Binder::nitrocellulose:
      return {Harmful::nitrocellulose};
    case Binder::oil_varnish:
    case Binder::alkyd:
    case Binder::polyurethane:  // oil-modified: its isocyanate was used up when the varnish was made
      return {Harmful::drying_oil};
    case Binder::two_pack_polyurethane:
      return {Harmful::isocyanate};
    case Binder::polyester:
      return {Harmful::peroxide, Harmful::styrene};
    case Binder::catalysed:
      return {Harmful::formaldehyde};
    case Binder::none:
    case Binder::acrylic:
    case Binder::shellac:
    case Binder::spirit_varnish:
    case Binder::water_borne:
    case Binder::vinyl:
      return {};
  }
  return {};
}

const Material* Library::find(const std::string& id) const {
  const auto it = std::lower_bound(materials_.begin(), materials_.end(), id,
                                   [](const Material& m, const std::string& word) { return m.id < word; });
  return it != materials_.end() && it->id == id ? &*it : nullptr;
}

const Source* Library::source(const std::string& key) const {
  const auto it = std::lower_bound(sources_.begin(), sources_.end(), key,
                                   [](const Source& s, const std::string& word) { return s.key < word; });
  return it != sources_.end() && it->key == key ? &*it : nullptr;
}

std::vector<std::string> Library::ids() const {
  std::vector<std::string> ids;
  for (const Material& material : materials_) ids.push_back(material.id);
  return ids;
}

namespace {
double drawn(const Datum& datum, const PropertyRow& row, Key key) {
  if (datum.sd <= 0) return datum.value;
  const double low = row.unit.to_si(row.low), high = row.unit.to_si(row.high);
  for (std::uint64_t again = 0; again < 100; ++again) {
    const double value = datum.value + datum.sd * normal(key.with(again));
    if (value >= low && value <= high) return value;
  }
  return datum.value;  // a sound datum lies inside its bounds, so a hundred misses in a row do not happen
}
}  // namespace

Library Library::draw(std::uint64_t seed, std::uint64_t i) const {
  Library library = *this;
  const Key key = Key{}.with(seed).with(i);
  for (Material& material : library.materials_) {
    for (auto& [property, datum] : material.data) {
      const PropertyRow& row = row_of(property);
      datum.value = drawn(datum, row, key.with(material.id).with(row.key));
    }
    if (const Datum* thickness = material.find(Property::drawdown_thickness); thickness && material.drawdown)
      material.drawdown->thickness_m = thickness->value;
  }
  library.hash_ = Key{hash_}.with(key.bits).bits;
  return library;
}

}  // namespace witnessline::materials

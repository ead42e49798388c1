#include "drying/carrier.h"

#include <fmt/format.h>

#include <algorithm>

namespace witnessline {

namespace {

struct Share {
  const char* material;
  double volume_fraction;
};

Result<CarrierBlend> carrier(const std::vector<Share>& shares, const Library& library) {
  CarrierBlend made;
  for (const Share& share : shares) {
    const Material* found = library.find(share.material);
    if (!found) return Error{fmt::format("no such solvent in the library: '{}'", share.material), {}, "", "add it"};
    made.solvents.push_back(found);
    made.volume_fraction.push_back(share.volume_fraction);
  }
  return made;
}

// Its name in data/materials/solvents.toml says so.
const std::vector<Share> lacquer_thinner{
    {"acetone", 0.25}, {"toluene", 0.35}, {"isopropanol", 0.15}, {"butyl_acetate", 0.25}};

std::vector<Share> usual_shares(Binder binder) {
  // ESTIMATE throughout, from what safety sheets of such products list.
  switch (binder) {
    case Binder::acrylic:
      return {{"toluene", 0.4}, {"mek", 0.3}, {"pm_acetate", 0.3}};
    case Binder::shellac:
    case Binder::spirit_varnish:
      return {{"ethanol", 1.0}};
    case Binder::oil_varnish:
    case Binder::alkyd:
      return {{"mineral_spirits", 1.0}};
    case Binder::polyurethane:
      return {{"butyl_acetate", 0.5}, {"xylene", 0.25}, {"pm_acetate", 0.25}};
    case Binder::polyester:
      return {{"xylene", 1.0}};  // for styrene, whose distance to most films is alike
    case Binder::catalysed:
      return {{"butyl_acetate", 0.3}, {"xylene", 0.3}, {"isobutanol", 0.2}, {"ethyl_acetate", 0.2}};
    case Binder::water_borne:
      return {{"water", 0.9}, {"butyl_glycol", 0.1}};
    case Binder::none:
    case Binder::nitrocellulose:
    case Binder::vinyl:
      break;
  }
  return lacquer_thinner;
}

}  // namespace

Result<CarrierBlend> usual_carrier(Binder binder, const Library& library) {
  return carrier(usual_shares(binder), library);
}

Result<CarrierBlend> carrier_of(const std::string& thinner, const Library& library) {
  if (thinner == "lacquer_thinner") return carrier(lacquer_thinner, library);
  const Material* found = library.find(thinner);
  if (found && (found->role == Role::solvent)) return CarrierBlend{{found}, {1.0}};
  std::vector<std::string> known;
  for (const Material& m : library.all())
    if (m.role == Role::solvent) known.push_back(m.id);
  const std::string near = nearest_word(thinner, known);
  return Error{fmt::format("no such solvent: '{}'", thinner),
               {},
               "the id of a solvent or thinner of the library",
               near.empty() ? "" : "did you mean '" + near + "'?"};
}

Result<CarrierBlend> thinner_given(const std::string& thinner, double parts, const Library& library) {
  if (thinner.empty() && parts > 0)
    return Error{"the paint is thinned with nothing",
                 {"", 0, 0, "thinning"},
                 "thinner, a solvent's id",
                 "name the thinner, or set thinning to 0"};
  if (thinner.empty()) return CarrierBlend{};
  const Result<CarrierBlend> found = carrier_of(thinner, library);
  if (found) return found;
  std::vector<Error> faults = found.errors();
  for (Error& fault : faults) fault.where.key = "thinner";
  return faults;
}

CarrierBlend thinned(const CarrierBlend& paint, double volume_solids_fraction, const CarrierBlend& thinner,
                     double parts) {
  const double own = 1 - volume_solids_fraction, whole = own + parts;
  CarrierBlend made = paint;
  for (double& f : made.volume_fraction) f *= own / whole;
  for (std::size_t i = 0; i < thinner.solvents.size(); ++i) {
    const double more = thinner.volume_fraction[i] * parts / whole;
    const auto same = std::find(made.solvents.begin(), made.solvents.end(), thinner.solvents[i]);
    if (same != made.solvents.end()) {
      made.volume_fraction[static_cast<std::size_t>(same - made.solvents.begin())] += more;
    } else if (more > 0) {
      made.solvents.push_back(thinner.solvents[i]);
      made.volume_fraction.push_back(more);
    }
  }
  return made;
}

}  // namespace witnessline

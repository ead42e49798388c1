#include "drying/carrier.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace witnessline::drying {

namespace {

/// Adds so much of a blend to another, solvent by solvent.
void pour(CarrierBlend& made, const CarrierBlend& more, double amount) {
  for (std::size_t i = 0; i < more.solvents.size(); ++i) {
    const double share = more.volume_fraction[i] * amount;
    const auto same = std::find(made.solvents.begin(), made.solvents.end(), more.solvents[i]);
    if (same != made.solvents.end()) {
      made.volume_fraction[static_cast<std::size_t>(same - made.solvents.begin())] += share;
    } else if (share > 0) {
      made.solvents.push_back(more.solvents[i]);
      made.volume_fraction.push_back(share);
    }
  }
}

/// "25 acetone, 35 toluene"
std::string in_words(const CarrierBlend& blend) {
  std::string text;
  for (std::size_t i = 0; i < blend.solvents.size(); ++i)
    text +=
        fmt::format("{}{:.0f} {}", text.empty() ? "" : ", ", 100 * blend.volume_fraction[i], blend.solvents[i]->name);
  return text;
}

}  // namespace

Result<CarrierBlend> usual_carrier(Binder binder, const Library& library) {
  CarrierBlend made;
  for (const UsualCarrier& one : library.usual_carriers()) {
    if (one.binder != binder) continue;
    const Result<CarrierBlend> part = carrier_of(one.solvent, library);
    if (!part) return part.errors();
    pour(made, *part, one.volume_fraction);
  }
  if (made.solvents.empty())
    return Error{"the library does not give what carries this paint", {}, "rows in usual_carriers.csv", "add them"};
  return made;
}

const Material* last_to_leave(Binder binder, const Library& library) {
  const std::vector<UsualCarrier>& carriers = library.usual_carriers();
  const auto last = std::find_if(carriers.begin(), carriers.end(),
                                 [&](const UsualCarrier& one) { return one.binder == binder && one.leaves_last; });
  return last == carriers.end() ? nullptr : library.find(last->solvent);
}

Result<CarrierBlend> carrier_of(const std::string& thinner, const Library& library) {
  const Material* found = library.find(thinner);
  if (found && !found->blend.empty()) {
    CarrierBlend made;
    for (const BlendShare& part : found->blend) {
      made.solvents.push_back(library.find(part.material));
      made.volume_fraction.push_back(part.volume_fraction);
      expects(made.solvents.back(), "a blend of the library names solvents of the library");
    }
    return made;
  }
  if (found && found->role == Role::solvent) return CarrierBlend{{found}, {1.0}};
  std::vector<std::string> known;
  for (const Material& m : library.all())
    if (m.role == Role::solvent) known.push_back(m.id);
  const std::string near = nearest_word(thinner, known);
  return Error{fmt::format("no such solvent: '{}'", thinner),
               {},
               "the id of a solvent or thinner of the library",
               near.empty() ? "" : "did you mean '" + near + "'?"};
}

Result<CarrierBlend> blend_of(const std::vector<BlendPart>& parts, const Library& library, std::vector<Note>& notes) {
  CarrierBlend made;
  std::vector<Error> faults;
  double sum = 0;
  for (const BlendPart& part : parts) {
    const Result<CarrierBlend> one = carrier_of(part.material, library);
    if (!one) {
      for (Error fault : one.errors()) {
        fault.where.key = part.key;
        faults.push_back(std::move(fault));
      }
      continue;
    }
    for (const Material* solvent : one->solvents)
      if (const Result<Volatile> leaves = volatile_of(*solvent); !leaves)
        for (Error fault : leaves.errors()) {
          fault.where.key = part.key;
          faults.push_back(std::move(fault));
        }
    if (one->solvents.size() > 1)
      notes.push_back({Severity::caution,
                       fmt::format("Lacquer thinner is counted as {}: makers' blends differ, and yours may dry and "
                                   "dissolve otherwise.",
                                   in_words(*one)),
                       part.key});
    pour(made, *one, part.parts);
    sum += part.parts;
  }
  if (!faults.empty()) return faults;
  for (double& f : made.volume_fraction) f /= sum;
  return made;
}

Result<std::vector<Volatile>> volatiles_of(const CarrierBlend& blend, const std::string& key,
                                           std::vector<Note>& notes) {
  std::vector<Volatile> made;
  std::vector<Error> faults;
  for (const Material* solvent : blend.solvents) {
    Result<Volatile> one = volatile_of(*solvent);
    if (!one) {
      for (Error fault : one.errors()) {
        fault.where.key = key;
        faults.push_back(std::move(fault));
      }
      continue;
    }
    if (!one->stood_in.empty())
      notes.push_back(
          {Severity::information,
           fmt::format("Of {} too little is on file: {} (ESTIMATE, within a quarter).", solvent->name, one->stood_in),
           key});
    made.push_back(std::move(*one));
  }
  if (!faults.empty()) return faults;
  return made;
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
  pour(made, thinner, parts / whole);
  return made;
}

double density_kg_m3(const CarrierBlend& blend) {
  double sum = 0;
  for (std::size_t i = 0; i < blend.solvents.size(); ++i) {
    const Datum* density = blend.solvents[i]->find(Property::density);
    if (!density) return usual_thinner_kg_m3;
    sum += blend.volume_fraction[i] * density->value;
  }
  return blend.solvents.empty() ? usual_thinner_kg_m3 : sum;
}

std::optional<double> viscosity_Pa_s(const CarrierBlend& blend) {
  double sum = 0;
  for (std::size_t i = 0; i < blend.solvents.size(); ++i) {
    const Datum* viscosity = blend.solvents[i]->find(Property::viscosity);
    if (!viscosity) return std::nullopt;
    sum += blend.volume_fraction[i] * std::log(viscosity->value);
  }
  if (blend.solvents.empty()) return std::nullopt;
  return std::exp(sum);
}

}  // namespace witnessline::drying

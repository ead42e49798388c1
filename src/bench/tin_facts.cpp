#include "bench/tin_facts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solvents/cup.h"

namespace witnessline::bench {

namespace {

std::string below_key(const std::string& key, const std::string& word) { return key.empty() ? word : key + "." + word; }

Error at_key(Error error, const std::string& key) {
  error.where.key = key;
  return error;
}

Result<CarrierBlend> solvents_of(const PaintTin& tin, const Library& library, const std::string& key,
                                 std::vector<Note>& notes) {
  std::vector<BlendPart> parts;
  double sum = 0;
  for (std::size_t i = 0; i < tin.solvents.size(); ++i) {
    parts.push_back({tin.solvents[i].material, tin.solvents[i].share_frac, fmt::format("{}[{}].material", key, i + 1)});
    sum += tin.solvents[i].share_frac;
  }
  if (std::abs(sum - 1) > 1e-6)
    return Error{fmt::format("the shares sum to {:.6g} %", 100 * sum),
                 {"", 0, 0, key},
                 "100 %",
                 "put right the share that is wrong: nothing is scaled for you"};
  return blend_of(parts, library, notes);
}

}  // namespace

Result<double> cup_viscosity_m2_s(const CupReading& reading, const std::string& key) {
  const Cup* found = find_cup(reading.cup);
  if (!found) {
    std::vector<std::string> known;
    for (const Cup& one : cups()) known.emplace_back(one.id);
    return Error{fmt::format("there is no cup '{}'", reading.cup),
                 {"", 0, 0, key + ".cup"},
                 cup_words(),
                 did_you_mean(reading.cup, known)};
  }
  const Result<double> read = viscosity_of_seconds_m2_s(*found, reading.run_out_s);
  if (!read) return at_key(read.errors()[0], key + ".run_out_s");
  return *read;
}

Result<Paint> paint_of(const PaintTin& tin, const Library& library, const std::string& key) {
  const bool mixed = !tin.parts.empty();
  Mixture mixture{tin.material, tin.material, tin.parts};
  if (!mixed) mixture.parts = {{tin.material, 1.0}};
  Result<Paint> paint = paint_of(std::make_shared<const Mixture>(std::move(mixture)), library,
                                 below_key(key, mixed ? "parts" : "material"));
  if (paint && tin.solids_frac) paint->volume_solids = *tin.solids_frac;
  return paint;
}

double solids_sd_of(const PaintTin& tin, const Paint& paint) {
  constexpr double label_sd = 0.01;
  const Datum* solids = paint.main ? paint.main->find(Property::volume_solids) : nullptr;
  return tin.solids_frac || !solids ? label_sd : solids->sd;
}

Result<TinFacts> facts_of(const PaintTin& tin, const Library& library, double temperature_K, const std::string& key,
                          std::vector<Note>& notes) {
  Result<Paint> paint = paint_of(tin, library, key);
  if (!paint) return paint.errors();
  return facts_of(tin, std::move(*paint), library, temperature_K, key, notes);
}

Result<TinFacts> facts_of(const PaintTin& tin, Paint paint, const Library& library, double temperature_K,
                          const std::string& key, std::vector<Note>& notes) {
  std::vector<Error> faults;
  std::vector<TinReading> readings;
  for (std::size_t i = 0; i < tin.readings.size(); ++i) {
    const CupReading& r = tin.readings[i];
    const Result<double> read = cup_viscosity_m2_s(r, below_key(key, fmt::format("readings[{}]", i + 1)));
    if (read)
      readings.push_back({*read, r.temperature_K, r.thinner_parts_ratio});
    else
      faults.insert(faults.end(), read.errors().begin(), read.errors().end());
  }
  Result<CarrierBlend> own = tin.solvents.empty() ? usual_carrier(paint.binder(), library)
                                                  : solvents_of(tin, library, below_key(key, "solvents"), notes);
  if (!own) faults.insert(faults.end(), own.errors().begin(), own.errors().end());
  if (!faults.empty()) return faults;

  TinFacts facts{std::move(paint),     {}, 0, std::move(*own), std::move(readings), !tin.solvents.empty(),
                 !tin.readings.empty()};
  facts.makeup.solids_frac = tin.solids_frac.value_or(facts.paint.volume_solids);
  facts.paint.volume_solids = facts.makeup.solids_frac;
  facts.solids_sd_frac = solids_sd_of(tin, facts.paint);
  facts.makeup.density_kg_m3 = facts.paint.density_kg_m3();
  facts.makeup.thinner_density_kg_m3 = usual_thinner_kg_m3;
  const Datum* thick = facts.paint.main ? facts.paint.main->find(Property::viscosity) : nullptr;
  if (facts.readings.empty() && thick)
    facts.readings.push_back({thick->value / facts.makeup.density_kg_m3, temperature_K, 0});
  return facts;
}

}  // namespace witnessline::bench

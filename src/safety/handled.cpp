#include "safety/handled.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "materials/in_words.h"

namespace witnessline::safety {

namespace {

constexpr double leaded_before_years = 30;

constexpr std::array in_mist{Harmful::lead,       Harmful::chromate,     Harmful::arsenic, Harmful::mercury,
                             Harmful::isocyanate, Harmful::formaldehyde, Harmful::styrene};
constexpr std::array in_curing{Harmful::isocyanate, Harmful::formaldehyde, Harmful::styrene};

/// What shares one hazard: "red lead in lacquer (lead), chrome yellow in lacquer (lead and chromate)".
struct Group {
  std::vector<std::string> names, ids;

  void add(const Handled& handled, const std::string& holds = "") {
    std::string name = handled.name.empty() ? short_name(*handled.material) : handled.name;
    if (!holds.empty()) name += fmt::format(" ({})", holds);
    if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
    if (handled.material && std::find(ids.begin(), ids.end(), handled.material->id) == ids.end())
      ids.push_back(handled.material->id);
  }
  /// The first three by name, the rest by number: a full shelf must not bury the sentence.
  std::string text() const {
    constexpr std::size_t shown = 3;
    std::string all;
    for (std::size_t i = 0; i < std::min(shown, names.size()); ++i) all += (i == 0 ? "" : "; ") + names[i];
    if (names.size() > shown) all += fmt::format("; and {} more", names.size() - shown);
    return all;
  }
  explicit operator bool() const { return !names.empty(); }
};

Group those_with(std::span<const Handled> all, Harmful what) {
  Group group;
  for (const Handled& one : all)
    if (one.material && one.material->contains(what)) group.add(one);
  return group;
}

/// What is liquid, mixed or curing.
std::vector<Handled> fresh_of(std::span<const Handled> all) {
  std::vector<Handled> fresh;
  std::copy_if(all.begin(), all.end(), std::back_inserter(fresh), [](const Handled& one) { return !one.cured_film; });
  return fresh;
}

/// What gives styrene off: its paints by name, the solvent itself only where it is alone.
Group with_styrene(std::span<const Handled> all) {
  std::vector<Handled> paints;
  std::copy_if(all.begin(), all.end(), std::back_inserter(paints),
               [](const Handled& one) { return one.material && one.material->role != Role::solvent; });
  const Group of = those_with(paints, Harmful::styrene);
  return of ? of : those_with(all, Harmful::styrene);
}

}  // namespace

bool counts_as_leaded(std::optional<double> age_years) { return !age_years || *age_years > leaded_before_years; }

std::string poison_of_mist(const Material& material) { return in_words(held_of(material, in_mist)); }
std::string given_off_curing(const Material& material) { return in_words(held_of(material, in_curing)); }
std::string metals_of(const Material& material) { return in_words(held_of(material, poisonous_metals)); }

void add_mixture(std::vector<Handled>& all, const Mixture& mixture, const Library& library) {
  for (const Part& part : mixture.parts)
    if (const Material* material = library.find(part.material)) all.push_back({material, "", false});
}

std::vector<RaisedHazard> hazards_of(std::span<const Handled> all, const Work& work) {
  std::vector<RaisedHazard> raised;
  const auto raise = [&](Hazard hazard, Severity severity, const Group& of, std::string text) {
    raised.push_back({hazard, severity, std::move(text), of.ids});
  };

  const std::vector<Handled> fresh = fresh_of(all);
  Group metal, metal_mist, old_colour;
  for (const Handled& one : all) {
    const std::string held = one.material ? metals_of(*one.material) : "";
    if (!held.empty() && !one.cured_film) metal_mist.add(one, held);
    if (!held.empty())
      metal.add(one, held);
    else if (one.old_colour)
      old_colour.add(one);
  }
  if (metal) {
    if (work.sprays && metal_mist)
      raise(Hazard::poison_mist, Severity::danger, metal_mist,
            fmt::format("Do not spray {}: no fan and no vapour cartridge makes that mist safe. Use a paint without it.",
                        metal_mist.text()));
    raise(Hazard::old_pigments, Severity::danger, metal,
          fmt::format(
              "{} {}. Work it wet with gloves, wash before you eat or smoke, keep children and pregnant women out. "
              "Slurry, chips and wipes are hazardous waste.",
              work.sprays ? "No dry sanding, no scraping to dust, no heat gun on"
                          : "Do not spray, sand dry, scrape to dust or heat",
              metal.text()));
  }
  if (old_colour)
    raise(
        Hazard::old_pigments, Severity::danger, old_colour,
        fmt::format("{}: old colour counts as leaded, with chromate, until a laboratory says otherwise. Until then do "
                    "not spray it, sand it dry, scrape it to dust or heat it.",
                    old_colour.text()));

  if (const Group of = those_with(fresh, Harmful::isocyanate))
    raise(
        Hazard::hardener, Severity::danger, of,
        fmt::format("{}Isocyanate in {}: one exposure can sensitise your lungs for life, and a cartridge gives no "
                    "warning. Leave it to a licensed spray shop with supplied air. Gloves and goggles also for mixing; "
                    "no sanding before it has cured.",
                    work.sprays ? "Do not spray it yourself. " : "", of.text()));
  if (const Group of = those_with(fresh, Harmful::formaldehyde))
    raise(Hazard::hardener, Severity::danger, of,
          fmt::format(
              "Formaldehyde from {}: it causes cancer, and leaves the film for weeks as it cures. Spray it only in "
              "a booth, in supplied air, by licensed practice; let it cure in an aired room and keep everyone out.",
              of.text()));
  if (const Group of = with_styrene(fresh))
    raise(Hazard::hardener, Severity::danger, of,
          fmt::format("Styrene from {}: it harms nerves and hearing and may cause cancer, while you spray it and as it "
                      "cures. Booth, supplied air and licensed practice; gloves that resist it.",
                      of.text()));
  if (const Group of = those_with(fresh, Harmful::peroxide))
    raise(
        Hazard::hardener, Severity::danger, of,
        fmt::format("Peroxide hardener of {}: goggles, it blinds. Never let it meet the accelerator undiluted: it can "
                    "explode. No wet rags left lying.",
                    of.text()));

  const Group nitro = those_with(all, Harmful::nitrocellulose), oil = those_with(fresh, Harmful::drying_oil);
  const Group nitro_mist = those_with(fresh, Harmful::nitrocellulose);
  if (nitro && work.opens)
    raise(Hazard::nitrocellulose_residue, Severity::danger, nitro,
          fmt::format(
              "Dry crust on the rim of {} burns fiercely and lights from friction. Wet it with thinner before the "
              "lid turns, wipe it off wet, bin it wet; never scrape or twist it dry.",
              nitro.text()));
  if (nitro_mist && oil && work.sprays)
    raise(Hazard::nitrocellulose_residue, Severity::danger, nitro,
          "Never spray nitrocellulose and oil or alkyd paint into the same filter: mixed deposits can take fire by "
          "themselves. Clean the booth and change the filters between them.");
  if (nitro && work.heats)
    raise(
        Hazard::nitrocellulose_residue, Severity::danger, nitro,
        fmt::format("{} takes fire from heat alone: no flame, no heat gun, no iron hotter than the stick needs to run, "
                    "and not on a film that still smells of solvent. Dust and rags away, water at hand.",
                    nitro.text()));
  if (nitro)
    raise(Hazard::nitrocellulose_residue, Severity::caution, nitro,
          fmt::format("Dry nitrocellulose burns fiercely: overspray in filters and booth, dust, buffing lint and "
                      "scrapings of {}. Keep "
                      "them wet in a lidded metal can, out of the shop every day, apart from oil and alkyd residues.",
                      nitro.text()));
  if (oil)
    raise(Hazard::oily_rags, Severity::caution, oil,
          fmt::format(
              "Rags, filters and dust wet with {} heat by themselves and catch fire. Spread them flat outdoors or "
              "keep them under water in a closed metal can.",
              oil.text()));

  std::stable_sort(raised.begin(), raised.end(),
                   [](const RaisedHazard& a, const RaisedHazard& b) { return a.severity > b.severity; });
  return raised;
}

std::vector<Note> hazard_notes(std::span<const Handled> all, const Work& work) {
  std::vector<Note> notes;
  for (const RaisedHazard& raised : hazards_of(all, work)) notes.push_back({raised.severity, raised.text, ""});
  return notes;
}

}  // namespace witnessline::safety

#include "materials/in_words.h"

#include <algorithm>

namespace witnessline::materials {

std::string short_name(const Material& material) {
  return material.name.substr(0, std::min(material.name.find(": "), material.name.find(" (")));
}

std::vector<Harmful> held_of(const Material& material, std::span<const Harmful> which) {
  std::vector<Harmful> held;
  std::copy_if(which.begin(), which.end(), std::back_inserter(held),
               [&](Harmful what) { return material.contains(what); });
  return held;
}

std::string in_words(std::span<const Harmful> which) {
  std::string text;
  for (std::size_t i = 0; i < which.size(); ++i)
    text += (i == 0                  ? ""
             : i + 1 == which.size() ? " and "
                                     : ", ") +
            std::string(words(static_cast<const Harmful*>(nullptr))[static_cast<std::size_t>(which[i])]);
  return text;
}

}  // namespace witnessline::materials

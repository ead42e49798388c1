#include "history/in_words.h"

#include <fmt/format.h>

#include <cmath>
#include <utility>

namespace witnessline::history {

std::string times_in_words(double times) {
  static constexpr std::pair<double, const char*> steps[] = {{1.0 / 20, "a twentieth of"},
                                                             {0.1, "a tenth of"},
                                                             {0.2, "a fifth of"},
                                                             {0.25, "a quarter of"},
                                                             {1.0 / 3, "a third of"},
                                                             {0.5, "half"},
                                                             {2.0 / 3, "two thirds of"},
                                                             {1, "as much as"},
                                                             {1.5, "half as much again as"},
                                                             {2, "twice"},
                                                             {3, "three times"},
                                                             {4, "four times"},
                                                             {5, "five times"},
                                                             {7, "seven times"},
                                                             {10, "ten times"},
                                                             {20, "twenty times"}};
  if (times < 1.0 / 28) return "next to nothing of";
  if (times > 28) return "very many times";
  const char* nearest = "";
  double best = 1e9;
  for (const auto& [value, word] : steps)
    if (const double off = std::abs(std::log(times / value)); off < best) best = off, nearest = word;
  return nearest;
}

std::string conflict_in_words(const Observation& s, double times, const Band& band) {
  const bool less = times < 1;
  const auto pick = [&](const char* if_less, const char* if_more) { return less ? if_less : if_more; };
  const char *what = "", *perhaps = "";
  switch (s.kind) {
    case Observation::Kind::yellow:
      what = "has seen {} the light the rest tells of";
      perhaps = pick("replaced, refinished, moved, or covered for years", "from another instrument, or another clear");
      break;
    case Observation::Kind::sheen:
      what = s.share > 0 ? "has had {} the handling the rest tells of" : "has aged {} the time the rest tells of";
      perhaps = pick("buffed, or cleared over", "rubbed down, or not yet clean");
      break;
    case Observation::Kind::checks_across:
      what = "has had {} the cold the rest tells of";
      perhaps = pick("a newer finish, or a tougher one", "chilled on purpose, or from a colder place");
      break;
    case Observation::Kind::checks_along:
      what = "has had {} the dry and damp seasons the rest tells of";
      perhaps = pick("a newer finish, or a tougher one", "wood that moved, or kept in a worse place");
      break;
    case Observation::Kind::string_wear:
      what = "has had {} the play the rest tells of";
      perhaps = s.which == 0 ? pick("refretted, dressed, or a later neck", "a neck from an instrument played more")
                             : pick("a later fingerboard or neck, or dressed", "a neck from an instrument played more");
      break;
    case Observation::Kind::film_wear:
      what = "has had {} the wear the rest tells of";
      perhaps = pick("touched up, or cleared over", "sanded, not worn");
      break;
    case Observation::Kind::tarnish:
      what = "has had {} the years the rest tells of";
      perhaps = pick("replaced, or polished", "kept damp, or from an older instrument");
      break;
    case Observation::Kind::dirt:
      what = "has {} the dirt the rest tells of";
      perhaps = pick("cleaned before", "not only from handling");
      break;
  }
  return fmt::format("{} {} ({:.2g} to {:.2g} times): {}.", s.name,
                     fmt::format(fmt::runtime(what), times_in_words(times)), band.low, band.high, perhaps);
}

}  // namespace witnessline::history

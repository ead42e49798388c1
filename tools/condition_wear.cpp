// condition_wear FOLDER: conditions what is not known of wear and checks on common practice, once, and writes
// FOLDER/practice/wear_unknowns.csv and wear_paces.csv. Build and run it again after a change of contact or of
// FOLDER/practice/ageing.csv; nothing of it runs when the program does.
#include <fmt/format.h>

#include <cmath>
#include <fstream>
#include <iostream>

#include "app/practice/wear.h"
#include "bench/wear_unknowns.h"
#include "materials/csv.h"

using namespace witnessline::app;

namespace {

/// Which unknown a row conditions, and the power of it that the row's value goes with.
struct Conditions {
  WearUnknown unknown;
  int power;
};
std::vector<Conditions> conditions_of(const PracticeRow& row) {
  using enum WearUnknown;
  if (row.quantity == "years_to_wood")
    return {{row.subject == "buckle" ? buckle_wear : row.word("side", "soft") == "hard" ? pick_wear : film_wear, -1}};
  if (row.quantity == "worn_into_wood")
    return {{row.word("side", "soft") == "hard" ? wood_wear_hard : wood_wear_soft, 1}};
  if (row.quantity == "fret_wear") return {{fret_wear, 1}};
  if (row.quantity == "fingerboard_wear") return {{fingerboard_wear, 1}};
  if (row.quantity == "hardly_played") return {{hardly_played, 1}};
  if (row.quantity == "check_distance") return {{check_distance, 1}};
  return {};
}

/// Law: conjugate normals of logarithms (Bayes' theorem), row by row; a row of bare wood is as uncertain as K of a film
/// besides.
int condition(const std::string& folder) {
  const Result<Library> library = read_library(folder);
  const Result<std::vector<PracticeRow>> rows = read_practice(folder);
  if (!library || !rows) {
    std::cerr << (library ? rows.errors() : library.errors())[0].text() << "\n";
    return 1;
  }
  const Predictors predictors = all_predictors();
  constexpr auto names = words(static_cast<const WearUnknown*>(nullptr));
  std::array<ConditionedWear, names.size()> made;
  for (std::size_t i = 0; i < names.size(); ++i) {
    const auto which = static_cast<WearUnknown>(i);
    const ConditionedWear& held = wear_unknown(which);
    // Bare wood wears with the film's K times its own.
    const bool wood = which == WearUnknown::wood_wear_soft || which == WearUnknown::wood_wear_hard;
    const auto film = which == WearUnknown::wood_wear_hard ? WearUnknown::pick_wear : WearUnknown::film_wear;
    const ConditionedWear* beside = wood ? &made[static_cast<std::size_t>(film)] : nullptr;
    double weight = 1 / (held.prior_sd_ln * held.prior_sd_ln), sum = weight * std::log(held.prior);
    for (const PracticeRow& row : *rows) {
      const auto conditions = conditions_of(row);
      if (!row.conditions || conditions.empty() || conditions[0].unknown != which) continue;
      const Result<double> ours = predictors.at(row.quantity)(row, *library);
      if (!ours) return std::cerr << ours.errors()[0].text() << "\n", 1;
      // What the unknown would have to be for our value to be that of the row.
      const double off = std::log(row.middle() / *ours) / conditions[0].power;
      const double asks =
          std::log(held.value) + off - (beside ? std::log(beside->value / wear_unknown(film).value) : 0);
      const double variance = row.log_sd() * row.log_sd() + (beside ? beside->sd_ln * beside->sd_ln : 0);
      weight += 1 / variance, sum += asks / variance;
      fmt::print("  {:<16} asks {:9.3g}  (ours {:9.3g}, practice {:9.3g} {})  {}\n", names[i], std::exp(asks), *ours,
                 row.middle(), row.unit, row.claim);
    }
    made[i] = held;
    made[i].value = std::exp(sum / weight), made[i].sd_ln = std::sqrt(1 / weight);
    fmt::print("{:<18} {:8.3g} ({:.2f}) -> {:8.3g} ({:.2f})\n", names[i], held.prior, held.prior_sd_ln, made[i].value,
               made[i].sd_ln);
  }
  const std::string path = folder + "/practice/wear_unknowns.csv";
  std::string head;
  {
    std::ifstream in(path);
    for (std::string line; std::getline(in, line) && line.starts_with("#");) head += line + "\n";
  }
  std::ofstream out(path);
  out << head << "unknown,unit,prior,prior_sd_ln,value,sd_ln,moves\n";
  for (std::size_t i = 0; i < names.size(); ++i)
    out << fmt::format("{},{},{:g},{:g},{:.3g},{:.2g},{}\n", names[i], made[i].unit, made[i].prior, made[i].prior_sd_ln,
                       made[i].value, made[i].sd_ln, csv_cell(made[i].moves));
  std::ofstream paces(folder + "/practice/wear_paces.csv");
  paces << "# Made by tools/condition_wear: how fast a touch wears nitrocellulose lacquer on a plain slab where it "
           "wears most\n"
           "# (the 2 cm2 that go first), by contact with K as practice has it. Read by `life`.\ntouch,film_um_1000_h\n";
  for (std::size_t t = 0; t < words(static_cast<const Touch*>(nullptr)).size(); ++t) {
    const auto touch = static_cast<Touch>(t);
    const Result<WearPace> pace = wear_pace(touch);
    if (!pace) return std::cerr << pace.errors()[0].text() << "\n", 1;
    const auto now = [&](bool hard) {
      const WearUnknown which = wear_of(touch, hard);
      return made[static_cast<std::size_t>(which)].value / wear_unknown(which).value;
    };
    const double film_m = std::max(pace->film_soft_m * now(false), pace->film_hard_m * now(true));
    paces << fmt::format("{},{:.3g}\n", words(static_cast<const Touch*>(nullptr))[t], 1e6 * film_m);
  }
  return out && paces ? 0 : 1;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc == 2) return condition(argv[1]);
  std::cerr << "usage: condition_wear FOLDER   (the data folder)\n";
  return 2;
}

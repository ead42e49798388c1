// Prints the tables of docs/validation/colour.md; with a folder named, draws its pictures there.
// usage: validate_colour OIL.csv [FILMS_ON_PAPER.csv|-] [FOLDER]
#include <fmt/format.h>

#include <fstream>
#include <map>

#include "../../tests/unit/match/folds.h"
#include "match/prediction_table.h"
#include "materials/csv.h"

using namespace witnessline::app;

namespace {

struct Variant {
  const char* name;
  FilmFit fit;
  bool by_volume;
};

std::vector<Variant> variants() {
  const FilmFit plain = plain_two_constant_fit(), ours;
  FilmFit face = plain, robust = plain, no_pooling = ours, no_prior = ours, fixed = ours, conventional = ours,
          no_kin = ours, lightness = ours;
  face.face = ours.face;
  robust.misfit = ours.misfit;
  no_pooling.pooling = 0;
  no_prior.prior = 1e-4;
  fixed.rounds = 1;
  conventional.face = plain.face;
  no_kin.kinship = 0;
  lightness.as_lightness = true;
  return {{"plain two-constant", plain, false},       {"plain + fitted face", face, false},
          {"plain + robust", robust, false},          {"ours", ours, true},
          {"ours - shares by volume", ours, false},   {"ours - pooled scattering", no_pooling, true},
          {"ours - prior", no_prior, true},           {"ours - free thickness", fixed, true},
          {"ours - fitted face", conventional, true}, {"ours - kinship", no_kin, true},
          {"ours, as lightness", lightness, true}};
}

std::string row(const Scores& s) {
  return fmt::format("{:5.2f} {:5.2f} {:5.2f} {:5.2f}", s.mean(), s.quantile(0.5), s.quantile(0.95), s.quantile(1));
}

// Cumulative share of scores at or below each Delta E: one line a model.
void draw(const std::string& path, const std::string& title, const std::vector<std::pair<std::string, Scores>>& lines) {
  const char* colours[] = {"#b0452f", "#1f6f8b"};
  constexpr double left = 60, top = 40, wide = 520, high = 260, most = 14;
  std::string svg = fmt::format(
      "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 640 360' font-family='sans-serif' font-size='13'>\n"
      "<rect width='640' height='360' fill='white'/>\n<text x='{}' y='24' font-size='15'>{}</text>\n",
      left, title);
  for (int d = 0; d <= 14; d += 2)
    svg += fmt::format("<path d='M{0} {1}V{2}' stroke='#ddd'/><text x='{0}' y='{3}' text-anchor='middle'>{4}</text>\n",
                       left + wide * d / most, top, top + high, top + high + 18, d);
  for (int p = 0; p <= 100; p += 25)
    svg += fmt::format("<path d='M{0} {1}H{2}' stroke='#ddd'/><text x='{3}' y='{4}' text-anchor='end'>{5} %</text>\n",
                       left, top + high * (1 - p / 100.0), left + wide, left - 6, top + high * (1 - p / 100.0) + 4, p);
  svg += fmt::format("<text x='{}' y='{}' text-anchor='middle'>Delta E 2000, D65, 10 degree</text>\n", left + wide / 2,
                     top + high + 42);
  for (std::size_t l = 0; l < lines.size(); ++l) {
    std::vector<double> sorted = lines[l].second.delta_e;
    std::sort(sorted.begin(), sorted.end());
    std::string d = fmt::format("M{} {}", left, top + high);
    for (std::size_t i = 0; i < sorted.size(); ++i)
      d += fmt::format("L{:.1f} {:.1f}", left + wide * std::min(sorted[i], most) / most,
                       top + high * (1 - static_cast<double>(i + 1) / static_cast<double>(sorted.size())));
    const double y = top + high - 40 + 20 * static_cast<double>(l);
    svg += fmt::format(
        "<path d='{}' fill='none' stroke='{}' stroke-width='2.5'/>\n"
        "<path d='M400 {}h30' stroke='{}' stroke-width='2.5'/><text x='438' y='{}'>{}</text>\n",
        d, colours[l], y - 4, colours[l], y, lines[l].first);
  }
  std::ofstream(path) << svg << "</svg>\n";
}

struct Folded {
  Scores composition, thickness;
  std::vector<Scores> by_fold;
};

Folded fold(const std::vector<std::string>& names, const std::vector<FilmReading>& films,
            const std::vector<std::vector<std::size_t>>& folds, const FilmFit& fit, bool two_grounds) {
  Folded all;
  for (const auto& out : folds) {
    std::vector<FilmReading> kept, asked;
    for (std::size_t f = 0; f < films.size(); ++f)
      (std::find(out.begin(), out.end(), f) == out.end() ? kept : asked).push_back(films[f]);
    const auto set = characterise(names, kept, fit);
    if (!set) {
      fmt::print("{}\n", set.errors()[0].text());
      std::exit(1);
    }
    all.by_fold.push_back(from_composition(*set, asked));
    all.composition.add(all.by_fold.back());
    if (two_grounds) all.thickness.add(with_thickness(*set, asked, 0.35));
  }
  return all;
}

int oil(const std::string& path, const std::string& folder) {
  const auto densities = read_pigment_densities(std::string(PROJECT_FOLDER) + "/data/pigments.csv");
  const auto table = densities ? read_prediction_table(path, *densities) : Result<PredictionTable>(densities.errors());
  if (!table) return fmt::print("{}\n", table.errors()[0].text()), 1;
  const auto by_mass = read_prediction_table(path);
  std::vector<FilmReading> films, films_by_mass;
  for (const TableFilm& f : table->films) films.push_back(f.film);
  for (const TableFilm& f : by_mass->films) films_by_mass.push_back(f.film);
  std::vector<std::vector<std::size_t>> folds;
  for (std::uint64_t seed = 1; seed <= 8; ++seed) folds.push_back(left_out(films, seed, 12));
  std::map<std::string, Folded> results;
  fmt::print("oil: {} folds of {} mixtures; mean median p95 max, from composition | white with thickness from black\n",
             folds.size(), folds[0].size());
  for (const Variant& v : variants()) {
    const Folded r = fold(table->colorants, v.by_volume ? films : films_by_mass, folds, v.fit, true);
    fmt::print("{:26} {} | {}\n", v.name, row(r.composition), row(r.thickness));
    std::fflush(stdout);
    results[v.name] = r;
  }
  for (std::size_t f = 0; f < folds.size(); ++f)
    fmt::print("fold {}: plain {} ours {}\n", f + 1, row(results["plain two-constant"].by_fold[f]),
               row(results["ours"].by_fold[f]));
  std::vector<std::vector<std::size_t>> fifths(5);
  std::size_t mixtures = 0;
  for (std::size_t f = 0; f < films.size(); ++f)
    if (*std::max_element(films[f].shares.begin(), films[f].shares.end()) < 0.999) fifths[mixtures++ % 5].push_back(f);
  fmt::print("every fifth of {} mixtures left out in turn\n", mixtures);
  for (const auto& [name, fit] : {std::pair{"plain two-constant", plain_two_constant_fit()}, {"ours", FilmFit()}}) {
    const Folded r = fold(table->colorants, fit.rounds > 1 ? films : films_by_mass, fifths, fit, true);
    fmt::print("{:26} {} | {}\n", name, row(r.composition), row(r.thickness));
  }
  if (!folder.empty())
    draw(folder + "/colour_oil.svg", "Oil paints left out, predicted from composition",
         {{"plain two-constant", results["plain two-constant"].composition}, {"ours", results["ours"].composition}});
  return 0;
}

int paper(const std::string& path, const std::string& folder) {
  const auto csv = read_csv(path);
  if (!csv) return fmt::print("films on paper: not here, skipped\n"), 0;
  std::vector<std::string> names;
  std::vector<FilmReading> films;
  std::vector<std::size_t> pair_of;
  std::map<std::string, std::size_t> pairs;
  Reflectance ground{};
  const auto place = [&](const std::string& name) {
    const auto found = std::find(names.begin(), names.end(), name);
    if (found != names.end()) return static_cast<std::size_t>(found - names.begin());
    names.push_back(name);
    return names.size() - 1;
  };
  for (const CsvRow& r : csv->rows)
    if (r.cells[0] != "paper") place(r.cells[0]);
  for (const CsvRow& r : csv->rows) {
    Reflectance reading{};
    for (int b = 0; b < bands; ++b) reading[b] = *number_in(r.cells[static_cast<std::size_t>(4 + b)]);
    if (r.cells[0] == "paper") {
      ground = reading;
      continue;
    }
    FilmReading film;
    film.sample = fmt::format("line {}", r.line), film.shares.assign(names.size(), 0.0);
    const double a = *number_in(r.cells[1]), b = *number_in(r.cells[3]);
    film.shares[place(r.cells[0])] += a / (a + b);
    if (b > 0) film.shares[place(r.cells[2])] += b / (a + b);
    film.thickness_ratio = (a + b) / 0.1;
    film.over.push_back({ground, reading});
    films.push_back(film);
    pair_of.push_back(b > 0 ? pairs.try_emplace(r.cells[0] + "+" + r.cells[2], pairs.size() + 1).first->second : 0);
  }
  // Five pairs left out at a time, 50 kept: as near to all 55 known as folds of this many come.
  std::vector<std::vector<std::size_t>> folds(11);
  for (std::size_t f = 0; f < films.size(); ++f)
    if (pair_of[f]) folds[pair_of[f] % folds.size()].push_back(f);
  FilmFit plain = plain_two_constant_fit(), ours, linear, glossy, each, no_pooling;
  plain.face = ours.face = AirFace{0, 0};
  ours.as_lightness = true;
  linear = glossy = each = no_pooling = ours;
  linear.as_lightness = false, glossy.face = FilmFit().face, each.alike_as_one = false, no_pooling.pooling = 0;
  FilmFit plain_lightness = plain;
  plain_lightness.as_lightness = true;
  std::map<std::string, Folded> results;
  fmt::print("films on paper: {} pairs in {} folds; mean median p95 max\n", pairs.size(), folds.size());
  for (const auto& [name, fit] : {std::pair{"plain two-constant", plain},
                                  {"plain, as lightness", plain_lightness},
                                  {"ours", ours},
                                  {"ours - lightness", linear},
                                  {"ours - alike as one", each},
                                  {"ours - pooled scattering", no_pooling},
                                  {"ours, glossy face", glossy}}) {
    results[name] = fold(names, films, folds, fit, false);
    fmt::print("{:26} {}\n", name, row(results[name].composition));
    std::fflush(stdout);
  }
  for (std::size_t f = 0; f < folds.size(); ++f)
    fmt::print("fold {}: plain {} ours {}\n", f + 1, row(results["plain two-constant"].by_fold[f]),
               row(results["ours"].by_fold[f]));
  if (!folder.empty())
    draw(folder + "/colour_paper.svg", "Films on paper, pairs left out",
         {{"plain two-constant", results["plain two-constant"].composition}, {"ours", results["ours"].composition}});
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) return fmt::print("usage: validate_colour OIL.csv [FILMS_ON_PAPER.csv|-] [FOLDER]\n"), 2;
  const std::string folder = argc > 3 ? argv[3] : "";
  if (std::string(argv[1]) != "-")
    if (const int bad = oil(argv[1], folder)) return bad;
  return argc > 2 && std::string(argv[2]) != "-" ? paper(argv[2], folder) : 0;
}

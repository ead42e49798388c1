#include "base/result.h"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

namespace witnessline::base {

std::string Error::text() const {
  std::string line;
  if (!where.file.empty()) line += where.file + ":";
  if (where.line > 0) line += fmt::format("{}:", where.line);
  if (where.column > 0) line += fmt::format("{}:", where.column);
  if (!line.empty()) line += " ";
  if (!where.key.empty()) line += where.key + ": ";
  line += what;
  if (!expected.empty()) line += "; expected " + expected;
  if (!fix.empty()) line += "; " + fix;
  return line;
}

BrokenPromise::BrokenPromise(const char* why, const char* file, int line)
    : text_(fmt::format("internal fault: {} ({}:{})", why,
                        std::string_view(file).substr(std::string_view(file).rfind('/') + 1), line)) {}

void broken_promise(const char* why, const char* file, int line) { throw BrokenPromise(why, file, line); }

namespace {
// Levenshtein distance, one row at a time.
std::size_t edits_between(const std::string& a, const std::string& b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t above = row[j];
      row[j] = std::min({row[j] + 1, row[j - 1] + 1, diagonal + (a[i - 1] == b[j - 1] ? 0 : 1)});
      diagonal = above;
    }
  }
  return row.back();
}
}  // namespace

std::string nearest_word(const std::string& word, const std::vector<std::string>& known) {
  std::string best;
  std::size_t fewest = std::max<std::size_t>(2, word.size() / 3) + 1;
  for (const std::string& candidate : known) {
    const std::size_t a = word.size(), b = candidate.size();
    if (std::max(a, b) - std::min(a, b) >= fewest) continue;  // so many edits at least
    const std::size_t edits = edits_between(word, candidate);
    if (edits < fewest) fewest = edits, best = candidate;
  }
  return best;
}

std::string did_you_mean(const std::string& word, const std::vector<std::string>& known) {
  const std::string near = word.empty() ? "" : nearest_word(word, known);
  return near.empty() ? "" : "did you mean '" + near + "'?";
}

}  // namespace witnessline::base

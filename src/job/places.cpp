#include "job/places.h"

#include <charconv>

namespace witnessline::job {
namespace {

/// Takes `word` off the front of a path, where it is a whole part of it.
bool take(std::string_view& path, std::string_view word) {
  if (word.empty() || !path.starts_with(word)) return false;
  if (path.size() > word.size() && path[word.size()] != '.' && path[word.size()] != '[') return false;
  path.remove_prefix(word.size());
  return true;
}

/// The part of a table or list that the front of a path names; nullptr: none does. Names may hold dots.
const Tree* step_into(const Tree& at, std::string_view& path) {
  if (at.is == Tree::Is::table) {
    const Tree* longest = nullptr;
    std::string_view rest = path;
    for (const Tree::Entry& entry : at.table)
      if (std::string_view after = path; take(after, entry.key) && (!longest || after.size() < rest.size()))
        longest = &entry.value, rest = after;
    path = rest;
    return longest;
  }
  if (path.starts_with('[')) {
    std::size_t place = 0;
    const auto [end, fault] = std::from_chars(path.data() + 1, path.data() + path.size(), place);
    const auto used = static_cast<std::size_t>(end - path.data());
    if (fault != std::errc{} || used >= path.size() || *end != ']' || place < 1 || place > at.list.size())
      return nullptr;
    path.remove_prefix(used + 1);
    return &at.list[place - 1];
  }
  for (const Tree& item : at.list)
    for (const char* key : {"id", "name"})
      if (const Tree* name = item.find(key); name && take(path, name->text)) return &item;
  return nullptr;
}

}  // namespace

const Tree& standing_at(const Tree& tree, std::string_view path) {
  const Tree* at = &tree;
  while (!path.empty()) {
    if (path.front() == '.') path.remove_prefix(1);
    const Tree* inner = step_into(*at, path);
    if (!inner) break;
    at = inner;
  }
  return *at;
}

std::vector<Error> located(std::vector<Error> errors, const Tree& tree, const std::string& file) {
  for (Error& error : errors) {
    if (!error.where.file.empty()) continue;
    error.where.file = file;
    if (error.where.line != 0 || error.where.key.empty()) continue;
    const Tree& at = standing_at(tree, error.where.key);
    error.where.line = at.line, error.where.column = at.column;
  }
  return errors;
}

}  // namespace witnessline::job

#include "job/files.h"

#include <variant>

#include "job/check.h"

namespace witnessline::job {
namespace {

/// What is the same in `usual` need not be written.
void drop_usual(Tree& tree, const Tree& usual) {
  std::erase_if(tree.table, [&](Tree::Entry& e) {
    const Tree* same = usual.find(e.key);
    if (same != nullptr && e.value.is == Tree::Is::table) drop_usual(e.value, *same);
    if (e.must) return false;
    const bool empty = e.value.is == Tree::Is::table && e.value.table.empty();
    return empty || e.value.is == Tree::Is::nothing || (same != nullptr && e.value == *same);
  });
}

/// Writes like TableWriter, leaving out of each item of a list and each choice what reading would put there anyway.
class FileWriter {
 public:
  template <class T>
  void operator()(const Member& m, T& value) {
    tree.put(m.key, branch(value, m.unit));
    tree.table.back().must = m.required;
  }
  template <class... Choices>
  void operator()(const Member& m, std::variant<Choices...>& value) {
    std::visit(
        [&](auto& chosen) {
          tree.put(m.key, Tree::of(std::string(chosen.word)));
          tree.table.back().must = true;
          Tree own = without_usual(chosen);
          for (Tree::Entry& e : own.table) {
            tree.table.push_back(std::move(e));
            tree.table.back().must = true;
          }
        },
        value);
  }
  template <class T>
  static Tree without_usual(T& value) {
    FileWriter writer;
    describe(writer, value);
    T usual{};
    drop_usual(writer.tree, tree_of(usual));
    return std::move(writer.tree);
  }

 private:
  template <class T>
  static Tree branch(T& value, const Unit& unit) {
    if constexpr (requires(FileWriter & w) { describe(w, value); }) {
      FileWriter writer;
      describe(writer, value);
      return std::move(writer.tree);
    } else if constexpr (requires(FileWriter & w) { describe(w, value.front()); }) {
      Tree list = Tree::empty_list();
      for (auto& item : value) list.list.push_back(without_usual(item));
      return list;
    } else {
      return tree_of(value, unit);
    }
  }

  Tree tree = Tree::empty_table();
};

}  // namespace

JobText read_job_text(std::string_view text, const std::string& file_name, const Library& library, int this_year) {
  Faults faults{file_name, {}};
  JobText read;
  read.tree = read_toml(text, faults);
  if (read.tree.is == Tree::Is::table) {
    read_into(read.tree, read.job, member("job", "a job"), unit::none, "", faults);
    check_job(read.job, read.tree, library, this_year, faults);
  }
  read.faults = faults.all();
  return read;
}

Result<Job> read_job(std::string_view text, const std::string& file_name, const Library& library, int this_year) {
  JobText read = read_job_text(text, file_name, library, this_year);
  if (!read.faults.empty()) return std::move(read.faults);
  return std::move(read.job);
}

std::string write_job(const Job& job) {
  Job copy = job;
  return print_toml(FileWriter::without_usual(copy));
}

}  // namespace witnessline::job

#include "app/app.h"
#include "app/published/published.h"
#include "base/tree.h"

namespace witnessline::app {

Result<std::vector<Check>> verify() { return verify(data_folder()); }

std::string verify_json(const std::vector<Check>& checks) {
  Tree rows = Tree::empty_list();
  std::int64_t out = 0;
  for (const Check& c : checks) {
    const auto worked_out = [&](double value) { return c.fault.empty() ? Tree::of(value) : Tree{}; };
    out += c.within() ? 0 : 1;
    Tree row = Tree::empty_table();
    row.put("id", Tree::of(c.id)), row.put("what", Tree::of(c.what));
    row.put("ours", worked_out(c.ours)), row.put("published", Tree::of(c.published));
    row.put("error", worked_out(c.ours - c.published)), row.put("tolerance", Tree::of(c.tolerance));
    row.put("unit", Tree::of(c.unit)), row.put("source", Tree::of(c.source)), row.put("locator", Tree::of(c.locator));
    row.put("tests", Tree::of(std::string(c.tests_truth ? "truth" : "arithmetic")));
    row.put("within", Tree::of(c.within()));
    if (!c.fault.empty()) row.put("refused", Tree::of(c.fault));
    rows.list.push_back(std::move(row));
  }
  Tree tree = Tree::empty_table();
  tree.put("checks", std::move(rows)), tree.put("outside_tolerance", Tree::of(out));
  return print_json(tree, 2);
}

}  // namespace witnessline::app

// Papers as Mustache templates (the common, logic-free subset): a paper's code gives values, its template the words and
// the order.
#pragma once

#include <initializer_list>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/tree.h"

namespace witnessline::papers {

// Texts of src/papers/templates, inside the program.
extern const char *const head_html,
    *const foot_html, *const style_css, *const condition_report_html, *const proposal_html,
                                                                          *const job_card_html,
                                                                              *const mixing_card_html,
                                                                                  *const ageing_card_html,
                                                                                      *const safety_sheet_html,
                                                                                          *const owners_report_html,
                                                                                              *const templates_html,
                                                                                                  *const workings_html;

/// A table for a template.
Tree fields(std::initializer_list<std::pair<const char*, Tree>>);
Tree text(std::string);
Tree yes(bool);
/// A list, one entry for each of `from`.
template <class From, class Make>
Tree each(const From& from, Make make) {
  Tree list = Tree::empty_list();
  for (const auto& one : from) list.list.push_back(make(one));
  return list;
}

/// `page` filled from `values`; text is escaped unless the template says {{{raw}}}.
std::string filled(const char* page, const Tree& values);

}  // namespace witnessline::papers

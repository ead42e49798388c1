// What the 3-D view draws: the mesh, and bytes for each of its vertices (layout: docs/api.md).
#pragma once

#include "server/answers.h"

namespace witnessline::server {

Answer mesh_answer(const LightMesh&);
Answer colours_answer(const DeskEntry&, const std::string& plan, std::size_t step, const Query&);
/// How deep a cut may go at each vertex: a place in the words of the legend.
Answer stop_map(const DeskEntry&, const std::string& plan, std::size_t step);
Answer stop_legend(const Query&);
/// How deep a life wears at each vertex: a place in the words of the legend.
Answer wear_map(const DeskEntry&, const std::string& plan, std::size_t step, const Query&);
Answer wear_legend(const Query&);
/// The lives a job tells of, and what touched it in each; a stand-in where it tells of none.
Answer lives_answer(const Job&);

}  // namespace witnessline::server

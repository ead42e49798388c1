// answer: what the API says to one request (see docs/api.md). Knows jobs, not sockets.
#pragma once

#include <functional>
#include <optional>
#include <string>

#include "server/job_queue.h"

namespace witnessline::server {

struct Answer {
  int status = 200;
  std::string type = "application/json";
  std::string body;
};

class RenderCache;

/// One value of the query string; nullopt where it is absent.
using Query = std::function<std::optional<std::string>(const std::string& key)>;

enum class Method { get, post };

/// Pictures, maps and papers are drawn once (Drawn). `path` is decoded and begins with "/api/"; `body` is what was
/// posted.
Answer answer(JobQueue&, RenderCache&, Method, const std::string& path, const Query&, const std::string& body);

/// It is read off what is known already; every other answer may take seconds of work.
bool is_light(Method, const std::string& path);

/// {"errors": [...]}
Answer refusal(int status, const std::vector<Error>&);

}  // namespace witnessline::server

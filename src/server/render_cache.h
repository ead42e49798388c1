// Drawn: pictures, maps and papers that took seconds to make, kept until their job is worked out anew.
#pragma once

#include <cstddef>
#include <functional>
#include <future>
#include <list>
#include <memory>
#include <mutex>
#include <string>

#include "server/answers.h"

namespace witnessline::server {

class RenderCache {
 public:
  /// Past `most_bytes` what was asked for longest ago is given up.
  explicit RenderCache(std::size_t most_bytes = std::size_t{96} << 20) : most_bytes_(most_bytes) {}

  /// What was drawn before for this question, or what `draw` gives. Asked twice at once it is drawn once, and the
  /// second waits. A job asked about in another state loses what was drawn of it before; refusals are not kept.
  Answer get(const std::string& job, const std::string& state, const std::string& question,
             const std::function<Answer()>& draw);

  std::size_t bytes() const;

 private:
  using Shared = std::shared_ptr<const Answer>;
  struct Drawing {
    std::string job, state, question;
    std::shared_future<Shared> answer;
    std::size_t bytes = 0;  ///< 0 while it is being drawn
  };
  void give_up(std::list<Drawing>::iterator);

  std::size_t most_bytes_, bytes_ = 0;
  std::list<Drawing> drawings_;  ///< asked for last comes first
  mutable std::mutex mutex_;
};

}  // namespace witnessline::server

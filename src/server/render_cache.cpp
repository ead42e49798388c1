#include "server/render_cache.h"

#include <algorithm>

namespace witnessline::server {

void RenderCache::give_up(std::list<Drawing>::iterator drawing) {
  bytes_ -= drawing->bytes;
  drawings_.erase(drawing);
}

std::size_t RenderCache::bytes() const {
  const std::lock_guard lock(mutex_);
  return bytes_;
}

Answer RenderCache::get(const std::string& job, const std::string& state, const std::string& question,
                        const std::function<Answer()>& draw) {
  const auto found = [&] {
    return std::find_if(drawings_.begin(), drawings_.end(),
                        [&](const Drawing& d) { return d.question == question && d.job == job && d.state == state; });
  };
  std::promise<Shared> promise;
  {
    std::unique_lock lock(mutex_);
    for (auto drawing = drawings_.begin(); drawing != drawings_.end();) {
      const auto next = std::next(drawing);
      if (drawing->job == job && drawing->state != state) give_up(drawing);
      drawing = next;
    }
    if (const auto before = found(); before != drawings_.end()) {
      drawings_.splice(drawings_.begin(), drawings_, before);
      const std::shared_future<Shared> answer = before->answer;
      lock.unlock();
      return *answer.get();
    }
    drawings_.push_front({job, state, question, promise.get_future().share(), 0});
  }
  Shared answer;
  try {
    answer = std::make_shared<const Answer>(draw());
    promise.set_value(answer);
  } catch (...) {
    promise.set_exception(std::current_exception());
    const std::lock_guard lock(mutex_);
    if (const auto ours = found(); ours != drawings_.end()) give_up(ours);
    throw;
  }
  const std::lock_guard lock(mutex_);
  const auto ours = found();
  if (ours == drawings_.end()) return *answer;  // its job was worked out anew in the meantime
  if (answer->status != 200 || answer->body.size() > most_bytes_) {
    give_up(ours);
    return *answer;
  }
  ours->bytes = answer->body.size() + 1;  // 1: an empty one counts as drawn too
  bytes_ += ours->bytes;
  for (auto oldest = std::prev(drawings_.end()); bytes_ > most_bytes_ && oldest != drawings_.begin();) {
    const auto next = std::prev(oldest);
    if (oldest->bytes > 0 && oldest != ours) give_up(oldest);
    oldest = next;
  }
  return *answer;
}

}  // namespace witnessline::server

#include "server/work_slots.h"

namespace witnessline::server {

bool WorkSlots::take() {
  std::unique_lock lock(mutex_);
  if (free_ == 0) {
    if (may_wait_ == 0) return false;
    --may_wait_;
    freed_.wait(lock, [&] { return closed_ || free_ > 0; });
    ++may_wait_;
  }
  if (closed_) return false;
  --free_;
  return true;
}

void WorkSlots::give_back() {
  {
    const std::lock_guard lock(mutex_);
    ++free_;
  }
  freed_.notify_one();
}

void WorkSlots::close() {
  {
    const std::lock_guard lock(mutex_);
    closed_ = true;
  }
  freed_.notify_all();
}

}  // namespace witnessline::server

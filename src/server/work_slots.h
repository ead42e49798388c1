// WorkSlots: answers that take long run a few at a time and a limited number wait for their turn, so that threads stay
// free for the light ones.
#pragma once

#include <condition_variable>
#include <mutex>

namespace witnessline::server {

class WorkSlots {
 public:
  WorkSlots(int at_once, int most_waiting) : free_(at_once), may_wait_(most_waiting) {}

  /// Holds a slot while it lives.
  class Turn {
   public:
    explicit Turn(WorkSlots& slots) : slots_(slots), taken_(slots.take()) {}
    ~Turn() {
      if (taken_) slots_.give_back();
    }
    Turn(const Turn&) = delete;
    Turn& operator=(const Turn&) = delete;
    /// False: too many wait already, or the server is stopping.
    explicit operator bool() const { return taken_; }

   private:
    WorkSlots& slots_;
    bool taken_;
  };

  /// Those who wait, and all who come later, get no slot.
  void close();

 private:
  bool take();
  void give_back();

  std::mutex mutex_;
  std::condition_variable freed_;
  int free_, may_wait_;
  bool closed_ = false;
};

}  // namespace witnessline::server

#include "server/work_slots.h"

#include <gtest/gtest.h>

#include <atomic>
#include <chrono>
#include <thread>
#include <vector>

using namespace witnessline::server;
using namespace std::chrono_literals;

namespace {

TEST(WorkSlots, no_more_than_allowed_run_at_once_and_all_who_may_wait_get_their_turn) {
  WorkSlots slots(2, 8);
  std::atomic<int> running = 0, most = 0, done = 0;
  std::vector<std::thread> all;
  for (int i = 0; i < 10; ++i)
    all.emplace_back([&] {
      const WorkSlots::Turn turn(slots);
      if (!turn) return;
      most = std::max(most.load(), ++running);
      std::this_thread::sleep_for(5ms);
      --running, ++done;
    });
  for (std::thread& one : all) one.join();
  EXPECT_EQ(done, 10);
  EXPECT_LE(most, 2);
}

TEST(WorkSlots, whoever_comes_when_all_places_to_wait_are_taken_is_turned_away) {
  WorkSlots slots(1, 0);
  const WorkSlots::Turn first(slots), second(slots);
  EXPECT_TRUE(first);
  EXPECT_FALSE(second);
}

TEST(WorkSlots, closing_sends_those_away_who_wait) {
  WorkSlots slots(1, 1);
  const WorkSlots::Turn first(slots);
  std::atomic<int> got = -1;
  std::thread waiting([&] { got = static_cast<bool>(WorkSlots::Turn(slots)); });
  std::this_thread::sleep_for(20ms);
  EXPECT_EQ(got, -1);
  slots.close();
  waiting.join();
  EXPECT_EQ(got, 0);
}

}  // namespace

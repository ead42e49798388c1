#include "server/render_cache.h"

#include <gtest/gtest.h>

#include <atomic>
#include <chrono>
#include <stdexcept>
#include <thread>

using namespace witnessline::server;

namespace {

/// Counts how often it is asked to draw.
struct Counting {
  std::atomic<int> drawn = 0;
  std::function<Answer()> of(std::string body, int status = 200) {
    return [this, body, status] {
      ++drawn;
      return Answer{status, "image/png", body};
    };
  }
};

TEST(RenderCache, an_equal_question_is_answered_from_what_was_drawn) {
  RenderCache drawn;
  Counting counting;
  EXPECT_EQ(drawn.get("bass", "1", "front", counting.of("picture")).body, "picture");
  EXPECT_EQ(drawn.get("bass", "1", "front", counting.of("another")).body, "picture");
  EXPECT_EQ(drawn.get("bass", "1", "back", counting.of("another")).body, "another");
  EXPECT_EQ(drawn.get("lap", "1", "front", counting.of("a third")).body, "a third");
  EXPECT_EQ(counting.drawn, 3);
}

TEST(RenderCache, a_job_in_another_state_is_drawn_anew_and_other_jobs_stay) {
  RenderCache drawn;
  Counting counting;
  drawn.get("bass", "1", "front", counting.of("old"));
  drawn.get("lap", "1", "front", counting.of("lap"));
  EXPECT_EQ(drawn.get("bass", "2", "front", counting.of("new")).body, "new");
  EXPECT_EQ(drawn.bytes(), std::string("lap").size() + std::string("new").size() + 2) << "the old one is given up";
  EXPECT_EQ(drawn.get("lap", "1", "front", counting.of("again")).body, "lap");
  EXPECT_EQ(counting.drawn, 3);
}

TEST(RenderCache, holds_no_more_than_it_may_and_gives_up_what_was_asked_for_longest_ago) {
  RenderCache drawn(2500);
  Counting counting;
  const std::string kilobyte(1000, 'x');
  drawn.get("bass", "1", "a", counting.of(kilobyte));
  drawn.get("bass", "1", "b", counting.of(kilobyte));
  drawn.get("bass", "1", "a", counting.of("not drawn"));
  drawn.get("bass", "1", "c", counting.of(kilobyte));  // b goes
  EXPECT_LE(drawn.bytes(), 2500u);
  EXPECT_EQ(counting.drawn, 3);
  EXPECT_EQ(drawn.get("bass", "1", "a", counting.of("anew")).body, kilobyte);
  EXPECT_EQ(drawn.get("bass", "1", "b", counting.of("anew")).body, "anew");
  drawn.get("bass", "1", "huge", counting.of(std::string(9000, 'x')));
  EXPECT_LE(drawn.bytes(), 2500u) << "what is larger than all that may be held is not kept";
}

TEST(RenderCache, two_who_ask_at_once_wait_for_one_drawing) {
  RenderCache drawn;
  std::atomic<int> count = 0, waiting = 0;
  const auto slow = [&] {
    ++count;
    while (waiting < 4) std::this_thread::yield();
    std::this_thread::sleep_for(std::chrono::milliseconds(20));
    return Answer{200, "image/png", "picture"};
  };
  std::vector<std::thread> all;
  std::atomic<int> right = 0;
  for (int i = 0; i < 4; ++i)
    all.emplace_back([&] {
      ++waiting;
      if (drawn.get("bass", "1", "front", slow).body == "picture") ++right;
    });
  for (std::thread& one : all) one.join();
  EXPECT_EQ(count, 1);
  EXPECT_EQ(right, 4);
}

TEST(RenderCache, refusals_and_faults_are_not_kept) {
  RenderCache drawn;
  Counting counting;
  EXPECT_EQ(drawn.get("bass", "1", "front", counting.of("no", 422)).status, 422);
  EXPECT_THROW(drawn.get("bass", "1", "front", []() -> Answer { throw std::runtime_error("broken"); }),
               std::runtime_error);
  EXPECT_EQ(drawn.get("bass", "1", "front", counting.of("picture")).body, "picture");
  EXPECT_EQ(counting.drawn, 2);
}

TEST(RenderCache, a_job_worked_out_anew_while_it_is_drawn_keeps_nothing_of_the_old) {
  RenderCache drawn;
  EXPECT_EQ(drawn
                .get("bass", "1", "front",
                     [&] {
                       drawn.get("bass", "2", "front", [] { return Answer{200, "", "new"}; });
                       return Answer{200, "", "old"};
                     })
                .body,
            "old");
  EXPECT_EQ(drawn.bytes(), std::string("new").size() + 1);
}

}  // namespace

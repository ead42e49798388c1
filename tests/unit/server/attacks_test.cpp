// The server against requests a page never makes. Each was an attack that once worked, or one that httplib lets pass.
#include <arpa/inet.h>
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <fstream>
#include <future>
#include <thread>

#include "app/verb.h"
#include "server/server.h"

using namespace witnessline::server;
using namespace std::chrono_literals;

namespace {

using Clock = std::chrono::steady_clock;
double seconds_since(Clock::time_point start) { return std::chrono::duration<double>(Clock::now() - start).count(); }

/// A connection to the served port; nothing between the test and the bytes.
class Line {
 public:
  explicit Line(int port) : socket_(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
    sockaddr_in to{};
    to.sin_family = AF_INET, to.sin_port = htons(static_cast<std::uint16_t>(port));
    to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    EXPECT_EQ(::connect(socket_, reinterpret_cast<sockaddr*>(&to), sizeof to), 0);
  }
  Line(Line&& other) noexcept : socket_(std::exchange(other.socket_, -1)) {}
  ~Line() {
    if (socket_ >= 0) ::close(socket_);
  }
  bool send(const std::string& bytes) {
    for (std::size_t done = 0; done < bytes.size();) {
      const ssize_t sent = ::send(socket_, bytes.data() + done, bytes.size() - done, MSG_NOSIGNAL);
      if (sent <= 0) return false;
      done += static_cast<std::size_t>(sent);
    }
    return true;
  }
  /// All that comes until the server closes.
  std::string all(std::chrono::seconds most = 30s) {
    std::string heard;
    char part[65536];
    for (const auto end = Clock::now() + most; Clock::now() < end;) {
      pollfd one{socket_, POLLIN, 0};
      if (::poll(&one, 1, 100) <= 0) continue;
      const ssize_t came = ::recv(socket_, part, sizeof part, 0);
      if (came <= 0) return heard;
      heard.append(part, static_cast<std::size_t>(came));
    }
    return heard + "\n[still open]";
  }

 private:
  int socket_;
};

int status(const std::string& answer) { return answer.size() > 12 ? std::atoi(answer.c_str() + 9) : 0; }
std::string body(const std::string& answer) {
  const auto end = answer.find("\r\n\r\n");
  return end == std::string::npos ? "" : answer.substr(end + 4);
}
/// Resident memory of this program, the server's too [bytes].
std::size_t resident() {
  std::size_t total = 0, pages = 0;
  std::ifstream("/proc/self/statm") >> total >> pages;
  return pages * static_cast<std::size_t>(::sysconf(_SC_PAGESIZE));
}

class Served : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    std::string pattern = (std::filesystem::temp_directory_path() / "attacks_XXXXXX").string();
    ASSERT_NE(mkdtemp(pattern.data()), nullptr);
    folder = pattern;
    std::promise<int> ready;
    std::filesystem::create_directories(folder / "page");
    std::ofstream(folder / "page/index.html") << "<!doctype html><title>page</title>";
    server = std::thread([&] { serve({folder, 0, folder / "page", [&](int at) { ready.set_value(at); }}); });
    port = ready.get_future().get();
  }
  static void TearDownTestSuite() {
    stop_serving();
    server.join();
    std::filesystem::remove_all(folder);
  }

  static std::string ask(const std::string& first_line, const std::string& headers = "", const std::string& sent = "") {
    Line line(port);
    line.send(fmt::format("{} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nConnection: close\r\n{}\r\n{}", first_line, port,
                          headers, sent));
    return line.all(300s);
  }
  static std::string post(const std::string& path, const std::string& sent) {
    return ask("POST " + path, fmt::format("Content-Type: application/json\r\nContent-Length: {}\r\n", sent.size()),
               sent);
  }

  inline static std::filesystem::path folder;
  inline static std::thread server;
  inline static int port = 0;
};

TEST_F(Served, a_range_reads_nothing_past_the_answer) {
  const std::string whole = body(ask("GET /api/jobs"));
  EXPECT_EQ(whole, R"({"jobs": []})");
  for (const char* range : {"bytes=0-60000", "bytes=5000-60000", "bytes=-60000", "bytes=0-60000,0-60000",
                            "bytes=0-60000,5-2", "bytes=0-9223372036854775807", "bytes=9-", "zebras=1-2"})
    for (const char* target : {"GET /api/jobs", "GET /", "GET /nowhere", "GET /api/source", "POST /api/jobs"}) {
      const std::string answer = ask(target, fmt::format("Range: {}\r\n", range));
      EXPECT_EQ(status(answer), 416) << target << " " << range;
      EXPECT_LT(answer.size(), 1500u) << target << " " << range;
      EXPECT_EQ(body(answer).find('\0'), std::string::npos);
    }
  EXPECT_NE(ask("GET /").find("Accept-Ranges: none"), std::string::npos);
}

TEST_F(Served, a_body_is_counted_and_never_unpacked) {
  const std::size_t before = resident();
  const std::string kind = "Content-Type: application/json\r\n";
  EXPECT_EQ(status(ask("POST /api/verbs/dry", kind + "Content-Length: 99999999999999999999999\r\n", "{}")), 413);
  EXPECT_EQ(status(ask("POST /api/verbs/dry", kind + "Content-Length: 4194305\r\n", "{}")), 413);
  EXPECT_EQ(status(ask("POST /api/verbs/dry", kind + "Content-Length: -1\r\n", "{}")), 400);
  EXPECT_EQ(status(ask("POST /api/verbs/dry", kind + "Content-Length: 2\r\nContent-Length: 3\r\n", "{} ")), 400);
  EXPECT_EQ(status(ask("POST /api/verbs/dry", kind, "{}")), 411);
  EXPECT_EQ(status(ask("POST /api/verbs/dry", "Content-Length: 2\r\n", "{}")), 415);
  EXPECT_EQ(status(ask("POST /api/verbs/dry", "Content-Type: multipart/form-data; boundary=x\r\nContent-Length: 2\r\n",
                       "{}")),
            415);
  for (const char* packing : {"gzip", "br", "deflate", "identity"})
    EXPECT_EQ(status(ask("POST /api/verbs/dry",
                         kind + fmt::format("Content-Encoding: {}\r\nContent-Length: 2\r\n", packing), "{}")),
              415);
  {
    Line line(port);  // chunks without end
    line.send(
        fmt::format("POST /api/verbs/dry HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nTransfer-Encoding: chunked\r\n\r\n", port));
    const std::string chunk = "100000\r\n" + std::string(0x100000, 'x') + "\r\n";
    int taken = 0;
    while (taken < 64 && line.send(chunk)) ++taken;
    EXPECT_EQ(status(line.all()), 415);
  }
  EXPECT_EQ(status(ask("GET /api/jobs", "Content-Length: 5\r\n", "hello")), 400) << "a GET has no body";
  EXPECT_LT(resident(), before + (std::size_t{32} << 20));
}

TEST_F(Served, a_head_without_end_is_cut) {
  const std::size_t before = resident();
  for (const std::string& flood : {std::string("X: y\r\n"), std::string("x"), std::string("GET / HTTP/1.1\r\n")}) {
    Line line(port);
    line.send(fmt::format("GET /api/jobs HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n", port));
    std::string many;
    while (many.size() < (1u << 20)) many += flood;
    for (int i = 0; i < 32 && line.send(many); ++i) {}
    const std::string answer = line.all();
    EXPECT_TRUE(answer.empty() || status(answer) == 400) << answer.substr(0, 80);
  }
  EXPECT_LT(resident(), before + (std::size_t{32} << 20));
}

TEST_F(Served, what_is_left_of_a_refused_request_is_not_the_next_one) {
  // A page of another site posts plain text that reads like a request of our own page.
  const std::string hidden = fmt::format("GET /api/verbs HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n\r\n", port);
  for (const char* reason :
       {"Origin: http://elsewhere.example\r\n", "Sec-Fetch-Site: cross-site\r\n", "Content-Encoding: gzip\r\n",
        "Content-Type: text/plain\r\n", "Expect: 100-continue\r\n"}) {
    Line line(port);
    line.send(fmt::format("POST /api/jobs HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n{}Content-Length: {}\r\n\r\n{}", port,
                          reason, hidden.size(), hidden));
    const std::string answer = line.all();
    EXPECT_GE(status(answer), 400) << reason;
    EXPECT_EQ(answer.find("HTTP/1.1 200"), std::string::npos) << reason << answer;
    EXPECT_NE(answer.find("Connection: close"), std::string::npos) << reason << answer;
  }
}

TEST_F(Served, another_site_gets_nothing_through_the_browser) {
  for (const char* target : {"GET /", "GET /api/jobs", "POST /api/jobs/x/work"}) {
    for (const char* site : {"cross-site", "same-site", "nonsense"})
      EXPECT_EQ(status(ask(target, fmt::format("Sec-Fetch-Site: {}\r\nContent-Length: 0\r\n", site))), 403) << target;
    EXPECT_EQ(status(ask(target, "Origin: null\r\nContent-Length: 0\r\n")), 403);
  }
  EXPECT_EQ(status(ask("GET /", "Sec-Fetch-Site: none\r\n")), 200);
  EXPECT_EQ(status(ask("GET /api/jobs", "Sec-Fetch-Site: same-origin\r\n")), 200);
}

TEST_F(Served, every_answer_says_who_may_show_it) {
  const std::string long_path = "GET /" + std::string(9000, 'x');
  for (const std::string& first : {std::string("GET /"), std::string("GET /api/jobs"), std::string("GET /nowhere"),
                                   std::string("GET /api/nowhere"), std::string("BREW /"), long_path}) {
    const std::string answer = ask(first);
    const std::string head = answer.substr(0, answer.find("\r\n\r\n"));
    for (const char* line : {"Content-Security-Policy: default-src ", "frame-ancestors 'none'",
                             "Cross-Origin-Resource-Policy: same-origin", "X-Content-Type-Options: nosniff"})
      EXPECT_NE(head.find(line), std::string::npos) << first.substr(0, 40) << ": no " << line << " in\n" << head;
    EXPECT_EQ(head.find("Content-Security-Policy", head.find("Content-Security-Policy") + 1), std::string::npos)
        << "two policies are both enforced";
  }
}

TEST_F(Served, dripping_sockets_hold_nobody_up) {
  std::vector<Line> dripping;
  for (int i = 0; i < 60; ++i) {
    dripping.emplace_back(port);
    dripping.back().send("GET /api/jobs HTTP/1.1\r\n");
  }
  const auto start = Clock::now();
  EXPECT_EQ(status(ask("GET /api/jobs")), 200);
  EXPECT_LT(seconds_since(start), 1.0);
  // However it drips, a request has a deadline: 5 s for its head, 10 s in all.
  Line body(port);
  body.send(
      fmt::format("POST /api/verbs/dry HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nContent-Type: "
                  "application/json\r\nContent-Length: 1000\r\n\r\n",
                  port));
  bool open = true;
  std::thread drip([&] {
    for (int i = 0; i < 40 && open; ++i) {
      for (Line& line : dripping) line.send("X");
      body.send(" ");
      std::this_thread::sleep_for(500ms);
    }
  });
  EXPECT_EQ(dripping.front().all().find("[still open]"), std::string::npos);
  EXPECT_LT(seconds_since(start), 7.0);
  EXPECT_EQ(status(body.all()), 400);
  EXPECT_LT(seconds_since(start), 12.0);
  open = false;
  drip.join();
}

TEST_F(Served, a_light_answer_comes_while_heavy_questions_run) {
  const auto example = example_request(*find_verb("checks"));
  ASSERT_TRUE(example);
  const std::string question = print_json(*example);
  std::vector<std::future<int>> heavy;
  for (int i = 0; i < 24; ++i)
    heavy.push_back(std::async(std::launch::async, [&] { return status(post("/api/verbs/checks", question)); }));
  std::this_thread::sleep_for(300ms);
  for (int i = 0; i < 3; ++i) {
    const auto start = Clock::now();
    EXPECT_EQ(status(ask("GET /api/jobs")), 200);
    EXPECT_LT(seconds_since(start), 2.0);
  }
  EXPECT_TRUE(std::ranges::any_of(heavy, [](auto& one) { return one.wait_for(0s) == std::future_status::timeout; }))
      << "the heavy questions were over before the light ones: nothing was shown";
  for (auto& one : heavy) EXPECT_EQ(one.get(), 200);
}

}  // namespace

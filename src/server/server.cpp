#include "server/server.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <poll.h>
#include <unistd.h>

#include <atomic>
#include <csignal>
#include <filesystem>

#include "server/answers.h"
#include "server/http_server.h"
#include "server/page_files.h"
#include "server/render_cache.h"
#include "server/work_slots.h"

namespace witnessline::server {
namespace {

/// Ends the wait in serve(). Writing to a pipe is all that a signal handler may do.
class WakePipe {
 public:
  WakePipe() { expects(::pipe2(ends_, O_CLOEXEC | O_NONBLOCK) == 0, "a pipe can be made"); }
  void wake() {
    const char byte = 1;
    [[maybe_unused]] const auto sent = ::write(ends_[1], &byte, 1);  // full: it has been woken already
  }
  void wait() {
    pollfd readable{ends_[0], POLLIN, 0};
    while (::poll(&readable, 1, -1) < 0 && errno == EINTR) {}
    char bytes[64];
    while (::read(ends_[0], bytes, sizeof bytes) > 0) {}
  }

 private:
  int ends_[2];
};
WakePipe& stop_pipe() {
  static WakePipe pipe;
  return pipe;
}

// Of the answers that take long only a few run at once.
constexpr int most_waiting = 48;
int heavy_at_once() { return std::max(2, static_cast<int>(std::thread::hardware_concurrency())); }

constexpr const char* page_missing =
    "<!doctype html><html lang=en><meta charset=utf-8><title>Witnessline</title><h1>The bench page is not built</h1>"
    "<p>Stop this program and type <code>./run</code> in the project folder; it builds the page and starts again.";

HttpAnswer of_page(const std::map<std::string, PageFile>& page, Method method, const std::string& path) {
  const auto file = method == Method::get ? page.find(path) : page.end();
  if (file != page.end())
    return {{200, file->second.type, file->second.bytes},
            ShownAs::page,
            file->second.lasting ? Kept::for_good : Kept::until_asked_again};
  if (page.empty() && path == "/") return {{503, "text/html; charset=utf-8", page_missing}};
  return {refusal(404, {{"there is no page at " + path, {}, "", "Go to the start page, /"}})};
}

int printed(const std::vector<Error>& errors) {
  for (const Error& error : errors) fmt::print(stderr, "{}\n", error.text());
  return 1;
}

}  // namespace

void stop_serving() { stop_pipe().wake(); }

int serve(const ServeOptions& options) {
  stop_pipe();  // made before a signal can come
  const auto opened = JobQueue::open(options.jobs);
  if (!opened) return printed(opened.errors());
  JobQueue& desk = **opened;
  const std::string page_folder =
      options.page_folder.empty() ? (std::filesystem::path(data_folder()) / "../web/dist").lexically_normal().string()
                                  : options.page_folder;
  const auto page = read_page(page_folder);

  RenderCache drawn;
  WorkSlots slots(heavy_at_once(), most_waiting);
  HttpServer http(
      [&](Method method, const std::string& path, const Query& query, const std::string& body) -> HttpAnswer {
        if (!path.starts_with("/api/")) return of_page(page, method, path);
        std::optional<WorkSlots::Turn> turn;
        if (!is_light(method, path) && !turn.emplace(slots))
          return {refusal(503, {{"too many requests at once", {}, "", "Try again in a few seconds."}})};
        return {answer(desk, drawn, method, path, query, body)};
      });
  const int port = http.bind(options.port);
  if (port < 0)
    return printed({{fmt::format("port {} is already in use", options.port),
                     {},
                     "",
                     "Choose another with --port, or --port 0 for any that is free."}});

  std::signal(SIGINT, [](int) { stop_serving(); });
  std::signal(SIGTERM, [](int) { stop_serving(); });
  std::atomic<bool> over = false;
  std::thread listening([&] {
    http.listen();
    over = true;
    stop_serving();  // also where listening failed by itself
  });
  while (!http.is_listening() && !over) std::this_thread::sleep_for(std::chrono::milliseconds(1));
  if (page.empty()) fmt::print(stderr, "The bench page is not built ({}); only the API answers.\n", page_folder);
  fmt::print("Witnessline: {} jobs at http://127.0.0.1:{}/ (Ctrl-C ends it)\n", desk.all().size(), port);
  std::fflush(stdout);
  if (options.ready) options.ready(port);

  stop_pipe().wait();
  slots.close();
  http.stop();
  listening.join();
  std::signal(SIGINT, SIG_DFL);
  std::signal(SIGTERM, SIG_DFL);
  fmt::print("Witnessline: stopped\n");
  return 0;
}

}  // namespace witnessline::server

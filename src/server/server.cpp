#include "server/server.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <httplib.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <atomic>
#include <csignal>
#include <filesystem>

#include "server/answers.h"
#include "server/drawn.h"
#include "server/page_files.h"

namespace witnessline::server {
namespace {

/// Writing is all a signal handler may do; serve() waits at the other end.
class Bell {
 public:
  Bell() { expects(::pipe2(ends_, O_CLOEXEC | O_NONBLOCK) == 0, "a pipe can be made"); }
  void ring() {
    const char stroke = 1;
    [[maybe_unused]] const auto sent = ::write(ends_[1], &stroke, 1);  // full: it has been rung already
  }
  void wait() {
    pollfd ear{ends_[0], POLLIN, 0};
    while (::poll(&ear, 1, -1) < 0 && errno == EINTR) {}
    char strokes[64];
    while (::read(ends_[0], strokes, sizeof strokes) > 0) {}
  }

 private:
  int ends_[2];
};
Bell& stop_bell() {
  static Bell bell;
  return bell;
}

constexpr const char* page_policy =
    "default-src 'self'; img-src 'self' data: blob:; style-src 'self' 'unsafe-inline'; object-src 'none'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
constexpr const char* paper_policy = "default-src 'none'; img-src data:; style-src 'unsafe-inline'";

constexpr const char* page_missing =
    "<!doctype html><html lang=en><meta charset=utf-8><title>Witnessline</title><h1>The bench page is not built</h1>"
    "<p>Stop this program and type <code>./run</code> in the project folder; it builds the page and starts again.";

/// Only names of this machine: a page of another site must not reach us under a name of its own.
bool asked_as_local(const std::string& host) {
  const std::string name = host.substr(0, host.rfind(':'));
  return name == "127.0.0.1" || name == "localhost";
}

void put(httplib::Response& res, Answer answer) {
  res.status = answer.status;
  // A provider of known length is sent as it is; a plain body would be squeezed at brotli's slowest setting.
  const auto bytes = std::make_shared<const std::string>(std::move(answer.body));
  res.set_content_provider(bytes->size(), answer.type,
                           [bytes](std::size_t offset, std::size_t length, httplib::DataSink& sink) {
                             return sink.write(bytes->data() + offset, length);
                           });
}

Answer program_fault(const std::exception_ptr& thrown) {
  std::string what = "something unforeseen";
  try {
    std::rethrow_exception(thrown);
  } catch (const std::exception& fault) { what = fault.what(); } catch (...) {
  }
  fmt::print(stderr, "witnessline: a request failed: {}\n", what);
  return refusal(500,
                 {{"the program broke a promise of its own: " + what,
                   {},
                   "",
                   "This is a fault of Witnessline, not yours. Nothing is lost; please report it with this text."}});
}

void set_up(httplib::Server& http, JobDesk& desk, Drawn& drawn, const std::map<std::string, PageFile>& page) {
  const auto api = [&desk, &drawn](Method method) {
    return [&desk, &drawn, method](const httplib::Request& req, httplib::Response& res) {
      const Query query = [&req](const std::string& key) -> std::optional<std::string> {
        if (!req.has_param(key.c_str())) return std::nullopt;
        return req.get_param_value(key.c_str());
      };
      put(res, answer(desk, drawn, method, req.path, query, req.body));
      res.set_header("Cache-Control", "no-store");
      res.set_header("Content-Security-Policy", paper_policy);
    };
  };
  http.Get("/api/.*", api(Method::get));
  http.Post("/api/.*", api(Method::post));
  http.Get("/.*", [&page](const httplib::Request& req, httplib::Response& res) {
    const auto file = page.find(req.path);
    if (file != page.end()) {
      put(res, {200, file->second.type, file->second.bytes});
      res.set_header("Cache-Control", file->second.lasting ? "max-age=31536000, immutable" : "no-cache");
      res.set_header("Content-Security-Policy", page_policy);
    } else if (page.empty() && req.path == "/") {
      put(res, {503, "text/html; charset=utf-8", page_missing});
    } else {
      put(res, refusal(404, {{"nothing lies at " + req.path, {}, "", "Start again at /"}}));
    }
  });
  http.set_pre_routing_handler([](const httplib::Request& req, httplib::Response& res) {
    const bool same_site =
        !req.has_header("Origin") || req.get_header_value("Origin") == "http://" + req.get_header_value("Host");
    if (asked_as_local(req.get_header_value("Host")) && same_site) return httplib::Server::HandlerResponse::Unhandled;
    put(res, refusal(403, {{"asked from elsewhere", {}, "", "Open the address that the program printed."}}));
    return httplib::Server::HandlerResponse::Handled;
  });
  http.set_default_headers({{"X-Content-Type-Options", "nosniff"}, {"Referrer-Policy", "no-referrer"}});
  http.set_exception_handler([](const httplib::Request&, httplib::Response& res, std::exception_ptr thrown) {
    put(res, program_fault(thrown));
  });
  // What httplib itself refuses (no such method, too long, cut short) says so in our form too.
  const httplib::Server::HandlerWithResponse in_our_form = [](const httplib::Request&, httplib::Response& res) {
    if (res.content_length_ > 0) return httplib::Server::HandlerResponse::Unhandled;
    put(res,
        refusal(res.status, {{fmt::format("the request was refused ({})", res.status), {}, "", "See docs/api.md."}}));
    return httplib::Server::HandlerResponse::Handled;
  };
  http.set_error_handler(in_our_form);
  http.set_payload_max_length(4 * 1024 * 1024);  // the request of a verb, readings included
  http.set_read_timeout(5);
  http.set_keep_alive_timeout(2);  // a kept connection holds a thread
  http.set_keep_alive_max_count(200);
  http.new_task_queue = [] { return new httplib::ThreadPool(16); };
  // Without SO_REUSEPORT, which httplib sets by itself and with which two programs would share a port unnoticed.
  http.set_socket_options([](socket_t socket) {
    const int yes = 1;
    ::setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
  });
}

int printed(const std::vector<Error>& errors) {
  for (const Error& error : errors) fmt::print(stderr, "{}\n", error.text());
  return 1;
}

}  // namespace

void stop_serving() { stop_bell().ring(); }

int serve(const ServeOptions& options) {
  stop_bell();  // made before a signal can come
  const auto opened = JobDesk::open(options.jobs);
  if (!opened) return printed(opened.errors());
  JobDesk& desk = **opened;
  const std::string page_folder =
      options.page_folder.empty() ? (std::filesystem::path(data_folder()) / "../web/dist").lexically_normal().string()
                                  : options.page_folder;
  const auto page = read_page(page_folder);

  Drawn drawn;
  httplib::Server http;
  set_up(http, desk, drawn, page);
  const bool any_port = options.port == 0;
  const int port = any_port                                       ? http.bind_to_any_port("127.0.0.1")
                   : http.bind_to_port("127.0.0.1", options.port) ? options.port
                                                                  : -1;
  if (port < 0)
    return printed({{fmt::format("port {} cannot be had", options.port),
                     {},
                     "",
                     "Another program uses it. Choose another with --port, or --port 0 for any that is free."}});

  std::signal(SIGINT, [](int) { stop_serving(); });
  std::signal(SIGTERM, [](int) { stop_serving(); });
  std::atomic<bool> over = false;
  std::thread listening([&] {
    http.listen_after_bind();
    over = true;
    stop_serving();  // also where listening failed by itself
  });
  while (!http.is_running() && !over) std::this_thread::sleep_for(std::chrono::milliseconds(1));
  if (page.empty()) fmt::print(stderr, "The bench page is not built ({}); only the API answers.\n", page_folder);
  fmt::print("Witnessline: {} jobs at http://127.0.0.1:{}/ (Ctrl-C ends it)\n", desk.all().size(), port);
  std::fflush(stdout);
  if (options.ready) options.ready(port);

  stop_bell().wait();
  http.stop();
  listening.join();
  std::signal(SIGINT, SIG_DFL);
  std::signal(SIGTERM, SIG_DFL);
  fmt::print("Witnessline: stopped\n");
  return 0;
}

}  // namespace witnessline::server

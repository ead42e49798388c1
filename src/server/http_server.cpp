#include "server/http_server.h"

#include <fmt/format.h>
#include <httplib.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <charconv>
#include <chrono>
#include <cstring>

namespace witnessline::server {
namespace {

// cpp-httplib 0.11 reads heads of any number of lines, counts the length only of bodies that state one, unpacks packed
// bodies to any size, and reads past the end of an answer when a Range asks for more than there is.

const struct Limits {
  std::size_t head_bytes = 32 * 1024;
  std::size_t body_bytes = 4 * 1024 * 1024;       ///< the request of a verb, readings included
  std::chrono::milliseconds head_time{5000};      ///< from the first byte of a request to the end of its head
  std::chrono::milliseconds request_time{10000};  ///< to the end of its body, however its bytes drip
  std::chrono::milliseconds answer_time{60000};   ///< to hand an answer over
  std::chrono::milliseconds idle_time{2000};      ///< a kept connection holds a thread
} limits;

/// One connection as httplib reads and writes it, within the limits.
class LimitedStream final : public httplib::Stream {
 public:
  explicit LimitedStream(int socket) : socket_(socket) {}

  /// False: nothing came within the idle time, or `stopped` says so.
  bool wait_for_request(const std::function<bool()>& stopped);
  void begin_head();
  void begin_body(std::size_t bytes);
  /// Nothing of the last request is left in the stream, and its answer went out whole.
  bool in_step() const { return left_ == 0 && !broken_; }
  /// Takes what still comes for a moment, so that the other side reads our answer before the line is cut.
  void linger() const;

  bool is_readable() const override;
  bool is_writable() const override;
  ssize_t read(char* bytes, std::size_t size) override;
  ssize_t write(const char* bytes, std::size_t size) override;  ///< all of them, or -1
  void get_remote_ip_and_port(std::string& ip, int& port) const override { ip = "127.0.0.1", port = 0; }
  void get_local_ip_and_port(std::string& ip, int& port) const override { ip = "127.0.0.1", port = 0; }
  socket_t socket() const override { return socket_; }

 private:
  using Clock = std::chrono::steady_clock;
  bool wait_until(short event, Clock::time_point) const;

  int socket_;
  Clock::time_point began_{}, read_by_{};
  std::optional<Clock::time_point> write_by_;
  std::size_t left_ = 0;  ///< bytes that may still be read
  bool broken_ = false;
  char buffer_[8192];
  std::size_t from_ = 0, to_ = 0;  ///< what of the buffer is not read yet
};

/// Why a request is not answered.
struct Refused {
  int status;
  const char *what, *fix;
};

using namespace std::chrono_literals;

/// Nothing where it is not a plain count of bytes.
std::optional<std::size_t> stated_length(const httplib::Request& req) {
  if (!req.has_header("Content-Length")) return 0;
  if (req.get_header_value_count("Content-Length") != 1) return std::nullopt;
  const std::string text = req.get_header_value("Content-Length");
  std::size_t length = 0;
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), length);
  if (fault == std::errc::result_out_of_range) return SIZE_MAX;
  if (fault != std::errc{} || end != text.data() + text.size()) return std::nullopt;
  return length;
}

/// Only names of this machine: a page of another site must not reach us under a name of its own.
bool is_local_name(const std::string& host) {
  const std::string name = host.substr(0, host.rfind(':'));
  return name == "127.0.0.1" || name == "localhost";
}

/// What a browser states of the page that asks; other programs state nothing.
bool is_from_our_page(const httplib::Request& req) {
  if (req.has_header("Origin") && req.get_header_value("Origin") != "http://" + req.get_header_value("Host"))
    return false;
  if (!req.has_header("Sec-Fetch-Site")) return true;
  const std::string site = req.get_header_value("Sec-Fetch-Site");
  return site == "same-origin" || site == "none";  // none: typed into the address bar
}

bool is_json(const std::string& type) {
  constexpr std::string_view json = "application/json";
  return type.starts_with(json) && (type.size() == json.size() || type[json.size()] == ';');
}

bool LimitedStream::wait_until(short event, Clock::time_point end) const {
  pollfd one{socket_, event, 0};
  while (true) {
    const auto left = std::chrono::ceil<std::chrono::milliseconds>(end - Clock::now()).count();
    if (left <= 0) return false;
    const int ready = ::poll(&one, 1, static_cast<int>(left));
    if (ready > 0) return true;
    if (ready < 0 && errno != EINTR) return false;
  }
}

bool LimitedStream::wait_for_request(const std::function<bool()>& stopped) {
  if (from_ < to_) return true;
  for (const auto end = Clock::now() + limits.idle_time; Clock::now() < end && !stopped();)
    if (wait_until(POLLIN, std::min(end, Clock::now() + 50ms))) return true;
  return false;
}

void LimitedStream::begin_head() {
  began_ = Clock::now();
  read_by_ = began_ + limits.head_time;
  write_by_.reset();
  left_ = limits.head_bytes;
}

void LimitedStream::begin_body(std::size_t bytes) {
  read_by_ = began_ + limits.request_time;
  left_ = bytes;
}

void LimitedStream::linger() const {
  ::shutdown(socket_, SHUT_WR);
  char unread[8192];
  const auto end = Clock::now() + 500ms;
  while (wait_until(POLLIN, end) && ::recv(socket_, unread, sizeof unread, 0) > 0) {}
}

bool LimitedStream::is_readable() const { return from_ < to_ || wait_until(POLLIN, Clock::now() + 1ms); }
bool LimitedStream::is_writable() const { return !broken_; }

ssize_t LimitedStream::read(char* bytes, std::size_t size) {
  size = std::min(size, left_);
  if (size == 0) return -1;
  if (from_ == to_) {
    if (!wait_until(POLLIN, read_by_)) return -1;
    const ssize_t came = ::recv(socket_, buffer_, sizeof buffer_, 0);
    if (came <= 0) return came;
    from_ = 0, to_ = static_cast<std::size_t>(came);
  }
  size = std::min(size, to_ - from_);
  std::memcpy(bytes, buffer_ + from_, size);
  from_ += size, left_ -= size;
  return static_cast<ssize_t>(size);
}

ssize_t LimitedStream::write(const char* bytes, std::size_t size) {
  if (!write_by_) write_by_ = Clock::now() + limits.answer_time;
  for (std::size_t done = 0; done < size && !broken_;) {
    if (!wait_until(POLLOUT, *write_by_)) {
      broken_ = true;
      break;
    }
    const ssize_t sent = ::send(socket_, bytes + done, size - done, MSG_NOSIGNAL | MSG_DONTWAIT);
    if (sent > 0)
      done += static_cast<std::size_t>(sent);
    else if (errno != EAGAIN && errno != EINTR)
      broken_ = true;
  }
  return broken_ ? -1 : static_cast<ssize_t>(size);
}

std::optional<Refused> refusal_of(const httplib::Request& req) {
  if (!is_local_name(req.get_header_value("Host")) || !is_from_our_page(req))
    return Refused{403, "request from another site refused", "Open the address that the program printed."};
  if (req.has_header("Range"))
    return Refused{416, "part of an answer can't be sent", "Ask for the whole answer: leave out the Range header."};
  if (req.has_header("Transfer-Encoding") || req.has_header("Content-Encoding"))
    return Refused{415, "a compressed or chunked body is not accepted",
                   "Send the body as it is, with a Content-Length."};
  if (req.has_header("Expect"))
    return Refused{417, "Expect is not supported", "Send the body together with the head of the request."};
  const auto length = stated_length(req);
  if (!length) return Refused{400, "the Content-Length is not one number", "Send one Content-Length, in bytes."};
  if (*length > limits.body_bytes)
    return Refused{413, "the body is larger than 4 MiB", "Send less: no request needs that much."};
  if (*length > 0 && req.method != "POST") return Refused{400, "only a POST may have a body", "Leave the body out."};
  if (*length > 0 && !is_json(req.get_header_value("Content-Type")))
    return Refused{415, "the body must be JSON", "Send it with Content-Type: application/json."};
  if (*length == 0 && req.method == "POST" && !req.has_header("Content-Length"))
    return Refused{411, "the length of the body is missing", "Send a Content-Length, 0 where there is no body."};
  return std::nullopt;
}

/// httplib's, on connections that keep the limits.
class LimitedServer final : public httplib::Server {
 private:
  bool process_and_close_socket(socket_t socket) override {
    LimitedStream stream(socket);
    bool go_on = true;
    for (std::size_t left = keep_alive_max_count_; go_on && left > 0; --left) {
      if (!stream.wait_for_request([this] { return svr_sock_ == INVALID_SOCKET; })) break;
      stream.begin_head();
      bool asked_to_close = false, refused = true;  // until its head is read
      const bool answered = process_request(stream, left == 1, asked_to_close, [&](httplib::Request& req) {
        refused = refusal_of(req).has_value();
        stream.begin_body(refused ? 0 : *stated_length(req));
        req.ranges.clear();                    // httplib would cut the answer by them unchecked
        req.headers.erase("Accept-Encoding");  // and pack it at brotli's slowest setting
        if (!refused) return;
        req.headers.erase("Connection"), req.headers.erase("Expect");
        req.headers.emplace("Connection", "close");
      });
      // What is left of a refused request must never be read as the next one.
      go_on = answered && !asked_to_close && !refused && stream.in_step();
    }
    stream.linger();
    ::close(socket);
    return true;
  }
};

constexpr const char* page_policy =
    "default-src 'self'; img-src 'self' data: blob:; style-src 'self' 'unsafe-inline'; object-src 'none'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
constexpr const char* paper_policy =
    "default-src 'none'; img-src data:; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'";

constexpr int threads = 128;  // they wait for sockets most of the time

void put(httplib::Response& res, const HttpAnswer& given) {
  res.status = given.answer.status;
  // Never a content provider: httplib lets a Range read past its end.
  res.body = given.answer.body;
  res.set_header("Content-Type", given.answer.type);
  res.set_header("Content-Security-Policy", given.shown_as == ShownAs::page ? page_policy : paper_policy);
  res.set_header("Cache-Control", given.kept == Kept::for_good            ? "max-age=31536000, immutable"
                                  : given.kept == Kept::until_asked_again ? "no-cache"
                                                                          : "no-store");
  if (res.status == 503) res.set_header("Retry-After", "5");
}

Answer internal_error(const std::exception_ptr& thrown) {
  std::string what = "unknown";
  try {
    std::rethrow_exception(thrown);
  } catch (const std::exception& fault) { what = fault.what(); } catch (...) {
  }
  fmt::print(stderr, "witnessline: a request failed: {}\n", what);
  return refusal(500,
                 {{"internal error: " + what, {}, "", "Nothing is lost. Please report it together with this text."}});
}

}  // namespace

struct HttpServer::Data {
  LimitedServer http;
};

HttpServer::HttpServer(Respond respond) : data_(std::make_unique<Data>()) {
  LimitedServer& http = data_->http;
  const auto by = [respond = std::move(respond)](Method method) {
    return [respond, method](const httplib::Request& req, httplib::Response& res) {
      const Query query = [&req](const std::string& key) -> std::optional<std::string> {
        if (!req.has_param(key.c_str())) return std::nullopt;
        return req.get_param_value(key.c_str());
      };
      put(res, respond(method, req.path, query, req.body));
    };
  };
  http.Get("/.*", by(Method::get));
  http.Post("/.*", by(Method::post));
  http.set_pre_routing_handler([](const httplib::Request& req, httplib::Response& res) {
    const auto refused = refusal_of(req);
    if (!refused) return httplib::Server::HandlerResponse::Unhandled;
    put(res, {refusal(refused->status, {{refused->what, {}, "", refused->fix}})});
    return httplib::Server::HandlerResponse::Handled;
  });
  http.set_default_headers({{"X-Content-Type-Options", "nosniff"},
                            {"Referrer-Policy", "no-referrer"},
                            {"Cross-Origin-Resource-Policy", "same-origin"},
                            {"Cross-Origin-Opener-Policy", "same-origin"},
                            {"Accept-Ranges", "none"}});
  http.set_exception_handler([](const httplib::Request&, httplib::Response& res, std::exception_ptr thrown) {
    put(res, {internal_error(thrown)});
  });
  // What httplib itself refuses (no such method, too long, cut short) is worded in our form too.
  const httplib::Server::HandlerWithResponse in_our_form = [](const httplib::Request&, httplib::Response& res) {
    if (!res.body.empty()) return httplib::Server::HandlerResponse::Unhandled;
    put(res, {refusal(res.status, {{fmt::format("the request was incomplete, too slow or malformed ({})", res.status),
                                    {},
                                    "",
                                    "See docs/api.md."}})});
    return httplib::Server::HandlerResponse::Handled;
  };
  http.set_error_handler(in_our_form);
  http.set_keep_alive_timeout(2);  // as it is told to clients; the limit itself is ours
  http.set_keep_alive_max_count(200);
  http.new_task_queue = [] { return new httplib::ThreadPool(threads); };
  // Without SO_REUSEPORT, which httplib sets by itself and with which two programs would share a port unnoticed.
  http.set_socket_options([](socket_t socket) {
    const int yes = 1;
    ::setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
  });
}

int HttpServer::bind(int port) {
  if (port == 0) return data_->http.bind_to_any_port("127.0.0.1");
  return data_->http.bind_to_port("127.0.0.1", port) ? port : -1;
}
void HttpServer::listen() { data_->http.listen_after_bind(); }
bool HttpServer::is_listening() const { return data_->http.is_running(); }
void HttpServer::stop() { data_->http.stop(); }
HttpServer::~HttpServer() = default;

}  // namespace witnessline::server

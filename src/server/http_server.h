// HttpServer: HTTP on 127.0.0.1 within limits; cpp-httplib stays behind it.
#pragma once

#include <functional>
#include <memory>

#include "server/answers.h"

namespace witnessline::server {

/// What a browser may do with an answer (Content-Security-Policy).
enum class ShownAs { paper, page };
/// How long it may keep it.
enum class Kept { not_at_all, until_asked_again, for_good };

struct HttpAnswer {
  Answer answer;
  ShownAs shown_as = ShownAs::paper;
  Kept kept = Kept::not_at_all;
};

class HttpServer {
 public:
  /// `respond` is called from many threads at once; what it throws is answered with status 500.
  using Respond = std::function<HttpAnswer(Method, const std::string& path, const Query&, const std::string& body)>;
  explicit HttpServer(Respond);
  ~HttpServer();

  /// Port 0: any that is free. Returns the port, -1: it is in use.
  int bind(int port);
  void listen();  ///< answers until stop()
  bool is_listening() const;
  void stop();

 private:
  struct Data;
  std::unique_ptr<Data> data_;
};

}  // namespace witnessline::server

// serve: the bench page and its answers over HTTP, on this machine only. A skin over app/app.h (see docs/api.md).
#pragma once

#include <functional>
#include <string>

#include "base/modules.h"

namespace witnessline::server {

struct ServeOptions {
  std::string jobs = "examples";        ///< folder below which every job.toml is a job, or one job file
  int port = 0;                         ///< 0: any that is free
  std::string page_folder;              ///< the built page; empty: web/dist beside the data folder
  std::function<void(int port)> ready;  ///< called once, when requests are answered; may be empty
};

/// Prints its address and answers on 127.0.0.1 until Ctrl-C, SIGTERM or stop_serving().
/// Returns the exit status: 0 stopped as asked, 1 a fault that was printed (no such folder, port taken).
int serve(const ServeOptions&);

/// Lets serve() return once what is being answered has been answered. May be called from a signal handler or any
/// thread.
void stop_serving();

}  // namespace witnessline::server

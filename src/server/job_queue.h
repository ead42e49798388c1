// JobQueue: the jobs on offer, read and worked out one after another in the background, each by a thread of its own.
#pragma once

#include <atomic>
#include <chrono>
#include <condition_variable>
#include <deque>
#include <filesystem>
#include <memory>
#include <mutex>
#include <optional>
#include <set>
#include <string>
#include <thread>
#include <vector>

#include "app/app.h"
#include "base/describe.h"
#include "view/light_mesh.h"

namespace witnessline::server {

enum class Stage { unread, waiting, queued, working, ready, refused };
constexpr auto words(const Stage*) { return std::array{"unread", "waiting", "queued", "working", "ready", "refused"}; }

/// What is known of one job at this moment.
struct DeskEntry {
  std::string id;    ///< name of its folder
  std::string file;  ///< job file
  Stage stage = Stage::unread;
  std::string title, kind, maker, year;  ///< empty until read
  bool invented = false;
  std::string what;           ///< being done, while working
  double done = 0;            ///< 0..1, while working
  int version = 0;            ///< how often it was worked out
  bool changed = false;       ///< the file is newer than what was worked out
  std::vector<Error> errors;  ///< why it was refused
  std::shared_ptr<const Worked> worked;
  std::shared_ptr<const LightMesh> mesh;  ///< of worked's body, for the screen
};
template <class V>
void describe(V& v, DeskEntry& e) {
  v(member("id", "name of its folder; stands in addresses"), e.id);
  v(member("file", "job file"), e.file);
  v(member("stage", "unread, waiting, queued, working, ready or refused"), e.stage);
  v(member("title", "as shown; empty until read"), e.title);
  v(member("kind", "what the instrument is"), e.kind);
  v(member("maker", "who made it"), e.maker);
  v(member("year", "when"), e.year);
  v(member("invented", "demo data, not a real instrument"), e.invented);
  v(member("what", "what is being done"), e.what);
  v(member("done", "0 to 1"), e.done);
  v(member("version", "how often it was simulated"), e.version);
  v(member("changed", "the job or its body file is newer than the simulated result"), e.changed);
  v(member("errors", "why it was refused"), e.errors);
}

/// The job files of a folder (every job.toml below it), or the one file. Errors: nothing there.
Result<std::vector<std::string>> job_files(const std::string& folder_or_file);

class JobQueue {
 public:
  /// Jobs put into the folder later are found when all() is next asked. A job that takes longer than `read_limit` to
  /// read and check is refused, so that it never keeps another from being read.
  static Result<std::unique_ptr<JobQueue>> open(const std::string& folder_or_file,
                                                std::chrono::milliseconds read_limit = std::chrono::minutes(1));
  ~JobQueue();  ///< breaks off what is being read and worked out
  JobQueue(const JobQueue&) = delete;
  JobQueue& operator=(const JobQueue&) = delete;

  std::vector<DeskEntry> all();
  std::optional<DeskEntry> find(const std::string& id);
  /// Queues the job unless it is queued, being worked out, or ready from the file as it is now.
  void work_out(const std::string& id);

 private:
  struct Slot {
    DeskEntry entry;
    std::string body_file;  ///< as the job names it; empty until read
    std::filesystem::file_time_type read_from{};
  };
  JobQueue(std::string jobs, std::chrono::milliseconds read_limit) : jobs_(std::move(jobs)), read_limit_(read_limit) {}
  void enqueue(const std::vector<std::string>& job_files);  ///< those not yet on the desk
  Slot* next(Stage);                                        ///< nullptr: none, or only one that is being read
  void keep_reading();
  void keep_working();
  void read(Slot&, std::unique_lock<std::mutex>&);
  void simulate_slot(Slot&, std::unique_lock<std::mutex>&);
  void notice_change(Slot&) const;

  std::string jobs_;  ///< folder or file
  std::chrono::milliseconds read_limit_;
  std::chrono::steady_clock::time_point looked_at_;  ///< when the folder was last looked through
  std::set<std::string> taken_;                      ///< ids
  std::deque<Slot> slots_;                           ///< grows at its end; slots stay where they are
  std::mutex mutex_;
  std::condition_variable wake_;
  const Slot* being_read_ = nullptr;
  std::atomic<bool> stopping_ = false;
  std::thread reader_, worker_;
};

}  // namespace witnessline::server

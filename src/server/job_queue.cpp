#include "server/job_queue.h"

#include <fmt/format.h>

#include <algorithm>

namespace witnessline::server {
namespace {

namespace fs = std::filesystem;

/// What a browser without a graphics card still turns at about ten pictures a second (measured).
constexpr std::size_t screen_vertices = 100'000;

/// Thrown through simulate's progress to break it off; never leaves this file.
struct BrokenOff {};

fs::file_time_type written_at(const std::string& file) {
  std::error_code ignored;
  const auto time = fs::last_write_time(file, ignored);
  return ignored ? fs::file_time_type{} : time;
}

/// Of the job file and the body file it names, the time of the one written last.
fs::file_time_type written_at(const std::string& file, const std::string& body_file) {
  if (body_file.empty()) return written_at(file);
  return std::max(written_at(file), written_at((fs::path(file).parent_path() / body_file).string()));
}

Error program_fault(const std::string& file, const std::string& what) {
  return {fmt::format("internal error: {}", what),
          {file, 0, 0, ""},
          "",
          "Please report it with this text. Your job file is not the cause."};
}

Error took_too_long(const std::string& file, std::chrono::milliseconds limit) {
  return {fmt::format("reading this job took longer than {:g} s, so it was stopped", 1e-3 * double(limit.count())),
          {file, 0, 0, ""},
          "",
          "check the body's mesh for faults, or reduce it to fewer triangles"};
}

/// The folder's name as an address: letters, digits, dot, dash and underscore.
std::string id_of(const std::string& file, std::set<std::string>& taken) {
  std::string id = fs::path(file).lexically_normal().parent_path().filename().string();
  if (id.empty()) id = "job";
  for (char& c : id)
    if (!std::isalnum(static_cast<unsigned char>(c)) && c != '.' && c != '-' && c != '_') c = '-';
  std::string unique = id;
  for (int n = 2; !taken.insert(unique).second; ++n) unique = fmt::format("{}-{}", id, n);
  return unique;
}

}  // namespace

Result<std::vector<std::string>> job_files(const std::string& folder_or_file) {
  std::error_code fault;
  if (fs::is_regular_file(folder_or_file, fault)) return std::vector{fs::absolute(folder_or_file).string()};
  if (!fs::is_directory(folder_or_file, fault))
    return Error{"no such job file or folder", {folder_or_file, 0, 0, ""}, "", "Check the spelling of the path."};
  std::vector<std::string> files;
  for (fs::recursive_directory_iterator at(folder_or_file, fs::directory_options::skip_permission_denied, fault), end;
       !fault && at != end; at.increment(fault))
    if (at->path().filename() == "job.toml" && at->is_regular_file(fault))
      files.push_back(fs::absolute(at->path()).string());
  if (fault) return Error{fault.message(), {folder_or_file, 0, 0, ""}, "", "Check the folder's permissions."};
  std::sort(files.begin(), files.end());
  return files;
}

Result<std::unique_ptr<JobQueue>> JobQueue::open(const std::string& folder_or_file,
                                                 std::chrono::milliseconds read_limit) {
  const auto files = job_files(folder_or_file);
  if (!files) return files.errors();
  std::unique_ptr<JobQueue> desk(new JobQueue(folder_or_file, read_limit));
  desk->enqueue(*files);
  desk->reader_ = std::thread([&desk = *desk] { desk.keep_reading(); });
  desk->worker_ = std::thread([&desk = *desk] { desk.keep_working(); });
  return desk;
}

void JobQueue::enqueue(const std::vector<std::string>& files) {
  looked_at_ = std::chrono::steady_clock::now();
  for (const std::string& file : files) {
    if (std::any_of(slots_.begin(), slots_.end(), [&](const Slot& slot) { return slot.entry.file == file; })) continue;
    Slot& slot = slots_.emplace_back();
    slot.entry.id = id_of(file, taken_);
    slot.entry.file = file;
  }
}

JobQueue::~JobQueue() {
  {
    const std::lock_guard lock(mutex_);
    stopping_ = true;
  }
  wake_.notify_all();
  reader_.join();
  worker_.join();
}

void JobQueue::notice_change(Slot& slot) const {
  DeskEntry& entry = slot.entry;
  if (entry.stage == Stage::queued || entry.stage == Stage::working || entry.stage == Stage::unread) return;
  const bool newer = written_at(entry.file, slot.body_file) != slot.read_from;
  if (entry.stage == Stage::ready)
    entry.changed = newer;
  else if (newer)
    entry.stage = Stage::unread;
}

std::vector<DeskEntry> JobQueue::all() {
  std::vector<DeskEntry> entries;
  {
    const std::lock_guard lock(mutex_);
    using namespace std::chrono_literals;
    if (std::chrono::steady_clock::now() - looked_at_ > 2s)
      if (const auto files = job_files(jobs_)) enqueue(*files);
    for (Slot& slot : slots_) {
      notice_change(slot);
      entries.push_back(slot.entry);
    }
  }
  wake_.notify_all();
  return entries;
}

std::optional<DeskEntry> JobQueue::find(const std::string& id) {
  std::vector<DeskEntry> entries = all();
  for (DeskEntry& entry : entries)
    if (entry.id == id) return std::move(entry);
  return std::nullopt;
}

void JobQueue::work_out(const std::string& id) {
  {
    const std::lock_guard lock(mutex_);
    for (Slot& slot : slots_) {
      if (slot.entry.id != id) continue;
      notice_change(slot);
      const Stage stage = slot.entry.stage;
      const bool up_to_date = stage == Stage::ready && !slot.entry.changed;
      if (stage == Stage::queued || stage == Stage::working || up_to_date) continue;
      slot.entry.stage = Stage::queued;
      slot.entry.what = "waiting for its turn";
      slot.entry.done = 0;
    }
  }
  wake_.notify_all();
}

JobQueue::Slot* JobQueue::next(Stage stage) {
  const auto found = std::find_if(slots_.begin(), slots_.end(),
                                  [&](const Slot& s) { return s.entry.stage == stage && &s != being_read_; });
  return found == slots_.end() ? nullptr : &*found;
}

void JobQueue::keep_reading() {
  std::unique_lock lock(mutex_);
  while (true) {
    wake_.wait(lock, [&] { return stopping_ || next(Stage::unread) != nullptr; });
    if (stopping_) return;
    Slot& slot = *next(Stage::unread);
    being_read_ = &slot;
    read(slot, lock);
    being_read_ = nullptr;
    wake_.notify_all();
  }
}

void JobQueue::keep_working() {
  std::unique_lock lock(mutex_);
  while (true) {
    wake_.wait(lock, [&] { return stopping_ || next(Stage::queued) != nullptr; });
    if (stopping_) return;
    simulate_slot(*next(Stage::queued), lock);
  }
}

void JobQueue::read(Slot& slot, std::unique_lock<std::mutex>& lock) {
  const std::string file = slot.entry.file;
  const auto written = written_at(file);
  lock.unlock();
  std::optional<Job> job;
  std::vector<Error> errors;
  try {
    const auto over = std::chrono::steady_clock::now() + read_limit_;
    std::atomic<bool> too_long = false;
    Result<Job> read = validate(file, [&] {
      if (std::chrono::steady_clock::now() > over) too_long = true;
      return too_long || stopping_;
    });
    if (read)
      job = std::move(read).value();
    else if (too_long)
      errors = {took_too_long(file, read_limit_)};
    else
      errors = read.errors();
  } catch (const std::exception& fault) { errors.push_back(program_fault(file, fault.what())); }
  lock.lock();
  DeskEntry& entry = slot.entry;
  if (job) slot.body_file = job->body.outline + job->body.mesh;
  slot.read_from = std::max(written, written_at(file, slot.body_file));
  entry.errors = std::move(errors);
  if (job) {
    entry.title = job->title;
    entry.kind = job->instrument.kind;
    entry.maker = job->instrument.maker;
    entry.year = job->instrument.year;
    entry.invented = job->invented;
  }
  // Someone may have asked for it to be worked out in the meantime; then simulate says what is wrong with it.
  if (entry.stage == Stage::unread) entry.stage = job ? Stage::waiting : Stage::refused;
}

void JobQueue::simulate_slot(Slot& slot, std::unique_lock<std::mutex>& lock) {
  const std::string file = slot.entry.file;
  const auto written = written_at(file, slot.body_file);
  slot.entry.stage = Stage::working;
  lock.unlock();
  const Progress progress = [&](const std::string& what, double done) {
    const std::lock_guard quick(mutex_);
    if (stopping_) throw BrokenOff{};
    slot.entry.what = what;
    slot.entry.done = std::clamp(done, 0.0, 1.0);
  };
  std::shared_ptr<const Worked> worked;
  std::shared_ptr<const LightMesh> mesh;
  std::vector<Error> errors;
  try {
    Result<Worked> result = simulate(file, progress, [&] { return stopping_.load(); });
    if (result) {
      worked = std::make_shared<const Worked>(std::move(result).value());
      mesh = std::make_shared<const LightMesh>(light_mesh(worked->body(), screen_vertices));
    } else {
      errors = result.errors();
    }
  } catch (const BrokenOff&) {
  } catch (const std::exception& fault) {
    worked = nullptr;
    errors.push_back(program_fault(file, fault.what()));
  }
  lock.lock();
  DeskEntry& entry = slot.entry;
  slot.read_from = written;
  entry.changed = false;
  entry.errors = std::move(errors);
  entry.stage = worked ? Stage::ready : Stage::refused;  // refused: what was worked out before stays
  if (worked) {
    entry.done = 1;
    entry.title = worked->job().title;
    entry.kind = worked->job().instrument.kind;
    entry.maker = worked->job().instrument.maker;
    entry.year = worked->job().instrument.year;
    entry.invented = worked->job().invented;
    ++entry.version;
    entry.worked = std::move(worked);
    entry.mesh = std::move(mesh);
  }
}

}  // namespace witnessline::server

#include "job/job_book.h"

#include <SQLiteCpp/SQLiteCpp.h>
#include <SQLiteCpp/VariadicBind.h>
#include <fmt/format.h>
#include <sqlite3.h>

#include <mutex>

namespace witnessline::job {
namespace {

constexpr int book_version = 1;
constexpr int book_mark = 0x57544c4e;  // "WTLN": tells a book from any other SQLite file

constexpr const char* tables = R"(
create table job (id text primary key, title text not null, path text not null, added_at text not null);
create table revision (
  job text not null references job on delete cascade, number integer not null, saved_at text not null, text text not null,
  primary key (job, number));
create table answer (
  row integer primary key, job text not null references job on delete cascade, question text not null,
  answer text not null, given_by text not null, at text not null);
create table reading (
  row integer primary key, job text not null references job on delete cascade, name text not null, of text not null,
  film_m real, remark text not null, at text not null);
)";

}  // namespace

struct JobBook::Data {
  std::string path;
  SQLite::Database db;
  std::mutex one_at_a_time;

  explicit Data(const std::string& file)
      : path(file), db(file, SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE, 5000 /* ms to wait for another writer */) {}

  Error fault(const SQLite::Exception& e) const {
    const Place where{path, 0, 0, ""};
    switch (e.getErrorCode() & 0xff) {
      case SQLITE_NOTADB:
      case SQLITE_CORRUPT:
        return {"the job book is damaged or is not a job book", where, "a file this program made",
                "keep the damaged file, put a copy of an older one in its place"};
      case SQLITE_BUSY:
      case SQLITE_LOCKED:
        return {"the job book is in use by another program", where, "", "close the other one and try again"};
      case SQLITE_FULL:
        return {"the disk is full; nothing was written to the job book", where, "", "free some space and try again"};
      case SQLITE_CANTOPEN:
        return {"the job book cannot be opened", where, "a folder that exists and may be written to", ""};
      case SQLITE_READONLY:
        return {"the job book may not be written to", where, "", "check the permissions of the file and of its folder"};
      default:
        return {std::string("the job book could not be written: ") + e.what(), where, "", "nothing was written"};
    }
  }

  /// Runs `work` in one transaction: all of it is on the disk when this returns, or none of it.
  template <class Work>
  auto whole(const Work& work) -> decltype(work()) {
    const std::lock_guard lock(one_at_a_time);
    try {
      SQLite::Transaction transaction(db, SQLite::TransactionBehavior::IMMEDIATE);
      auto result = work();
      if (result) transaction.commit();
      return result;
    } catch (const SQLite::Exception& e) { return fault(e); }
  }

  template <class T, class Row>
  Result<std::vector<T>> list(const char* sql, const std::string& job, const Row& row) {
    const std::lock_guard lock(one_at_a_time);
    try {
      SQLite::Statement query(db, sql);
      if (!job.empty()) query.bind(1, job);
      std::vector<T> all;
      while (query.executeStep()) all.push_back(row(query));
      return all;
    } catch (const SQLite::Exception& e) { return fault(e); }
  }

  bool has(const std::string& job) {
    SQLite::Statement query(db, "select 1 from job where id = ?");
    query.bind(1, job);
    return query.executeStep();
  }
  Error no_such(const std::string& job) const {
    return {"no such job in the book: \"" + job + "\"", {path, 0, 0, ""}, "the id of a job in the book", ""};
  }
};

Result<JobBook> JobBook::open(const std::string& path) {
  // SQLite takes these for a book in memory or in a file of its own that it deletes: nothing would be kept.
  if (path.empty() || path.starts_with(':') || path.starts_with("file:"))
    return Error{"the job book has no file name", {path, 0, 0, ""}, "a path such as jobs.book", "name the file"};
  std::shared_ptr<Data> data;
  try {
    data = std::make_shared<Data>(path);
    // Full: a commit has reached the disk before it is acknowledged, also through a power cut.
    data->db.exec("pragma journal_mode = wal; pragma synchronous = full; pragma foreign_keys = on;");
    const int version = data->db.execAndGet("pragma user_version").getInt();
    const int mark = data->db.execAndGet("pragma application_id").getInt();
    const bool fresh = data->db.execAndGet("select count(*) from sqlite_master").getInt() == 0;
    if (!fresh && mark != book_mark)
      return Error{"this is another program's database", {path, 0, 0, ""}, "a job book", "choose another file"};
    if (version > book_version)
      return Error{fmt::format("this job book is of version {}", version),
                   {path, 0, 0, ""},
                   fmt::format("version {} or older", book_version),
                   "use the newer program that made it"};
    if (fresh) {
      SQLite::Transaction transaction(data->db, SQLite::TransactionBehavior::IMMEDIATE);
      if (data->db.execAndGet("select count(*) from sqlite_master").getInt() == 0)  // another may have been faster
        data->db.exec(tables +
                      fmt::format("pragma application_id = {}; pragma user_version = {};", book_mark, book_version));
      transaction.commit();
    }
    if (const std::string check = data->db.execAndGet("pragma quick_check(1)").getString(); check != "ok")
      return Error{"the job book is damaged: " + check,
                   {path, 0, 0, ""},
                   "a whole file",
                   "keep the damaged file, put a copy of an older one in its place"};
  } catch (const SQLite::Exception& e) {
    if (data) return data->fault(e);
    return Error{std::string("the job book cannot be opened: ") + e.what(),
                 {path, 0, 0, ""},
                 "a folder that exists and may be written to",
                 ""};
  }
  return JobBook(std::move(data));
}

Result<Done> JobBook::add(const BookedJob& job) {
  return data_->whole([&]() -> Result<Done> {
    if (job.id.empty()) return Error{"a job without an id", {data_->path, 0, 0, ""}, "a word", ""};
    if (data_->has(job.id))
      return Error{
          "a job of this name is in the book already: \"" + job.id + "\"", {data_->path, 0, 0, ""}, "another id", ""};
    SQLite::Statement row(data_->db, "insert into job values (?, ?, ?, ?)");
    SQLite::bind(row, job.id, job.title, job.path, job.added_at);
    row.exec();
    return Done{};
  });
}

Result<Done> JobBook::remove(const std::string& job) {
  return data_->whole([&]() -> Result<Done> {
    if (!data_->has(job)) return data_->no_such(job);
    SQLite::Statement row(data_->db, "delete from job where id = ?");
    row.bind(1, job);
    row.exec();
    return Done{};
  });
}

Result<std::vector<BookedJob>> JobBook::jobs() const {
  return data_->list<BookedJob>(
      "select id, title, path, added_at, (select ifnull(max(number), 0) from revision where job = id) from job "
      "order by added_at, id",
      "", [](SQLite::Statement& row) {
        return BookedJob{row.getColumn(0).getString(), row.getColumn(1).getString(), row.getColumn(2).getString(),
                         row.getColumn(3).getString(), row.getColumn(4).getInt64()};
      });
}

Result<std::int64_t> JobBook::save_text(const std::string& job, std::int64_t based_on, const std::string& text,
                                        const std::string& saved_at) {
  return data_->whole([&]() -> Result<std::int64_t> {
    if (!data_->has(job)) return data_->no_such(job);
    SQLite::Statement newest(data_->db, "select ifnull(max(number), 0) from revision where job = ?");
    newest.bind(1, job);
    newest.executeStep();
    const std::int64_t number = newest.getColumn(0).getInt64();
    if (number != based_on)
      return Error{fmt::format("someone has saved revision {} since you opened it", number),
                   {data_->path, 0, 0, job},
                   fmt::format("a text based on revision {}", number),
                   "read the newer text first, then save again"};
    SQLite::Statement row(data_->db, "insert into revision values (?, ?, ?, ?)");
    SQLite::bind(row, job, number + 1, saved_at, text);
    row.exec();
    return number + 1;
  });
}

Result<std::vector<Revision>> JobBook::revisions(const std::string& job) const {
  return data_->list<Revision>(
      "select number, saved_at, text from revision where job = ? order by number", job, [](SQLite::Statement& row) {
        return Revision{row.getColumn(0).getInt64(), row.getColumn(1).getString(), row.getColumn(2).getString()};
      });
}

Result<Done> JobBook::answer(const std::string& job, const Answer& a) {
  return data_->whole([&]() -> Result<Done> {
    if (!data_->has(job)) return data_->no_such(job);
    SQLite::Statement row(data_->db, "insert into answer (job, question, answer, given_by, at) values (?, ?, ?, ?, ?)");
    SQLite::bind(row, job, a.question, a.answer, a.by, a.at);
    row.exec();
    return Done{};
  });
}

Result<std::vector<Answer>> JobBook::answers(const std::string& job) const {
  return data_->list<Answer>("select question, answer, given_by, at from answer where job = ? order by row", job,
                             [](SQLite::Statement& row) {
                               return Answer{row.getColumn(0).getString(), row.getColumn(1).getString(),
                                             row.getColumn(2).getString(), row.getColumn(3).getString()};
                             });
}

Result<Done> JobBook::add_reading(const std::string& job, const BenchReading& r) {
  return data_->whole([&]() -> Result<Done> {
    if (!data_->has(job)) return data_->no_such(job);
    SQLite::Statement row(data_->db,
                          "insert into reading (job, name, of, film_m, remark, at) values (?, ?, ?, ?, ?, ?)");
    SQLite::bind(row, job, r.name, r.of);
    if (r.film_m) row.bind(4, *r.film_m);
    row.bind(5, r.remark);
    row.bind(6, r.at);
    row.exec();
    return Done{};
  });
}

Result<std::vector<BenchReading>> JobBook::readings(const std::string& job) const {
  return data_->list<BenchReading>(
      "select name, of, film_m, remark, at from reading where job = ? order by row", job, [](SQLite::Statement& row) {
        BenchReading r{row.getColumn(0).getString(), row.getColumn(1).getString(), std::nullopt,
                       row.getColumn(3).getString(), row.getColumn(4).getString()};
        if (!row.getColumn(2).isNull()) r.film_m = row.getColumn(2).getDouble();
        return r;
      });
}

}  // namespace witnessline::job

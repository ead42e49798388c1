// JobBook: the bench app's store of jobs. What it has acknowledged is on the disk; a change is there whole or not at
// all.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "base/describe.h"
#include "base/result.h"

namespace witnessline::job {

/// A job in the book. Times are UTC, "2026-03-02T09:30:00Z", given by the caller.
struct BookedJob {
  std::string id;
  std::string title;
  std::string path;  ///< of its file
  std::string added_at;
  std::int64_t revision = 0;  ///< newest text kept; 0: none
};
template <class V>
void describe(V& v, BookedJob& j) {
  v(member("id", "word that names the job"), j.id);
  v(member("title", "title, as shown"), j.title);
  v(member("path", "its file"), j.path);
  v(member("added_at", "UTC"), j.added_at);
  v(member("revision", "number of the newest text; 0: none").within(0, 9e15), j.revision);
}

/// A text of the job file as it once was.
struct Revision {
  std::int64_t number = 0;  ///< 1, 2, ... within its job
  std::string saved_at, text;
};
template <class V>
void describe(V& v, Revision& r) {
  v(member("number", "counted from 1").within(0, 9e15), r.number);
  v(member("saved_at", "UTC"), r.saved_at);
  v(member("text", "the job file"), r.text);
}

/// Answer to a hold point.
struct Answer {
  std::string question, answer, by, at;
};
template <class V>
void describe(V& v, Answer& a) {
  v(member("question", "the hold point's question, word for word"), a.question);
  v(member("answer", "the answer, with how it was found"), a.answer);
  v(member("by", "who found it"), a.by);
  v(member("at", "UTC"), a.at);
}

/// A reading taken at the bench: film thickness, or words.
struct BenchReading {
  std::string name;
  std::string of;  ///< "film thickness", "colour", "sheen"
  std::optional<double> film_m;
  std::string remark, at;
};
template <class V>
void describe(V& v, BenchReading& r) {
  v(member("name", "what was read"), r.name);
  v(member("of", "film thickness, colour or sheen"), r.of);
  v(member("film_um", "film thickness read", unit::um).within(0, 5000), r.film_m);
  v(member("remark", "in words"), r.remark);
  v(member("at", "UTC"), r.at);
}

/// One open book. One process writes at a time; another waits up to five seconds and is then told so.
class JobBook {
 public:
  /// Opens or makes the book at `path`. Errors: not a book, damaged, made by a newer program, no such folder.
  static Result<JobBook> open(const std::string& path);

  Result<Done> add(const BookedJob&);  ///< its id must be new
  Result<Done> remove(const std::string& job);
  Result<std::vector<BookedJob>> jobs() const;

  /// Keeps `text` as the newest revision and returns its number. `based_on` is the revision the writer saw (0: none);
  /// when another has come between, nothing is kept and the error says so.
  Result<std::int64_t> save_text(const std::string& job, std::int64_t based_on, const std::string& text,
                                 const std::string& saved_at);
  Result<std::vector<Revision>> revisions(const std::string& job) const;  ///< oldest first

  Result<Done> answer(const std::string& job, const Answer&);  ///< the newest answer to a question counts
  Result<std::vector<Answer>> answers(const std::string& job) const;

  Result<Done> add_reading(const std::string& job, const BenchReading&);
  Result<std::vector<BenchReading>> readings(const std::string& job) const;

  struct Data;

 private:
  explicit JobBook(std::shared_ptr<Data> data) : data_(std::move(data)) {}
  std::shared_ptr<Data> data_;
};

}  // namespace witnessline::job

// The book keeps what it has acknowledged, through a killed process, and says so when it is no book any more.
#include "job/job_book.h"

#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <thread>

namespace witnessline::job {
namespace {

class Book : public testing::Test {
 protected:
  void SetUp() override {
    std::string pattern = (std::filesystem::temp_directory_path() / "book_test_XXXXXX").string();
    ASSERT_NE(mkdtemp(pattern.data()), nullptr);
    folder_ = pattern;
    path_ = (folder_ / "jobs.book").string();
  }
  void TearDown() override { std::filesystem::remove_all(folder_); }

  JobBook open() {
    Result<JobBook> book = JobBook::open(path_);
    if (!book) throw std::runtime_error(book.errors()[0].text());
    return *book;
  }

  std::filesystem::path folder_;
  std::string path_;
};

const BookedJob bass{"slab_bass", "Slab bass", "slab_bass/job.toml", "2026-03-02T09:00:00Z", 0};

TEST(BookWithoutAFile, IsRefused) {
  for (const char* path : {"", ":memory:", "file:a.book?mode=memory"}) {
    const auto book = JobBook::open(path);
    ASSERT_FALSE(book) << path;
    EXPECT_NE(book.errors()[0].what.find("no file name"), std::string::npos);
  }
}

TEST_F(Book, KeepsWhatItWasTold) {
  {
    JobBook book = open();
    ASSERT_TRUE(book.add(bass));
    EXPECT_FALSE(book.add(bass));  // once only
    const Result<std::int64_t> first = book.save_text("slab_bass", 0, "id = \"a\"\n", "2026-03-02T09:01:00Z");
    ASSERT_TRUE(first);
    EXPECT_EQ(*first, 1);
    ASSERT_TRUE(book.answer("slab_bass", {"Lead?", "not known", "T.", "2026-03-02T09:02:00Z"}));
    ASSERT_TRUE(book.answer("slab_bass", {"Lead?", "none, laboratory", "T.", "2026-03-09T09:02:00Z"}));
    ASSERT_TRUE(book.add_reading("slab_bass", {"back", "film thickness", 136e-6, "", "2026-03-02T09:03:00Z"}));
    ASSERT_TRUE(book.add_reading("slab_bass", {"back", "sheen", std::nullopt, "dull", "2026-03-02T09:04:00Z"}));
  }
  JobBook book = open();
  const auto jobs = book.jobs();
  ASSERT_TRUE(jobs);
  ASSERT_EQ(jobs->size(), 1u);
  EXPECT_EQ((*jobs)[0].title, "Slab bass");
  EXPECT_EQ((*jobs)[0].revision, 1);
  EXPECT_EQ(book.revisions("slab_bass")->at(0).text, "id = \"a\"\n");
  ASSERT_EQ(book.answers("slab_bass")->size(), 2u);
  EXPECT_EQ(book.answers("slab_bass")->back().answer, "none, laboratory");
  EXPECT_EQ(book.readings("slab_bass")->at(0).film_m, 136e-6);
  EXPECT_FALSE(book.readings("slab_bass")->at(1).film_m.has_value());
  ASSERT_TRUE(book.remove("slab_bass"));
  EXPECT_TRUE(book.jobs()->empty());
  EXPECT_TRUE(book.revisions("slab_bass")->empty());
  EXPECT_FALSE(book.remove("slab_bass"));
  EXPECT_FALSE(book.answer("slab_bass", {"?", "", "", ""}));
}

TEST_F(Book, TwoWritersDoNotOverwriteEachOther) {
  JobBook one = open(), other = open();
  ASSERT_TRUE(one.add(bass));
  ASSERT_TRUE(one.save_text("slab_bass", 0, "first", "2026-03-02T09:01:00Z"));
  const auto late = other.save_text("slab_bass", 0, "unaware of it", "2026-03-02T09:02:00Z");
  ASSERT_FALSE(late);
  EXPECT_NE(late.errors()[0].what.find("revision 1"), std::string::npos) << late.errors()[0].text();
  EXPECT_EQ(one.revisions("slab_bass")->size(), 1u);
  ASSERT_TRUE(other.save_text("slab_bass", 1, "second", "2026-03-02T09:03:00Z"));

  const auto write = [](JobBook& book, const char* name) {
    for (int i = 0; i < 20; ++i)
      EXPECT_TRUE(book.add_reading("slab_bass", {name, "sheen", std::nullopt, "", "2026-03-02T09:04:00Z"}));
  };
  std::thread a([&] { write(one, "a"); }), b([&] { write(other, "b"); }), c([&] { write(other, "c"); });
  a.join(), b.join(), c.join();
  EXPECT_EQ(one.readings("slab_bass")->size(), 60u);
}

// A child writes and tells each acknowledged revision through a pipe; it is killed in the middle of it, again and
// again.
TEST_F(Book, KilledWriterLosesNothingAcknowledgedAndLeavesNothingHalf) {
  ASSERT_TRUE(open().add(bass));
  const std::string text(200000, 'x');  // many pages, so that the kill lands inside a write too
  std::int64_t acknowledged = 0;
  for (int round = 0; round < 6; ++round) {
    int ends[2];
    ASSERT_EQ(pipe(ends), 0);
    const pid_t child = fork();
    ASSERT_GE(child, 0);
    if (child == 0) {
      close(ends[0]);
      Result<JobBook> book = JobBook::open(path_);
      if (!book) _exit(1);
      for (std::int64_t number = book->revisions("slab_bass")->size();;) {
        const auto saved = book->save_text("slab_bass", number, text, "2026-03-02T09:01:00Z");
        if (!saved) _exit(2);
        number = *saved;
        if (write(ends[1], &number, sizeof number) != sizeof number) _exit(3);
      }
    }
    close(ends[1]);
    std::int64_t number = 0;
    for (int i = 0; i < 2 + round && read(ends[0], &number, sizeof number) == sizeof number; ++i) acknowledged = number;
    usleep(static_cast<useconds_t>(1500 * round));
    kill(child, SIGKILL);
    int status = 0;
    waitpid(child, &status, 0);
    EXPECT_TRUE(WIFSIGNALED(status)) << "the writer ended by itself with " << WEXITSTATUS(status);
    while (read(ends[0], &number, sizeof number) == sizeof number) acknowledged = number;
    close(ends[0]);

    JobBook book = open();
    const auto kept = book.revisions("slab_bass");
    ASSERT_TRUE(kept);
    EXPECT_GE(static_cast<std::int64_t>(kept->size()), acknowledged);
    for (std::size_t i = 0; i < kept->size(); ++i) {
      EXPECT_EQ((*kept)[i].number, static_cast<std::int64_t>(i + 1));
      EXPECT_EQ((*kept)[i].text.size(), text.size());
    }
  }
  EXPECT_GT(acknowledged, 6);
}

TEST_F(Book, DamagedFilesAreRefusedInPlainWords) {
  const auto refused = [&](const std::string& words) {
    const Result<JobBook> book = JobBook::open(path_);
    ASSERT_FALSE(book);
    EXPECT_NE(book.errors()[0].text().find(words), std::string::npos) << book.errors()[0].text();
    EXPECT_EQ(book.errors()[0].where.file, path_);
  };
  std::ofstream(path_) << std::string(5000, 'k');
  refused("damaged or is not a job book");
  std::filesystem::remove(path_);
  {
    JobBook book = open();
    ASSERT_TRUE(book.add(bass));
    for (int i = 0; i < 50; ++i)
      ASSERT_TRUE(book.save_text("slab_bass", i, std::string(5000, 'y'), "2026-03-02T09:01:00Z"));
  }
  const auto size = std::filesystem::file_size(path_);
  std::fstream damage(path_, std::ios::in | std::ios::out | std::ios::binary);
  damage.seekp(4096);  // the pages after the first: what the tables are in
  damage << std::string(size / 2, '\x5a');
  damage.close();
  refused("damaged");
  path_ = (folder_ / "nowhere" / "jobs.book").string();
  refused("cannot be opened");
}

}  // namespace
}  // namespace witnessline::job

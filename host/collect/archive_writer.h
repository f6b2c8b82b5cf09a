// The one hand that touches an archive while loggers are read: a thread of its own, so that nobody
// who reads a line waits for the disk, and any number of them may share the archive.
#pragma once

#include "archive/archive.h"

#include <condition_variable>
#include <deque>
#include <future>
#include <mutex>
#include <thread>

namespace quaycell {

class ArchiveWriter {
  public:
    /// `archive` must not be used by anybody else while this lives.
    explicit ArchiveWriter(Archive& archive)
        : archive_(archive), thread_([this](const std::stop_token& stop) { work(stop); }) {}

    /// Does what was asked for to its end.
    ~ArchiveWriter();
    ArchiveWriter(const ArchiveWriter&) = delete;
    ArchiveWriter& operator=(const ArchiveWriter&) = delete;

    /// Lets `job` have the archive after all jobs before it; returns at once.
    template <typename Job>
    auto ask(Job job) {
        std::packaged_task<decltype(job(archive_))(Archive&)> task(std::move(job));
        auto result = task.get_future();
        {
            const std::scoped_lock lock(mutex_);
            jobs_.emplace_back(std::move(task));
        }
        arrived_.notify_one();
        return result;
    }

  private:
    using Task = std::packaged_task<void(Archive&)>;

    void work(const std::stop_token& stop);

    Archive& archive_;
    std::mutex mutex_;
    std::condition_variable_any arrived_;
    std::deque<Task> jobs_;
    std::jthread thread_; // last: it uses all of the above
};

} // namespace quaycell

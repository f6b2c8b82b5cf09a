#include "collect/archive_writer.h"

namespace quaycell {

ArchiveWriter::~ArchiveWriter() {
    thread_.request_stop();
}

void ArchiveWriter::work(const std::stop_token& stop) {
    for (;;) {
        Task job;
        {
            std::unique_lock lock(mutex_);
            if (!arrived_.wait(lock, stop, [this] { return !jobs_.empty(); })) return;
            job = std::move(jobs_.front());
            jobs_.pop_front();
        }
        job(archive_);
    }
}

} // namespace quaycell

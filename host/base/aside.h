// What is done by a thread of its own, one piece after another: whoever makes the pieces need not
// wait for it.
#pragma once

#include <condition_variable>
#include <cstddef>
#include <deque>
#include <exception>
#include <functional>
#include <mutex>
#include <thread>
#include <utility>
#include <vector>

namespace quaycell {

template <typename Piece>
class Aside {
  public:
    using Take = std::function<void(Piece&)>;

    /// `take` gets each piece in the order in which they are given. Not more than `most_waiting`
    /// wait for it.
    Aside(Take take, std::size_t most_waiting)
        : take_(std::move(take)), most_waiting_(most_waiting) {}

    /// What has not been taken by then never is.
    ~Aside() {
        const std::scoped_lock lock(mutex_);
        waiting_.clear();
    }
    Aside(const Aside&) = delete;
    Aside& operator=(const Aside&) = delete;

    /// Waits only where too many do. Returns one that was taken, for its memory, or a new one.
    Piece give(Piece piece) {
        if (!thread_.joinable())
            thread_ = std::jthread([this](const std::stop_token& stop) { work(stop); });
        Piece next{};
        {
            std::unique_lock lock(mutex_);
            gone_.wait(lock, [this] { return waiting_.size() < most_waiting_; });
            waiting_.push_back(std::move(piece));
            if (!taken_.empty()) {
                next = std::move(taken_.back());
                taken_.pop_back();
            }
        }
        arrived_.notify_one();
        return next;
    }

    /// Returns when all were taken. Throws what `take` has thrown: pieces after that one were
    /// passed over.
    void finish() {
        if (!thread_.joinable()) return;
        thread_.request_stop();
        thread_.join();
        taken_.clear();
        if (thrown_) std::rethrow_exception(std::exchange(thrown_, nullptr));
    }

  private:
    void work(const std::stop_token& stop) {
        std::unique_lock lock(mutex_);
        for (;;) {
            arrived_.wait(lock, stop, [this] { return !waiting_.empty(); });
            if (waiting_.empty()) return;
            Piece piece = std::move(waiting_.front());
            waiting_.pop_front();
            lock.unlock();
            gone_.notify_one();
            try {
                if (!thrown_) take_(piece);
            } catch (...) {
                thrown_ = std::current_exception();
            }
            lock.lock();
            taken_.push_back(std::move(piece));
        }
    }

    Take take_;
    std::size_t most_waiting_;
    std::mutex mutex_;
    std::condition_variable_any arrived_, gone_;
    std::deque<Piece> waiting_;
    std::vector<Piece> taken_;
    std::exception_ptr thrown_; ///< of the thread alone, until it has ended
    std::jthread thread_;       // last: it uses all of the above
};

} // namespace quaycell

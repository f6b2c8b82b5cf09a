// The newest of a logger, from the thread that hears it to those that show it. Whoever tells it
// never waits for whoever shows it.
#pragma once

#include "base/time.h"

#include <deque>
#include <functional>
#include <mutex>
#include <string>

namespace quaycell::web {

class LiveFeed {
  public:
    /// The minutes that a page shows when it is opened.
    static constexpr std::chrono::minutes kept{10};

    /// `now`: a JSON value, all that a page shows of the reading. `shown_mv` for the line of the
    /// last minutes, on the scale that is shown; not a number where there is none.
    void tell(std::string now, Instant time, double shown_mv);

    /// The same where there is no reading, such as when the logger is lost.
    void tell(std::string now);

    /// As a JSON document: {"now": ...}; `now` is null where nothing was told yet. For a page that
    /// was just opened also how old that is, and the minutes before: {"age_ms": ..., "recent":
    /// [[unix ms, mV or null], ...]}. The page's own clock may be another one.
    std::string newest() const;
    std::string greeting() const;

    /// Called after each telling, by the thread that tells; it must not wait.
    void on_news(std::function<void()> call);

  private:
    struct Point {
        Instant time;
        double shown_mv;
    };

    void set(std::string now);

    mutable std::mutex mutex_;
    std::string now_ = "null";
    std::chrono::steady_clock::time_point told_at_{};
    std::deque<Point> recent_;
    std::function<void()> call_;
};

} // namespace quaycell::web

#include "web/live_feed.h"

#include <cmath>
#include <fmt/format.h>

namespace quaycell::web {

void LiveFeed::tell(std::string now, Instant time, double shown_mv) {
    {
        const std::scoped_lock lock(mutex_);
        if (!recent_.empty() && time < recent_.back().time) recent_.clear(); // a clock was set back
        recent_.push_back({time, shown_mv});
        while (recent_.front().time + kept < time)
            recent_.pop_front();
    }
    set(std::move(now));
}

void LiveFeed::tell(std::string now) {
    set(std::move(now));
}

void LiveFeed::set(std::string now) {
    const std::scoped_lock lock(mutex_);
    now_ = std::move(now);
    told_at_ = std::chrono::steady_clock::now();
    if (call_) call_();
}

std::string LiveFeed::newest() const {
    const std::scoped_lock lock(mutex_);
    return "{\"now\":" + now_ + '}';
}

std::string LiveFeed::greeting() const {
    const std::scoped_lock lock(mutex_);
    std::string recent;
    for (const Point& point : recent_)
        recent += fmt::format(
            "{}[{},{}]", recent.empty() ? "" : ",", point.time.time_since_epoch().count(),
            std::isfinite(point.shown_mv) ? fmt::format("{:.1f}", point.shown_mv) : "null");
    const auto age =
        std::chrono::duration_cast<Milliseconds>(std::chrono::steady_clock::now() - told_at_);
    return fmt::format(R"({{"now":{},"age_ms":{},"recent":[{}]}})", now_, age.count(), recent);
}

void LiveFeed::on_news(std::function<void()> call) {
    const std::scoped_lock lock(mutex_);
    call_ = std::move(call);
}

} // namespace quaycell::web

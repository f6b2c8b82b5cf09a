// Live readings for other programs, over TCP.
#pragma once

#include "cli/live_format.h"
#include "link/line_server.h"

#include <mutex>
#include <set>

namespace quaycell {

class LiveFeed {
  public:
    LiveFeed(LineServer server, LiveFormat format, bool several_loggers)
        : server_(std::move(server)), format_(format), several_loggers_(several_loggers) {}

    /// Never waits for a reader. Any thread may call it.
    void publish(const LiveView& view) {
        const std::scoped_lock lock(mutex_);
        if (greeted_.insert(view.device).second) server_.greet(live_greeting(format_, view));
        server_.publish(live_text(format_, view, several_loggers_));
    }

  private:
    LineServer server_;
    LiveFormat format_;
    bool several_loggers_;
    std::mutex mutex_;
    std::set<std::string> greeted_; ///< loggers of which there was a reading
};

} // namespace quaycell

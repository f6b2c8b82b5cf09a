// Live readings as lines: data on standard output, words on standard error.
#pragma once

#include "cli/live_face.h"
#include "cli/live_format.h"

#include <mutex>
#include <set>
#include <string>
#include <utility>

namespace quaycell {

class LiveLines final : public LiveFace {
  public:
    /// Says what to do and to beware of before the first reading.
    LiveLines(LiveFormat format, bool several_loggers);

    void show(const LiveView& view, const Boat& boat) override;
    void say(const std::string& words) override;
    void lose(const std::string& why) override { say(why); }
    bool is_there() const override;

  private:
    void tell_grounds(const LiveView& view, const Boat& boat);
    void tell_cautions(const LiveView& view);

    const LiveFormat format_;
    const bool several_loggers_;
    std::mutex mutex_;
    std::set<std::string> greeted_; ///< loggers of which there was a reading
    /// Loggers of which there were cautions, and whether what they say was certain.
    std::set<std::pair<std::string, bool>> cautioned_;
    bool told_grounds_ = false;
};

} // namespace quaycell

#include "series/record_words.h"

#include "base/time.h"

#include <cmath>
#include <fmt/format.h>

namespace quaycell {

std::string reset_words(std::uint8_t cause) {
    const auto was = [cause](wire::ResetCause bit) {
        return (cause & static_cast<std::uint8_t>(bit)) != 0;
    };
    // The order matters: after a power failure the microcontroller reports several causes at once.
    if (was(wire::ResetCause::watchdog))
        return "the logger restarted: its program hung, and the watchdog ended that (when it "
               "happens "
               "again, have the logger looked at)";
    if (was(wire::ResetCause::power_on))
        return "the logger restarted: power came back (new cells, or a loose contact at the old "
               "ones)";
    if (was(wire::ResetCause::brown_out))
        return "the logger restarted: its supply fell too low for a moment (put in fresh cells, "
               "look "
               "at their contacts)";
    if (was(wire::ResetCause::external))
        return "the logger restarted: reset from outside (somebody worked on it)";
    return "the logger restarted: cause not known";
}

std::string stop_words(const wire::Stop& record) {
    switch (static_cast<wire::StopReason>(record.reason)) {
    case wire::StopReason::asked:
        return "stopped by the user";
    case wire::StopReason::memory_full:
        return "stopped: memory full";
    case wire::StopReason::battery_low:
        return "stopped: battery low (fresh cells make it go on by itself)";
    case wire::StopReason::forgotten:
        return "stopped: told to forget its readings";
    }
    return "stopped";
}

std::string clock_words(const wire::ClockSet& record) {
    const auto by = static_cast<wire::ClockSetBy>(record.by);
    if (by == wire::ClockSetBy::return_of_the_clock)
        return "the clock chip answers and runs again; times before, since it was lost, are rough";
    if (by == wire::ClockSetBy::itself)
        return "the clock jumped of itself; times go on by the seconds counted before (set it, and "
               "have the clock chip's battery looked at)";
    if (record.before_unix_s == 0) return "the time became known; the clock had none before";
    const std::int64_t ahead =
        static_cast<std::int64_t>(record.after_unix_s) - record.before_unix_s;
    if (ahead == 0) return "the clock was set; it was right";
    return fmt::format("the clock was set {} by {}", ahead > 0 ? "forward" : "back",
                       to_text(std::chrono::seconds{std::abs(ahead)}));
}

std::string clock_trouble_words(std::uint8_t time_flags) {
    if ((time_flags & wire::ticks_from_watchdog) != 0)
        return "the clock chip does not answer or stands still: seconds are counted by the "
               "watchdog "
               "and may be 10 % off (have the clock chip looked at)";
    if ((time_flags & wire::clock_lost_power) != 0)
        return "the clock chip has stood still or lost its power since it was set: it knows no "
               "time "
               "of day (set it, and have its battery looked at)";
    return {};
}

} // namespace quaycell

#include "series/record_times.h"

#include "base/stated_time.h"

#include <algorithm>
#include <optional>

namespace quaycell {

namespace {

wire::RecordKind kind_of(const std::uint8_t* record) {
    return static_cast<wire::RecordKind>(record[0]);
}

/// By whom the clock became another; nothing for other records.
std::optional<wire::ClockSetBy> set_by(const std::uint8_t* record) {
    if (kind_of(record) != wire::RecordKind::clock_set) return std::nullopt;
    return static_cast<wire::ClockSetBy>(wire::from_bytes<wire::ClockSet>(record).by);
}

} // namespace

RecordTime ClockStretch::time_of(const wire::RecordHead& head) const {
    constexpr unsigned doubts =
        wire::ticks_from_watchdog | wire::clock_lost_power | wire::clock_jumped;
    return {at_zero + std::chrono::seconds{head.ticks_s},
            doubtful || (head.time_flags & doubts) != 0};
}

const ClockStretch& stretch_of(const std::vector<ClockStretch>& stretches, std::size_t record) {
    const auto after = std::ranges::upper_bound(stretches, record, {}, &ClockStretch::first);
    return *(after == stretches.begin() ? after : after - 1);
}

void RecordTimes::add(const std::uint8_t* record) {
    const auto head = wire::from_bytes<wire::RecordHead>(record);
    const std::chrono::seconds ticks{head.ticks_s};
    if (boots_.empty() || boots_.back().number != head.boot)
        boots_.push_back({head.boot, count_, readings_, ticks, ticks, {}});
    boots_.back().last_ticks = ticks;
    if (kind_of(record) == wire::RecordKind::reading)
        ++readings_;
    else
        look_for_time(record);
    ++count_;
}

void RecordTimes::add_readings(std::size_t count, std::uint32_t last_ticks_s) {
    boots_.back().last_ticks = std::chrono::seconds{last_ticks_s};
    readings_ += count;
    count_ += count;
}

void RecordTimes::look_for_time(const std::uint8_t* record) {
    const std::uint32_t unix_s = stated_unix_s(record);
    // A clock that jumped of itself knows less than the ticks that went on.
    if (unix_s == 0 || set_by(record) == wire::ClockSetBy::itself) return;
    // A check only tells what no other record in its boot does: a ring overwrites those. Taken
    // every hour, its rounding to the second would shake the times.
    Boot& boot = boots_.back();
    if (kind_of(record) == wire::RecordKind::check && !boot.anchors.empty()) return;
    boot.anchors.push_back({count_, readings_, from_unix_s(unix_s) - boot.last_ticks,
                            set_by(record) == wire::ClockSetBy::host});
}

/// Moves what lies before a setting of the clock to an earlier time back until it is in order.
/// Where the clock was wrong it was wrong before the setting, and the ticks know how long ago that
/// was. A clock runs on through restarts: what was read of it before one was as wrong as after it.
void RecordTimes::follow_settings_back(std::vector<Boot>& boots) {
    const Anchor* later = nullptr;
    const Boot* later_boot = nullptr;
    for (auto boot = boots.rbegin(); boot != boots.rend(); ++boot)
        for (auto anchor = boot->anchors.rbegin(); anchor != boot->anchors.rend(); ++anchor) {
            if (later) {
                const std::chrono::seconds between =
                    later_boot == &*boot ? std::chrono::seconds{0}
                                         : later_boot->first_ticks - boot->last_ticks;
                const Milliseconds room = later->at_zero - anchor->at_zero + between;
                const Milliseconds as_later = later->is_setting ? Milliseconds{0} : later->moved_by;
                anchor->moved_by = std::min(room, as_later);
                anchor->at_zero += anchor->moved_by;
            }
            later = &*anchor;
            later_boot = &*boot;
        }
}

/// Puts boots without a known time directly after the one before, or before the one after.
void RecordTimes::place_undated(std::vector<Boot>& boots) {
    for (std::size_t i = 1; i < boots.size(); ++i) {
        const Boot& before = boots[i - 1];
        Boot& boot = boots[i];
        if (!boot.anchors.empty() || before.anchors.empty()) continue;
        const Instant end = before.anchors.back().at_zero + before.last_ticks;
        boot.anchors.push_back({boot.first, boot.first_reading, end});
    }
    for (std::size_t i = boots.size() - 1; i > 0; --i) {
        const Boot& after = boots[i];
        Boot& boot = boots[i - 1];
        if (!boot.anchors.empty()) continue;
        const Instant start = after.anchors.front().at_zero;
        boot.anchors.push_back({boot.first, boot.first_reading, start - boot.last_ticks});
    }
}

Result<std::vector<ClockStretch>> RecordTimes::stretches() const {
    std::vector<Boot> boots = boots_;
    const auto is_dated = [](const Boot& boot) { return !boot.anchors.empty(); };
    if (std::none_of(boots.begin(), boots.end(), is_dated))
        return Error{ErrorCode::wrong_input,
                     "the logger's clock was never set, so nobody can say when its readings were "
                     "taken",
                     "", "Set the clock of the logger before arming it; deploying does both."};
    std::vector<bool> dated;
    for (const Boot& boot : boots)
        dated.push_back(is_dated(boot));
    follow_settings_back(boots);
    place_undated(boots);

    std::vector<ClockStretch> stretches;
    for (std::size_t b = 0; b < boots.size(); ++b) {
        bool begins = true; // what comes before the first anchor of a boot counts from it, too
        for (const Anchor& anchor : boots[b].anchors) {
            const bool moved = anchor.moved_by < -std::chrono::seconds{1};
            stretches.push_back({begins ? boots[b].first : anchor.record,
                                 begins ? boots[b].first_reading : anchor.reading, anchor.at_zero,
                                 !dated[b] || moved});
            begins = false;
        }
    }
    return stretches;
}

} // namespace quaycell

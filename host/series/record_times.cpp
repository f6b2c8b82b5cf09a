#include "series/record_times.h"

#include "base/stated_time.h"

#include <algorithm>

namespace quaycell {

namespace {

/// An instant that is known on the count of seconds since a restart.
struct Anchor {
    std::size_t record;
    Instant at_zero;          ///< when the count was zero
    bool is_setting = false;  ///< of the clock; else a reading of it
    Milliseconds moved_by{0}; ///< because of a later setting; never forward
};

/// A run of records written between two restarts.
struct Boot {
    std::size_t first;
    std::size_t end;
    std::vector<Anchor> anchors;
};

wire::RecordHead head_of(const RecordBytes& bytes) {
    return wire::from_bytes<wire::RecordHead>(bytes.data());
}

std::chrono::seconds ticks_of(const RecordBytes& bytes) {
    return std::chrono::seconds{head_of(bytes).ticks_s};
}

/// By whom the clock became another; nothing for other records.
std::optional<wire::ClockSetBy> set_by(const RecordBytes& bytes) {
    if (static_cast<wire::RecordKind>(bytes[0]) != wire::RecordKind::clock_set) return std::nullopt;
    return static_cast<wire::ClockSetBy>(wire::from_bytes<wire::ClockSet>(bytes.data()).by);
}

std::vector<Boot> boots_of(std::span<const RecordBytes> records) {
    std::vector<Boot> boots;
    for (std::size_t i = 0; i < records.size(); ++i) {
        const bool restarted =
            boots.empty() || head_of(records[i]).boot != head_of(records[i - 1]).boot;
        if (restarted) boots.push_back({i, i, {}});
        Boot& boot = boots.back();
        boot.end = i + 1;
        const std::uint32_t unix_s = stated_unix_s(records[i]);
        // A clock that jumped of itself knows less than the ticks that went on.
        if (unix_s == 0 || set_by(records[i]) == wire::ClockSetBy::itself) continue;
        // A check only tells what no other record in its boot does: a ring overwrites those. Taken
        // every hour, its rounding to the second would shake the times.
        const auto kind = static_cast<wire::RecordKind>(records[i][0]);
        if (kind == wire::RecordKind::check && !boot.anchors.empty()) continue;
        const bool is_setting = set_by(records[i]) == wire::ClockSetBy::host;
        boot.anchors.push_back({i, from_unix_s(unix_s) - ticks_of(records[i]), is_setting});
    }
    return boots;
}

/// Moves what lies before a setting of the clock to an earlier time back until it is in order.
/// Where the clock was wrong it was wrong before the setting, and the ticks know how long ago that
/// was. A clock runs on through restarts: what was read of it before one was as wrong as after it.
void follow_settings_back(std::vector<Boot>& boots, std::span<const RecordBytes> records) {
    const Anchor* later = nullptr;
    const Boot* later_boot = nullptr;
    for (auto boot = boots.rbegin(); boot != boots.rend(); ++boot)
        for (auto anchor = boot->anchors.rbegin(); anchor != boot->anchors.rend(); ++anchor) {
            if (later) {
                const std::chrono::seconds between =
                    later_boot == &*boot
                        ? std::chrono::seconds{0}
                        : ticks_of(records[later_boot->first]) - ticks_of(records[boot->end - 1]);
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
void place_undated(std::vector<Boot>& boots, std::span<const RecordBytes> records) {
    for (std::size_t i = 1; i < boots.size(); ++i) {
        const Boot& before = boots[i - 1];
        if (!boots[i].anchors.empty() || before.anchors.empty()) continue;
        const Instant end = before.anchors.back().at_zero + ticks_of(records[before.end - 1]);
        boots[i].anchors.push_back({boots[i].first, end});
    }
    for (std::size_t i = boots.size() - 1; i > 0; --i) {
        const Boot& after = boots[i];
        Boot& boot = boots[i - 1];
        if (!boot.anchors.empty()) continue;
        const Instant start = after.anchors.front().at_zero;
        boot.anchors.push_back({boot.first, start - ticks_of(records[boot.end - 1])});
    }
}

} // namespace

std::vector<RecordBytes> whole_records(std::span<const RecordBytes> records) {
    std::vector<RecordBytes> whole;
    whole.reserve(records.size());
    for (const RecordBytes& record : records)
        if (wire::is_valid_record(record.data()) && (whole.empty() || record != whole.back()))
            whole.push_back(record);
    return whole;
}

Result<std::vector<RecordTime>> times_of(std::span<const RecordBytes> records) {
    std::vector<Boot> boots = boots_of(records);
    const auto is_dated = [](const Boot& boot) { return !boot.anchors.empty(); };
    if (std::none_of(boots.begin(), boots.end(), is_dated))
        return Error{ErrorCode::wrong_input,
                     "the logger's clock was never set, so nobody can say when its readings were "
                     "taken",
                     "", "Set the clock of the logger before arming it; deploying does both."};
    std::vector<bool> dated;
    dated.reserve(boots.size());
    for (const Boot& boot : boots)
        dated.push_back(is_dated(boot));
    follow_settings_back(boots, records);
    place_undated(boots, records);

    std::vector<RecordTime> times;
    times.reserve(records.size());
    for (std::size_t b = 0; b < boots.size(); ++b) {
        std::size_t anchor = 0;
        for (std::size_t i = boots[b].first; i < boots[b].end; ++i) {
            const std::vector<Anchor>& anchors = boots[b].anchors;
            while (anchor + 1 < anchors.size() && anchors[anchor + 1].record <= i)
                ++anchor;
            const std::uint8_t flags = head_of(records[i]).time_flags;
            const bool moved = anchors[anchor].moved_by < -std::chrono::seconds{1};
            RecordTime time{anchors[anchor].at_zero + ticks_of(records[i]), !dated[b] || moved};
            time.doubtful |= (flags & (wire::ticks_from_watchdog | wire::clock_lost_power |
                                       wire::clock_jumped)) != 0;
            times.push_back(time);
        }
    }
    return times;
}

} // namespace quaycell

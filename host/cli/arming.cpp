#include "cli/arming.h"

#include "base/record_bytes.h"
#include "base/time.h"
#include "cli/logger_port.h"
#include "judging/device_name.h"
#include "judging/json_text.h"

#include <boost/json.hpp>
#include <chrono>
#include <fmt/format.h>
#include <iostream>
#include <thread>

namespace quaycell {

namespace {

using std::chrono::seconds;

constexpr std::uint16_t longest_wait_s = 60;
constexpr seconds opening_takes{10}; ///< the converter's checks before the first reading, and slack
constexpr std::chrono::milliseconds between_looks{50};

Result<bool> holds(Logger& logger, std::uint32_t sequence, wire::RecordKind kind) {
    bool found = false;
    const auto look = [&](std::uint32_t number, const RecordBytes& bytes) -> Outcome {
        found = is_good({number, bytes}) && bytes[0] == static_cast<std::uint8_t>(kind);
        return Done{};
    };
    if (const auto read = logger.read(sequence, 1, look); !read) return read.error();
    return found;
}

Error not_shown(const Logger& logger, const char* what) {
    return {ErrorCode::failed, what, device_name(logger.hello().device_id),
            "Do not rely on it; look at the status and try again."};
}

/// Waits for the first reading in the memory.
Outcome see_reading(Logger& logger, const wire::StatusReply& armed) {
    const auto until = std::chrono::steady_clock::now() + seconds{armed.interval_s} + opening_takes;
    std::uint32_t next = armed.next_sequence;
    while (std::chrono::steady_clock::now() < until) {
        const auto status = logger.status();
        if (!status) return status.error();
        for (; next != status->next_sequence; ++next) {
            const auto is_reading = holds(logger, next, wire::RecordKind::reading);
            if (!is_reading) return is_reading.error();
            if (*is_reading) return Done{};
        }
        std::this_thread::sleep_for(between_looks);
    }
    return not_shown(logger, "the logger says it records, but no reading has come into its memory");
}

} // namespace

Result<std::uint32_t> unix_time_from(const std::string& clock) {
    using std::chrono::system_clock;
    if (clock.empty())
        return static_cast<std::uint32_t>(system_clock::to_time_t(system_clock::now()));
    const auto instant = parse_instant(clock);
    if (!instant) return instant.error();
    const auto since = std::chrono::floor<seconds>(*instant).time_since_epoch();
    // The clock chip counts from 2000 and the record in 32 bits.
    constexpr seconds first =
        std::chrono::sys_days{std::chrono::year{2000} / 1 / 1}.time_since_epoch();
    constexpr seconds last =
        std::chrono::sys_days{std::chrono::year{2100} / 1 / 1}.time_since_epoch();
    if (since < first || since >= last)
        return Error{ErrorCode::wrong_usage, "the logger's clock goes from 2000 to 2099", "--clock",
                     ""};
    return static_cast<std::uint32_t>(since.count());
}

Result<Armed> arm(Logger& logger, const Arming& arming) {
    if (const auto good = unix_time_from(arming.clock); !good) return good.error();
    const auto unix_s = [&] { return *unix_time_from(arming.clock); };
    if (const auto set = logger.set_clock(unix_s); !set) return set.error();
    const auto armed = logger.arm(arming.interval_s, arming.policy);
    if (!armed) return armed.error();
    const auto shown = holds(logger, armed->next_sequence - 1, wire::RecordKind::arm);
    if (!shown) return shown.error();
    if (!*shown)
        return not_shown(logger, "the logger says it is armed, but its memory does not show it");
    if (arming.interval_s > longest_wait_s) return Armed{*armed, false};
    std::cerr << "armed; waiting for the first reading\n";
    if (const auto seen = see_reading(logger, *armed); !seen) return seen.error();
    return Armed{*armed, true};
}

void tell_armed(const Logger& logger, const Armed& armed, bool as_json) {
    const wire::StatusReply& status = armed.status;
    const std::string device = device_name(logger.hello().device_id);
    const std::string since = to_text(from_unix_s(status.unix_s));
    if (as_json) {
        std::cout << to_document({{"device", device},
                                  {"armed_at", since},
                                  {"interval_s", status.interval_s},
                                  {"first_reading_seen", armed.reading_seen},
                                  {"memory_lasts_s", memory_lasts(status).count()}});
        return;
    }
    const bool stops = status.policy == static_cast<std::uint8_t>(wire::FullPolicy::stop_when_full);
    std::cout << fmt::format("logger {} records, one reading each {}, since {}; {}\n", device,
                             to_text(seconds{status.interval_s}), since,
                             armed.reading_seen ? "its first reading is in its memory"
                                                : "no reading has been waited for");
    std::cout << "its memory lasts for " << to_text(memory_lasts(status))
              << (stops ? ", then it stops\n" : ", then the oldest readings are overwritten\n");
    for (const std::string& words : fault_words(status.faults))
        std::cout << "fault: " << words << '\n';
    std::cerr << "On return: `quaycell collect --archive FILE`, before anything else.\n"
                 "Hang the cell from the deck; nobody in the water near a dock that carries\n"
                 "electricity.\n";
}

} // namespace quaycell

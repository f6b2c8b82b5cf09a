#include "collect/same_logger.h"

#include "base/stated_time.h"

#include <algorithm>
#include <fmt/format.h>

namespace quaycell {

namespace {

/// A clock may have been set back between two deployments; nobody sets a right one back by more.
/// Our judgement.
constexpr std::chrono::days most_set_back{1};

Error another_logger(std::uint32_t device, const std::string& contradiction,
                     const std::string& where) {
    return {ErrorCode::refused,
            fmt::format("this seems to be another logger with the same number {:08x} as the one in "
                        "the archive: {}",
                        device, contradiction),
            where,
            "Nothing was changed. Collect it into an archive of its own, and give one of the two "
            "another number (build target device_number, firmware/board/FUSES.md)."};
}

bool comes_before(const LogEnds& log, const BootExtent& oldest_held) {
    return log.is_copy && log.newest_boot <= oldest_held.boot &&
           !wire::sequence_before(oldest_held.first, log.next);
}

bool comes_after(const LogEnds& log, const BootExtent& newest_held) {
    return log.oldest_boot > newest_held.boot ||
           (log.oldest_boot == newest_held.boot &&
            wire::sequence_before(newest_held.last, log.tail));
}

} // namespace

LogEnds ends_by(std::span<const SequencedRecord> oldest, std::uint32_t device,
                std::uint16_t newest_boot, std::uint32_t tail, std::uint32_t next) {
    LogEnds ends{device, newest_boot, newest_boot, tail, next, {}, false};
    const auto first = std::ranges::find_if(oldest, is_good);
    if (first != oldest.end())
        ends.oldest_boot = wire::from_bytes<wire::RecordHead>(first->bytes.data()).boot;
    const auto timed = std::ranges::find_if(oldest, [](const SequencedRecord& slot) {
        return is_good(slot) && stated_unix_s(slot.bytes.data()) != 0;
    });
    if (timed != oldest.end()) ends.first_time = from_unix_s(stated_unix_s(timed->bytes.data()));
    return ends;
}

Result<Done> check_same_logger(Archive& archive, const LogEnds& log, const std::string& where) {
    const auto held = archive.boots(log.device);
    if (!held) return held.error();
    if (held->empty() || comes_before(log, held->front())) return Done{};
    if (!comes_after(log, held->back()))
        return another_logger(
            log.device,
            fmt::format("the archive holds records up to restart {}, number {}, "
                        "and has none of this one's, from restart {}, number {} on",
                        held->back().boot, held->back().last, log.oldest_boot, log.tail),
            where);
    const auto last_time = archive.last_stated_time(log.device);
    if (!last_time) return last_time.error();
    if (*last_time && log.first_time && *log.first_time + most_set_back < **last_time)
        return another_logger(
            log.device,
            fmt::format("it began to record at {}, and the archive's has recorded "
                        "until {}, before as many restarts",
                        to_text(*log.first_time), to_text(**last_time)),
            where);
    return Done{};
}

Result<Done> check_same_calibration(Archive& archive, std::uint32_t device,
                                    const wire::Calibration& calibration,
                                    const std::string& where) {
    const auto held = archive.logger(device);
    if (!held && held.error().code == ErrorCode::not_found) return Done{};
    if (!held) return held.error();
    if (!held->calibration || held->calibration->unix_s <= calibration.unix_s) return Done{};
    return another_logger(device,
                          fmt::format("it was calibrated at {}, the archive's after that, at {}",
                                      to_text(from_unix_s(calibration.unix_s)),
                                      to_text(from_unix_s(held->calibration->unix_s))),
                          where);
}

} // namespace quaycell

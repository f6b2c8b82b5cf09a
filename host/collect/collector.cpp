#include "collect/collector.h"

#include "collect/bad_runs.h"

#include <algorithm>
#include <chrono>
#include <fmt/format.h>

namespace quaycell {

namespace {

/// Slots to one commit: a few seconds of line, and a handful of disk writes.
constexpr std::uint32_t slots_per_commit = 1024;

Instant now() {
    return std::chrono::floor<Milliseconds>(std::chrono::system_clock::now());
}

std::uint64_t slots_in(const std::vector<SequenceRange>& ranges) {
    std::uint64_t count = 0;
    for (const SequenceRange& range : ranges)
        count += range.count;
    return count;
}

/// Loggers without a number of their own all bear the same one, and what is collected of them could
/// not be told apart.
Error has_no_number(const std::string& port) {
    return {ErrorCode::refused, "this logger has no number of its own", port,
            "Give it one (build target device_number, firmware/board/FUSES.md), then collect: its "
            "readings stay in its memory meanwhile."};
}

Error holds_too_much(std::uint32_t slots, const std::string& port) {
    return {
        ErrorCode::damaged,
        fmt::format("the logger says that it holds {} records, more than its memory can", slots),
        port, "Its memory is damaged or was written by something else; it needs repair."};
}

} // namespace

Result<Done> Collector::run(Logger& logger) {
    report_.device = logger.hello().device_id;
    auto status = logger.status();
    if (!status) return status.error();
    const wire::HelloReply& hello = logger.hello();
    if ((hello.faults & wire::fault_identity) != 0) return has_no_number(logger.name());
    if (const std::uint32_t slots = status->next_sequence - status->tail_sequence;
        slots > std::uint32_t{hello.sector_count} * wire::slots_per_sector)
        return holds_too_much(slots, logger.name());
    if (const auto stored = store_identity(logger); !stored) return stored;
    for (;;) {
        boot_ = status->boot;
        const auto brought = bring(logger, *status);
        const auto settled = settle();
        if (!settled) return settled;
        if (!brought) return brought;
        const auto after = logger.status();
        if (!after) return after.error();
        // A logger that has restarted meanwhile has written of it, and may have lost a slot.
        if (after->boot == status->boot) break;
        status = after;
    }
    return conclude(*status);
}

/// Tells which numbers have no record, and that this collection was.
Result<Done> Collector::conclude(const wire::StatusReply& status) {
    const Collection collection{
        now(),         report_.device, status.tail_sequence, status.next_sequence,
        report_.added, report_.bad,    QUAYCELL_VERSION};
    return archive_
        .ask([&](Archive& archive) -> Result<Done> {
            const auto gaps = archive.known_bad(collection.device, collection.first_sequence,
                                                collection.next_sequence);
            if (!gaps) return gaps.error();
            report_.gaps = *gaps;
            return archive.put_collection(collection);
        })
        .get();
}

Result<Done> Collector::store_identity(Logger& logger) {
    const auto circuit = logger.circuit();
    if (!circuit) return circuit.error();
    const auto calibration = logger.calibration();
    if (!calibration) return calibration.error();
    const auto store = [&](Archive& archive) -> Result<Done> {
        if (const auto put = archive.put_logger(logger.hello(), *circuit, now()); !put) return put;
        if (!*calibration) return Done{};
        return archive.put_calibration(report_.device, **calibration, now());
    };
    return archive_.ask(store).get();
}

Result<Done> Collector::bring(Logger& logger, const wire::StatusReply& status) {
    const auto ranges = wanted(logger, status);
    if (!ranges) return ranges.error();
    if (total_ == 0) {
        const auto known_bad =
            archive_
                .ask([&](Archive& archive) {
                    return archive.known_bad(report_.device, status.tail_sequence,
                                             status.next_sequence);
                })
                .get();
        if (!known_bad) return known_bad.error();
        report_.already_held =
            status.next_sequence - status.tail_sequence - slots_in(*ranges) - slots_in(*known_bad);
    }
    total_ = done_ + slots_in(*ranges);
    const auto begun =
        archive_
            .ask([&](Archive& archive) {
                return archive.put_collection_begun(report_.device, status.tail_sequence,
                                                    status.next_sequence, now());
            })
            .get();
    if (!begun) return begun;
    for (const SequenceRange& range : *ranges) {
        if (const auto fetched = fetch(logger, range); !fetched) return fetched;
    }
    return Done{};
}

Result<std::vector<SequenceRange>> Collector::wanted(Logger& logger,
                                                     const wire::StatusReply& status) {
    const std::uint32_t tail = status.tail_sequence;
    const std::uint32_t next = status.next_sequence;
    const auto missing =
        archive_.ask([&](Archive& archive) { return archive.missing(report_.device, tail, next); })
            .get();
    if (!missing) return missing;
    const auto same_log = holds_this_log(logger, *missing, status);
    if (!same_log) return same_log.error();
    if (!*same_log) return std::vector{SequenceRange{tail, next - tail}};
    return missing;
}

/// Whether the numbers that are held mean the records that the logger has under them, by the newest
/// of them: a logger whose memory was replaced counts from the beginning again.
Result<bool> Collector::holds_this_log(Logger& logger, const std::vector<SequenceRange>& missing,
                                       const wire::StatusReply& status) {
    std::uint32_t end = status.next_sequence;
    if (!missing.empty() && missing.back().first + missing.back().count == end)
        end = missing.back().first;
    if (end == status.tail_sequence) return true;
    const std::uint32_t newest = end - 1;
    const auto held =
        archive_.ask([&](Archive& archive) { return archive.record(report_.device, newest); })
            .get();
    if (!held) return held.error();
    bool same = false;
    const auto read = logger.read(newest, 1, [&](std::uint32_t, const RecordBytes& bytes) {
        same = *held == bytes;
        return Result<Done>(Done{});
    });
    if (!read) return read.error();
    return same;
}

Result<Done> Collector::fetch(Logger& logger, SequenceRange range) {
    while (range.count > 0) {
        const SequenceRange block{range.first, std::min(range.count, slots_per_commit)};
        auto got = fetch_block(logger, block);
        if (!got) return got.error();
        if (*got < block.count) {
            const auto lost = overwritten(logger, {block.first + *got, range.count - *got});
            if (!lost) return lost.error();
            *got += *lost;
        }
        range.first += *got;
        range.count -= *got;
    }
    return Done{};
}

/// Reads a block and hands on what came of it; returns how many slots that were.
Result<std::uint32_t> Collector::fetch_block(Logger& logger, SequenceRange block) {
    std::vector<SequencedRecord> slots;
    slots.reserve(block.count);
    const auto take = [&](std::uint32_t sequence, const RecordBytes& bytes) -> Result<Done> {
        slots.push_back({sequence, bytes});
        if (progress_) progress_(++done_, total_);
        if (stop_())
            return Error{ErrorCode::interrupted, "interrupted", logger.name(),
                         "What has arrived is kept; the same command goes on from there."};
        return Done{};
    };
    const auto read = logger.read(block.first, block.count, take);
    const bool line_holds = read || read.error().code == ErrorCode::refused;
    const auto looked = line_holds ? look_again(logger, slots) : read;
    // What came before the line broke is good all the same; of what is not good it is not sure.
    if (!looked) std::erase_if(slots, [](const SequencedRecord& slot) { return !is_good(slot); });
    const auto count = static_cast<std::uint32_t>(slots.size());
    if (const auto handed = hand_over(std::move(slots)); !handed) return handed.error();
    if (!looked) return looked.error();
    return count;
}

/// Reads once more what is not good: once it is known to be bad it is never asked for again.
Result<Done> Collector::look_again(Logger& logger, std::vector<SequencedRecord>& slots) {
    for (SequencedRecord& slot : slots) {
        if (is_good(slot)) continue;
        const auto read =
            logger.read(slot.sequence, 1, [&](std::uint32_t, const RecordBytes& bytes) {
                slot.bytes = bytes;
                return Result<Done>(Done{});
            });
        if (!read && read.error().code != ErrorCode::refused) return read;
    }
    return Done{};
}

/// Gives slots to the archive without waiting for it, but for the slots before them: no more than
/// two blocks are ever in the air.
Result<Done> Collector::hand_over(std::vector<SequencedRecord> slots) {
    if (const auto settled = settle(); !settled) return settled;
    if (slots.empty()) return Done{};
    report_.received += slots.size();
    writing_ = archive_.ask([device = report_.device, boot = boot_,
                             slots = std::move(slots)](Archive& archive) -> Result<AddCounts> {
        const auto counts = archive.add(device, slots);
        if (!counts) return counts;
        for (const SequenceRange& run : bad_runs(slots)) {
            const auto noted = archive.put_known_bad(device, boot, run, BadHow::torn, now());
            if (!noted) return noted.error();
        }
        return counts;
    });
    return Done{};
}

/// Waits until what was handed over is on the disk.
Result<Done> Collector::settle() {
    if (!writing_) return Done{};
    const auto counts = writing_->get();
    writing_.reset();
    if (!counts) return counts.error();
    report_.added += counts->added;
    report_.already_held += counts->already_held;
    report_.bad += counts->bad;
    return Done{};
}

/// How many of these slots the logger, recording on, has overwritten before they were read. It must
/// be some of them: nothing else excuses it for not sending what it said it has.
Result<std::uint32_t> Collector::overwritten(Logger& logger, SequenceRange range) {
    const auto status = logger.status();
    if (!status) return status.error();
    if (!wire::sequence_before(range.first, status->tail_sequence))
        return Error{ErrorCode::failed,
                     "the logger does not send all the records that it said it has", logger.name(),
                     "Collect again; what has arrived is kept."};
    const std::uint32_t lost = std::min(status->tail_sequence - range.first, range.count);
    const auto noted =
        archive_
            .ask([&](Archive& archive) {
                return archive.put_known_bad(report_.device, status->boot, {range.first, lost},
                                             BadHow::overwritten, now());
            })
            .get();
    if (!noted) return noted.error();
    return lost;
}

} // namespace quaycell

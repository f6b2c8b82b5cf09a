#include "collect/collector.h"

#include "collect/bad_runs.h"
#include "collect/same_logger.h"
#include "link/steady_logger.h"

#include <algorithm>
#include <chrono>
#include <fmt/format.h>

namespace quaycell {

namespace {

/// Slots to one commit: a few seconds of line, and a handful of disk writes.
constexpr std::uint32_t slots_per_commit = 1024;

/// One sector: 0.4 s of line, where it has to be seen whose log this is.
constexpr std::uint32_t slots_to_compare = wire::slots_per_sector;

Instant now() {
    return std::chrono::floor<Milliseconds>(std::chrono::system_clock::now());
}

std::uint64_t slots_in(const std::vector<SequenceRange>& ranges) {
    std::uint64_t count = 0;
    for (const SequenceRange& range : ranges)
        count += range.count;
    return count;
}

/// How many numbers, from `tail` on, are in both.
std::uint32_t in_common(const SequenceRange& a, const SequenceRange& b, std::uint32_t tail) {
    if (wire::sequence_before(a.first, tail) || wire::sequence_before(b.first, tail)) return 0;
    const std::uint32_t first = std::max(a.first - tail, b.first - tail);
    const std::uint32_t end = std::min(a.first - tail + a.count, b.first - tail + b.count);
    return first < end ? end - first : 0;
}

/// The newest number that is neither missing nor known bad; both are in order.
std::optional<std::uint32_t> newest_held(std::vector<SequenceRange> missing,
                                         std::vector<SequenceRange> bad, std::uint32_t tail,
                                         std::uint32_t end) {
    const auto strip = [&end](std::vector<SequenceRange>& ranges) {
        if (ranges.empty() || ranges.back().first + ranges.back().count != end) return false;
        end = ranges.back().first;
        ranges.pop_back();
        return true;
    };
    while (strip(missing) || strip(bad)) {
    }
    if (end == tail) return std::nullopt;
    return end - 1;
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
    for (;;) {
        boot_ = status->boot;
        const auto ranges = wanted(logger, *status);
        if (!ranges) return ranges.error();
        if (const auto stored = store_identity(logger); !stored) return stored;
        const auto brought = bring(logger, *status, *ranges);
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
    return archive_
        .ask([&](Archive& archive) -> Result<Done> {
            if (const auto told = tell_gaps(archive, status); !told) return told;
            return archive.put_collection({now(), report_.device, status.tail_sequence,
                                           status.next_sequence, report_.added, report_.bad,
                                           QUAYCELL_VERSION});
        })
        .get();
}

Result<Done> Collector::tell_gaps(Archive& archive, const wire::StatusReply& status) {
    const std::uint32_t tail = status.tail_sequence;
    const auto gaps = archive.known_bad(report_.device, tail, status.next_sequence);
    if (!gaps) return gaps.error();
    report_.gaps = *gaps;
    const auto worn = archive.passed_over(report_.device, tail, status.next_sequence);
    if (!worn) return worn.error();
    report_.worn_sectors = worn->sectors;
    // Of the slots that came without a record these hold none on purpose.
    for (const SequenceRange& range : worn->numbers)
        for (const SequenceRange& slots : received_)
            report_.bad -= in_common(range, slots, tail);
    return Done{};
}

Result<Done> Collector::store_identity(Logger& logger) {
    const auto circuit = logger.circuit();
    if (!circuit) return circuit.error();
    const auto calibration = logger.calibration();
    if (!calibration) return calibration.error();
    const auto store = [&](Archive& archive) -> Result<Done> {
        if (*calibration && !known_log_) {
            const auto same =
                check_same_calibration(archive, report_.device, **calibration, logger.name());
            if (!same) return same;
        }
        if (const auto put = archive.put_logger(logger.hello(), *circuit, now()); !put) return put;
        if (!*calibration) return Done{};
        return archive.put_calibration(report_.device, **calibration, now());
    };
    return archive_.ask(store).get();
}

Result<Done> Collector::bring(Logger& logger, const wire::StatusReply& status,
                              const std::vector<SequenceRange>& ranges) {
    if (total_ == 0) {
        const auto without_record =
            archive_
                .ask([&](Archive& archive) -> Result<std::uint64_t> {
                    const auto bad = archive.known_bad(report_.device, status.tail_sequence,
                                                       status.next_sequence);
                    if (!bad) return bad.error();
                    const auto spent =
                        archive.spent(report_.device, status.tail_sequence, status.next_sequence);
                    if (!spent) return spent.error();
                    return slots_in(*bad) + slots_in(*spent);
                })
                .get();
        if (!without_record) return without_record.error();
        report_.already_held =
            status.next_sequence - status.tail_sequence - slots_in(ranges) - *without_record;
    }
    total_ = done_ + slots_in(ranges);
    const auto begun =
        archive_
            .ask([&](Archive& archive) {
                return archive.put_collection_begun(report_.device, status.tail_sequence,
                                                    status.next_sequence, now());
            })
            .get();
    if (!begun) return begun;
    for (const SequenceRange& range : ranges) {
        const auto fetched = fetch(logger, range);
        if (fetched) continue;
        // Whoever asks next finds the logger at once; one that is lost goes back by itself.
        if (!is_loss(fetched.error())) (void)logger.lower_speed();
        return fetched;
    }
    return logger.lower_speed();
}

/// What to ask the logger for. Error besides those of the line and the archive: refused, for
/// another logger with the same number.
Result<std::vector<SequenceRange>> Collector::wanted(Logger& logger,
                                                     const wire::StatusReply& status) {
    const std::uint32_t tail = status.tail_sequence;
    const std::uint32_t next = status.next_sequence;
    if (tail == next) return std::vector<SequenceRange>{};
    struct Known {
        std::vector<SequenceRange> missing;
        std::vector<SequenceRange> bad;
    };
    const auto known = archive_
                           .ask([&](Archive& archive) -> Result<Known> {
                               const auto missing = archive.missing(report_.device, tail, next);
                               if (!missing) return missing.error();
                               const auto bad = archive.known_bad(report_.device, tail, next);
                               if (!bad) return bad.error();
                               return Known{*missing, *bad};
                           })
                           .get();
    if (!known) return known.error();
    const auto newest = newest_held(known->missing, known->bad, tail, next);
    if (newest) {
        const auto same_log = holds_this_log(logger, *newest, tail);
        if (!same_log) return same_log.error();
        if (*same_log) {
            known_log_ = true;
            return known->missing;
        }
    }
    if (const auto same = check_ends(logger, status); !same) return same.error();
    if (!newest) return known->missing;
    // A memory that was replaced counts from the beginning: what is held under these numbers, or
    // known bad, is of the one before.
    return std::vector{SequenceRange{tail, next - tail}};
}

/// Whether the numbers that are held mean the records that the logger has under them, by the newest
/// of them; where that does not tell, by those just before it.
Result<bool> Collector::holds_this_log(Logger& logger, std::uint32_t newest_held,
                                       std::uint32_t tail) {
    bool same = false;
    const auto compare = [&](std::uint32_t sequence, const RecordBytes& bytes) -> Result<Done> {
        const auto held =
            archive_.ask([&](Archive& archive) { return archive.record(report_.device, sequence); })
                .get();
        if (!held) return held.error();
        same |= *held == bytes;
        return Done{};
    };
    if (const auto read = logger.read(newest_held, 1, compare); !read) return read.error();
    if (same) return true;
    const std::uint32_t before = std::min(newest_held - tail, slots_to_compare);
    if (const auto read = logger.read(newest_held - before, before, compare); !read)
        return read.error();
    return same;
}

/// Looks at the beginning of a log of which no record is known to be held.
Result<Done> Collector::check_ends(Logger& logger, const wire::StatusReply& status) {
    const auto held =
        archive_.ask([&](Archive& archive) { return archive.boots(report_.device); }).get();
    if (!held) return held.error();
    if (held->empty()) return Done{};
    std::vector<SequencedRecord> oldest;
    const auto take = [&](std::uint32_t sequence, const RecordBytes& bytes) -> Result<Done> {
        oldest.push_back({sequence, bytes});
        return Done{};
    };
    const std::uint32_t tail = status.tail_sequence;
    const std::uint32_t next = status.next_sequence;
    const auto read = logger.read(tail, std::min(next - tail, slots_to_compare), take);
    if (!read && read.error().code != ErrorCode::refused) return read; // overwritten meanwhile
    const LogEnds ends = ends_by(oldest, report_.device, status.boot, tail, next);
    return archive_
        .ask([&](Archive& archive) { return check_same_logger(archive, ends, logger.name()); })
        .get();
}

Result<Done> Collector::fetch(Logger& logger, SequenceRange range) {
    while (range.count > 0) {
        const SequenceRange block{range.first, std::min(range.count, slots_per_commit)};
        // For less, agreeing on a speed may take as long as it saves.
        const bool worth_it = block.count == slots_per_commit;
        if (worth_it) {
            if (const auto raised = logger.raise_speed(); !raised) return raised;
        }
        auto got = fetch_block(logger, block);
        if (!got) return got.error();
        if (worth_it) report_.baud = wire::baud_of(logger.speed());
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
    if (looked) received_.push_back({block.first, count});
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
        for (const BadRun& run : bad_runs(slots)) {
            const auto noted = archive.put_known_bad(device, boot, run.numbers, run.how, now());
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

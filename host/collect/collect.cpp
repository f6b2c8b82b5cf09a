#include "collect/collect.h"

#include <algorithm>
#include <chrono>

namespace quaycell {

namespace {

/// Slots to one commit: a few seconds of line, and a handful of disk writes.
constexpr std::uint32_t slots_per_commit = 1024;

class Collector {
  public:
    Collector(Logger& logger, Archive& archive, const Progress& progress)
        : logger_(logger), archive_(archive), progress_(progress) {
        report_.device = logger.hello().device_id;
    }

    Result<CollectReport> run();

  private:
    Result<Done> store_identity();
    Result<std::vector<SequenceRange>> wanted(const wire::StatusReply& status);
    Result<bool> holds_this_log(const std::vector<SequenceRange>& missing,
                                const wire::StatusReply& status);
    Result<Done> fetch(SequenceRange range);
    Result<std::uint32_t> fetch_block(SequenceRange block);
    Result<std::uint32_t> overwritten(SequenceRange range);
    void add_gap(SequenceRange gap);

    Logger& logger_;
    Archive& archive_;
    const Progress& progress_;
    CollectReport report_;
    std::uint64_t done_ = 0;
    std::uint64_t total_ = 0;
};

Instant now() {
    return std::chrono::floor<Milliseconds>(std::chrono::system_clock::now());
}

Result<CollectReport> Collector::run() {
    if (const auto stored = store_identity(); !stored) return stored.error();
    const auto status = logger_.status();
    if (!status) return status.error();
    const auto ranges = wanted(*status);
    if (!ranges) return ranges.error();
    for (const SequenceRange& range : *ranges)
        total_ += range.count;
    report_.already_held = status->next_sequence - status->tail_sequence - total_;
    for (const SequenceRange& range : *ranges) {
        if (const auto fetched = fetch(range); !fetched) return fetched.error();
    }
    const auto noted = archive_.put_collection({now(), report_.device, status->tail_sequence,
                                                status->next_sequence, report_.added, report_.bad,
                                                QUAYCELL_VERSION});
    if (!noted) return noted.error();
    report_.rejects = logger_.rejects();
    return report_;
}

Result<Done> Collector::store_identity() {
    const auto circuit = logger_.circuit();
    if (!circuit) return circuit.error();
    const auto calibration = logger_.calibration();
    if (!calibration) return calibration.error();
    if (const auto put = archive_.put_logger(logger_.hello(), *circuit, now()); !put) return put;
    if (!*calibration) return Done{};
    return archive_.put_calibration(report_.device, **calibration, now());
}

Result<std::vector<SequenceRange>> Collector::wanted(const wire::StatusReply& status) {
    const std::uint32_t tail = status.tail_sequence;
    const std::uint32_t next = status.next_sequence;
    auto missing = archive_.missing(report_.device, tail, next);
    if (!missing) return missing;
    const auto same_log = holds_this_log(*missing, status);
    if (!same_log) return same_log.error();
    if (!*same_log) return std::vector{SequenceRange{tail, next - tail}};
    return missing;
}

/// Whether the numbers that are held mean the records that the logger has under them, by the newest
/// of them: a logger whose memory was replaced counts from the beginning again.
Result<bool> Collector::holds_this_log(const std::vector<SequenceRange>& missing,
                                       const wire::StatusReply& status) {
    std::uint32_t end = status.next_sequence;
    if (!missing.empty() && missing.back().first + missing.back().count == end)
        end = missing.back().first;
    if (end == status.tail_sequence) return true;
    const std::uint32_t newest = end - 1;
    const auto held = archive_.record(report_.device, newest);
    if (!held) return held.error();
    bool same = false;
    const auto read = logger_.read(newest, 1, [&](std::uint32_t, const RecordBytes& bytes) {
        same = *held == bytes;
        return Result<Done>(Done{});
    });
    if (!read) return read.error();
    return same;
}

Result<Done> Collector::fetch(SequenceRange range) {
    while (range.count > 0) {
        const SequenceRange block{range.first, std::min(range.count, slots_per_commit)};
        auto got = fetch_block(block);
        if (!got) return got.error();
        if (*got < block.count) {
            const auto lost = overwritten({block.first + *got, range.count - *got});
            if (!lost) return lost.error();
            *got += *lost;
        }
        range.first += *got;
        range.count -= *got;
    }
    return Done{};
}

/// Brings the archive a block and returns how many of its slots came.
Result<std::uint32_t> Collector::fetch_block(SequenceRange block) {
    std::vector<SequencedRecord> slots;
    slots.reserve(block.count);
    const auto read = logger_.read(block.first, block.count,
                                   [&](std::uint32_t sequence, const RecordBytes& bytes) {
                                       slots.push_back({sequence, bytes});
                                       if (progress_) progress_(++done_, total_);
                                       return Result<Done>(Done{});
                                   });
    // What came before the line broke is good all the same.
    const auto counts = archive_.add(report_.device, slots);
    if (!counts) return counts.error();
    report_.received += slots.size();
    report_.added += counts->added;
    report_.already_held += counts->already_held;
    report_.bad += counts->bad;
    for (const SequencedRecord& slot : slots) {
        if (!is_good(slot)) add_gap({slot.sequence, 1});
    }
    if (!read && read.error().code != ErrorCode::refused) return read.error();
    return static_cast<std::uint32_t>(slots.size());
}

/// How many of these slots the logger, recording on, has overwritten before they were read. It must
/// be some of them: nothing else excuses it for not sending what it said it has.
Result<std::uint32_t> Collector::overwritten(SequenceRange range) {
    const auto status = logger_.status();
    if (!status) return status.error();
    if (!wire::sequence_before(range.first, status->tail_sequence))
        return Error{ErrorCode::failed,
                     "the logger does not send all the records that it said it has", logger_.name(),
                     "Collect again; what has arrived is kept."};
    const std::uint32_t lost = std::min(status->tail_sequence - range.first, range.count);
    add_gap({range.first, lost});
    return lost;
}

void Collector::add_gap(SequenceRange gap) {
    if (!report_.gaps.empty() && report_.gaps.back().first + report_.gaps.back().count == gap.first)
        report_.gaps.back().count += gap.count;
    else
        report_.gaps.push_back(gap);
}

} // namespace

Result<CollectReport> collect(Logger& logger, Archive& archive, const Progress& progress) {
    return Collector(logger, archive, progress).run();
}

} // namespace quaycell

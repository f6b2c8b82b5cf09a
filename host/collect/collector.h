// The state of one collection, which outlives the line to the logger.
#pragma once

#include "collect/collect.h"

#include <future>
#include <optional>

namespace quaycell {

class Collector {
  public:
    Collector(ArchiveWriter& archive, const Progress& progress, std::function<bool()> stop)
        : archive_(archive), progress_(progress), stop_(std::move(stop)) {}

    /// Brings what is missing to the archive. After an error of the line it may be called again,
    /// with the logger found again, and goes on.
    Result<Done> run(Logger& logger);

    /// What all the runs came to, but for the rejects.
    const CollectReport& report() const { return report_; }

  private:
    Result<Done> store_identity(Logger& logger);
    Result<Done> bring(Logger& logger, const wire::StatusReply& status,
                       const std::vector<SequenceRange>& ranges);
    Result<std::vector<SequenceRange>> wanted(Logger& logger, const wire::StatusReply& status);
    Result<bool> holds_this_log(Logger& logger, std::uint32_t newest_held, std::uint32_t tail);
    Result<Done> check_ends(Logger& logger, const wire::StatusReply& status);
    Result<Done> fetch(Logger& logger, SequenceRange range);
    Result<std::uint32_t> fetch_block(Logger& logger, SequenceRange block);
    Result<Done> look_again(Logger& logger, std::vector<SequencedRecord>& slots);
    Result<std::uint32_t> overwritten(Logger& logger, SequenceRange range);
    Result<Done> hand_over(std::vector<SequencedRecord> slots);
    Result<Done> settle();
    Result<Done> tell_gaps(Archive& archive, const wire::StatusReply& status);
    Result<Done> conclude(const wire::StatusReply& status);

    ArchiveWriter& archive_;
    const Progress& progress_;
    std::function<bool()> stop_;
    CollectReport report_;
    bool known_log_ = false;                                ///< a record of the logger is held
    std::vector<SequenceRange> received_;                   ///< slots
    std::optional<std::future<Result<AddCounts>>> writing_; ///< the block handed over last
    std::uint16_t boot_ = 0;                                ///< of the logger now
    std::uint64_t done_ = 0;
    std::uint64_t total_ = 0;
};

} // namespace quaycell

// What the records of a deployment tell, taken one after another and kept packed: a few bytes a
// reading, however long it lasts.
#pragma once

#include "base/record_bytes.h"
#include "series/lead_looks.h"
#include "series/packed_readings.h"
#include "series/record_times.h"

namespace quaycell {

class Recording {
  public:
    /// Whole ones, one behind another, in order of boot and sequence. What comes twice is passed
    /// over.
    void add(std::span<const std::uint8_t> records);

    /// To be called once all are added, before readings().
    void finish();

    /// As decode() says.
    Result<Readings> readings(const LoggerFacts& facts, std::span<const SequenceRange> spent) const;

    /// Of its records, as far as they are added.
    const RecordTimes& times() const { return times_; }

  private:
    /// Something that a record tells, whose time is not known before all are read.
    struct Noted {
        std::size_t record;
        wire::RecordHead head;
        EventKind kind;
        std::string why;
        SequenceRange missing{}; ///< of a gap: the numbers after that record that did not come
    };

    void add_one(const std::uint8_t* record);
    std::size_t readings_that_go_on(std::span<const std::uint8_t> records) const;
    void take(const std::uint8_t* record);
    void take_readings(const std::uint8_t* first, std::size_t count);
    void take_check(const wire::Check& check);
    void take_stop(const wire::Stop& stop);
    void note_missing(std::uint32_t found);
    void settle_rows(const std::vector<ClockStretch>& stretches, const LeadFindings& leads,
                     const Conversion& conversion, Readings& readings) const;

    std::shared_ptr<PackedReadings> packed_ = std::make_shared<PackedReadings>();
    RecordTimes times_;
    std::vector<Noted> noted_;
    std::optional<std::size_t> paused_; ///< the stop among those that no reading has followed
    bool has_ended_ = false;
    std::uint8_t clock_flags_ = 0; ///< of the record before
    RecordBytes last_{};
    std::size_t count_ = 0; ///< of whole records
    std::size_t rows_ = 0;
};

} // namespace quaycell

// When each record of a deployment was written.
#pragma once

#include "base/record_bytes.h"
#include "base/result.h"
#include "base/time.h"

#include <vector>

namespace quaycell {

struct RecordTime {
    Instant time;
    bool doubtful = false;
};

/// Records that count their seconds from the same instant.
struct ClockStretch {
    std::size_t first;         ///< its first record
    std::size_t first_reading; ///< how many readings came before that record
    Instant at_zero;           ///< when the count of seconds was zero
    bool doubtful;             ///< nobody knew, or it was moved by more than a second

    /// One of its records. By the second that its ticks name: that of a reading is when it was due,
    /// which may be a little before the record ahead of it.
    RecordTime time_of(const wire::RecordHead& head) const;
};

/// The stretch that a record lies in, of those of all records, in order.
const ClockStretch& stretch_of(const std::vector<ClockStretch>& stretches, std::size_t record);

/// Looks at records one after another and keeps only what their times hang on.
class RecordTimes {
  public:
    /// All must be whole, in order of boot and sequence.
    void add(const std::uint8_t* record);

    /// So many readings at once, of the same boot as the record before, up to these ticks.
    void add_readings(std::size_t count, std::uint32_t last_ticks_s);

    /// Once all are added: at least one stretch, in order. An error when no record knows the time.
    Result<std::vector<ClockStretch>> stretches() const;

  private:
    /// An instant that is known on the count of seconds since a restart.
    struct Anchor {
        std::size_t record;
        std::size_t reading;
        Instant at_zero;          ///< when the count was zero
        bool is_setting = false;  ///< of the clock; else a reading of it
        Milliseconds moved_by{0}; ///< because of a later setting; never forward
    };

    /// A run of records written between two restarts.
    struct Boot {
        std::uint16_t number;
        std::size_t first;
        std::size_t first_reading;
        std::chrono::seconds first_ticks;
        std::chrono::seconds last_ticks;
        std::vector<Anchor> anchors;
    };

    void look_for_time(const std::uint8_t* record);
    static void follow_settings_back(std::vector<Boot>& boots);
    static void place_undated(std::vector<Boot>& boots);

    std::vector<Boot> boots_;
    std::size_t count_ = 0;
    std::size_t readings_ = 0;
};

} // namespace quaycell

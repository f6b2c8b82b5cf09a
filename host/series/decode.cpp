#include "series/decode.h"

#include "series/conversion.h"
#include "series/lead_looks.h"
#include "series/record_times.h"
#include "series/record_words.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

using wire::RecordKind;

RecordKind kind_of(const RecordBytes& bytes) {
    return static_cast<RecordKind>(bytes[0]);
}

std::uint32_t sequence_of(const RecordBytes& bytes) {
    return wire::from_bytes<wire::RecordHead>(bytes.data()).sequence;
}

void drop_if_all_missing(std::vector<double>& column) {
    const auto is_missing = [](double value) { return std::isnan(value); };
    if (std::all_of(column.begin(), column.end(), is_missing)) column.clear();
}

/// The earliest check: what is best known until the next.
ConverterState first_state(std::span<const RecordBytes> records, const Conversion& conversion) {
    for (const RecordBytes& record : records) {
        if (kind_of(record) != RecordKind::check) continue;
        if (const auto state = state_of(wire::from_bytes<wire::Check>(record.data())))
            return *state;
    }
    return conversion.state_then();
}

class Decoder {
  public:
    Decoder(std::vector<RecordBytes> records, std::vector<RecordTime> times,
            const LoggerFacts& facts, std::span<const SequenceRange> spent)
        : records_(std::move(records)), times_(std::move(times)), spent_(spent), conversion_(facts),
          circuit_(facts.circuit), converter_(first_state(records_, conversion_)) {
        trace_.name = fmt::format("logger {:08x}", facts.device_id);
        trace_.calibration = calibration_of(facts);
    }

    Trace run() {
        for (std::size_t i = 0; i < records_.size(); ++i) {
            if (i > 0) note_missing(i);
            note_clock_trouble(i);
            take(i);
            if (is_stop(i) && !goes_on_after(i)) break;
        }
        lay_looks_over(trace_, looks_, circuit_);
        std::stable_sort(trace_.events.begin(), trace_.events.end(),
                         [](const Event& a, const Event& b) { return a.time < b.time; });
        drop_if_all_missing(trace_.cell_b_mv);
        drop_if_all_missing(trace_.ac_mv);
        drop_if_all_missing(trace_.source_ohm);
        drop_if_all_missing(trace_.temperature_c);
        drop_if_all_missing(trace_.battery_mv);
        return std::move(trace_);
    }

  private:
    /// A gap event where sequence numbers are missing between a record and the one before it.
    void note_missing(std::size_t i) {
        const std::uint32_t expected = sequence_of(records_[i - 1]) + 1;
        const std::uint32_t found = sequence_of(records_[i]);
        if (!wire::sequence_before(expected, found)) return;
        const std::uint32_t count = found - expected - spent_between(expected, found);
        if (count == 0) return;
        trace_.events.push_back(
            {times_[i - 1].time, EventKind::gap, missing_value,
             fmt::format("{} record{} torn or lost", count, count == 1 ? "" : "s")});
    }

    /// How many of the numbers from `first` to before `end` the logger gave to no record.
    std::uint32_t spent_between(std::uint32_t first, std::uint32_t end) const {
        std::uint32_t count = 0;
        for (const SequenceRange& range : spent_)
            for (std::uint32_t s = range.first; s != range.first + range.count; ++s)
                if (s - first < end - first) ++count;
        return count;
    }

    bool is_stop(std::size_t i) const { return kind_of(records_[i]) == RecordKind::stop; }

    /// Low cells only pause a deployment. What any other stopped logger notes until it is armed
    /// again says nothing about the trace.
    bool goes_on_after(std::size_t i) const {
        const auto stop = wire::from_bytes<wire::Stop>(records_[i].data());
        if (stop.reason != static_cast<std::uint8_t>(wire::StopReason::battery_low)) return false;
        const auto is_reading = [](const RecordBytes& bytes) {
            return kind_of(bytes) == RecordKind::reading;
        };
        return std::any_of(records_.begin() + static_cast<std::ptrdiff_t>(i), records_.end(),
                           is_reading);
    }

    /// An event where the clock chip began to be of no use.
    void note_clock_trouble(std::size_t i) {
        const std::uint8_t flags =
            wire::from_bytes<wire::RecordHead>(records_[i].data()).time_flags;
        const auto begun = static_cast<std::uint8_t>(flags & ~clock_flags_);
        clock_flags_ = flags;
        std::string why = clock_trouble_words(begun);
        if (why.empty()) return;
        trace_.events.push_back(
            {times_[i].time, EventKind::clock_set, missing_value, std::move(why)});
    }

    void take(std::size_t i) {
        const std::uint8_t* bytes = records_[i].data();
        const auto note = [this, i](EventKind kind, std::string why) {
            trace_.events.push_back({times_[i].time, kind, missing_value, std::move(why)});
        };
        switch (kind_of(records_[i])) {
        case RecordKind::reading:
            take_reading(i, wire::from_bytes<wire::Reading>(bytes));
            break;
        case RecordKind::check:
            converter_ = state_of(wire::from_bytes<wire::Check>(bytes)).value_or(converter_);
            break;
        case RecordKind::boot:
            note(EventKind::restart, reset_words(wire::from_bytes<wire::Boot>(bytes).reset_cause));
            break;
        case RecordKind::clock_set:
            note(EventKind::clock_set, clock_words(wire::from_bytes<wire::ClockSet>(bytes)));
            break;
        case RecordKind::stop: {
            std::string why = stop_words(wire::from_bytes<wire::Stop>(bytes));
            if (goes_on_after(i))
                note(EventKind::gap, std::move(why));
            else
                trace_.ended = {times_[i].time, std::move(why)};
            break;
        }
        case RecordKind::sector_header:
        case RecordKind::arm:
            break;
        }
    }

    void take_reading(std::size_t i, const wire::Reading& reading) {
        RecordTime time = times_[i];
        if (!trace_.time.empty() && time.time <= trace_.time.back())
            time = {trace_.time.back() + Milliseconds{1}, true}; // see decode()
        trace_.time.push_back(time.time);
        trace_.sequence.push_back(reading.head.sequence);
        trace_.potential_mv.push_back(conversion_.cell_a_mv(reading, converter_));
        trace_.cell_b_mv.push_back(conversion_.cell_b_mv(reading, converter_));
        looks_.push_back({reading.source_a, reading.source_b});
        trace_.ac_mv.push_back(conversion_.ac_mv(reading, source_ohm_));
        if (reading.source_a != wire::missing_byte)
            source_ohm_ = source_ohm(reading.source_a, circuit_);
        trace_.temperature_c.push_back(conversion_.temperature_c(reading));
        trace_.battery_mv.push_back(conversion_.battery_mv(reading));
        trace_.quality.push_back(conversion_.quality(reading) |
                                 (time.doubtful ? Quality::clock_doubtful : Quality::good));
    }

    std::vector<RecordBytes> records_;
    std::vector<RecordTime> times_;
    std::span<const SequenceRange> spent_;
    Conversion conversion_;
    wire::Circuit circuit_;
    ConverterState converter_;
    double source_ohm_ = missing_value; ///< as last found
    std::uint8_t clock_flags_ = 0;      ///< of the record before
    std::vector<LeadLook> looks_;
    Trace trace_;
};

} // namespace

std::optional<LoggerCalibration> calibration_of(const LoggerFacts& facts) {
    const auto& held = facts.calibration;
    if (!held || (held->flags & wire::calibration_valid) == 0) return std::nullopt;
    return LoggerCalibration{
        {(held->flags & wire::calibration_two_temperatures) != 0, held->uncertainty_uv / 1000.0},
        from_unix_s(held->unix_s),
        from_unix_s(held->due_unix_s)};
}

Result<Trace> decode(std::span<const RecordBytes> records, const LoggerFacts& facts,
                     std::span<const SequenceRange> spent) {
    std::vector<RecordBytes> whole = whole_records(records);
    if (whole.empty())
        return Error{ErrorCode::wrong_input, "no whole record among those given", "",
                     "Collect the logger again; what it holds stays in it until it is armed."};
    Result<std::vector<RecordTime>> times = times_of(whole);
    if (!times) return times.error();
    return Decoder(std::move(whole), std::move(*times), facts, spent).run();
}

} // namespace quaycell

#include "series/recording.h"

#include "series/record_words.h"

#include <algorithm>
#include <cstddef>
#include <cstring>
#include <fmt/format.h>

namespace quaycell {

namespace {

using wire::RecordKind;

/// Above the flags of a reading, those of its time.
constexpr unsigned time_flags_from = 16;

/// One field of readings that lie one behind another, by the place of the reading.
template <typename Field>
auto field_of(const std::uint8_t* first, std::size_t at) {
    return [first, at](std::size_t i) -> std::int64_t {
        Field value;
        std::memcpy(&value, first + i * wire::record_size + at, sizeof value);
        return value;
    };
}

/// How many of the numbers the logger gave to no record.
std::uint32_t spent_of(SequenceRange numbers, std::span<const SequenceRange> spent) {
    std::uint32_t count = 0;
    for (const SequenceRange& range : spent)
        for (std::uint32_t s = range.first; s != range.first + range.count; ++s)
            if (s - numbers.first < numbers.count) ++count;
    return count;
}

std::shared_ptr<const PackedColumn> finished(PackedColumn&& column) {
    column.finish();
    return std::make_shared<const PackedColumn>(std::move(column));
}

} // namespace

void Recording::add(std::span<const std::uint8_t> records) {
    while (!records.empty()) {
        const std::size_t count = readings_that_go_on(records);
        if (count == 0) {
            add_one(records.data());
            records = records.subspan(wire::record_size);
            continue;
        }
        const std::uint8_t* const last = records.data() + (count - 1) * wire::record_size;
        times_.add_readings(count, wire::from_bytes<wire::RecordHead>(last).ticks_s);
        take_readings(records.data(), count);
        std::copy_n(last, wire::record_size, last_.begin());
        count_ += count;
        records = records.subspan(count * wire::record_size);
    }
}

/// How many of the records, from the first on, are readings that tell nothing besides what was
/// measured: number after number, no restart, the clock as good as before.
std::size_t Recording::readings_that_go_on(std::span<const std::uint8_t> records) const {
    if (count_ == 0 || has_ended_) return 0;
    const auto before = wire::from_bytes<wire::RecordHead>(last_.data());
    std::uint32_t expected = before.sequence;
    std::size_t count = 0;
    for (std::size_t at = 0; at < records.size(); at += wire::record_size, ++count) {
        const auto head = wire::from_bytes<wire::RecordHead>(records.data() + at);
        if (head.kind != static_cast<std::uint8_t>(RecordKind::reading) ||
            head.time_flags != clock_flags_ || head.boot != before.boot ||
            head.sequence != ++expected)
            break;
    }
    return count;
}

void Recording::add_one(const std::uint8_t* record) {
    if (count_ != 0 && std::memcmp(last_.data(), record, last_.size()) == 0) return;
    times_.add(record);
    // What a stopped logger notes until it is armed again says nothing about the trace.
    if (!has_ended_) take(record);
    std::copy_n(record, wire::record_size, last_.begin());
    ++count_;
}

void Recording::take(const std::uint8_t* record) {
    const auto head = wire::from_bytes<wire::RecordHead>(record);
    if (count_ != 0) note_missing(head.sequence);
    const auto note = [&](EventKind kind, std::string why) {
        noted_.push_back({count_, head, kind, std::move(why), {}});
    };
    if (head.time_flags != clock_flags_) {
        // Where the clock chip began to be of no use.
        const auto begun = static_cast<std::uint8_t>(head.time_flags & ~clock_flags_);
        clock_flags_ = head.time_flags;
        if (std::string why = clock_trouble_words(begun); !why.empty())
            note(EventKind::clock_set, std::move(why));
    }
    switch (static_cast<RecordKind>(head.kind)) {
    case RecordKind::reading:
        take_readings(record, 1);
        break;
    case RecordKind::check:
        take_check(wire::from_bytes<wire::Check>(record));
        break;
    case RecordKind::boot:
        note(EventKind::restart, reset_words(wire::from_bytes<wire::Boot>(record).reset_cause));
        break;
    case RecordKind::clock_set:
        note(EventKind::clock_set, clock_words(wire::from_bytes<wire::ClockSet>(record)));
        break;
    case RecordKind::stop:
        take_stop(wire::from_bytes<wire::Stop>(record));
        break;
    case RecordKind::sector_header:
    case RecordKind::arm:
        break;
    }
}

/// Low cells only pause a deployment, if a reading follows: until then it may have been its end.
void Recording::take_stop(const wire::Stop& stop) {
    const bool pauses = stop.reason == static_cast<std::uint8_t>(wire::StopReason::battery_low);
    has_ended_ = !pauses;
    if (paused_) return; // it has ended already where nothing was read in between
    paused_ = noted_.size();
    noted_.push_back({count_, stop.head, EventKind::gap, stop_words(stop), {}});
}

/// Field by field: a reading at a time would go to nine columns and back.
void Recording::take_readings(const std::uint8_t* first, std::size_t count) {
    using wire::Reading, wire::RecordHead;
    constexpr auto head = offsetof(Reading, head);
    paused_.reset();
    PackedReadings& packed = *packed_;
    const auto time_flags = field_of<std::uint8_t>(first, head + offsetof(RecordHead, time_flags));
    const auto flags = field_of<std::uint16_t>(first, offsetof(Reading, flags));
    packed.flags.add(count,
                     [&](std::size_t i) { return flags(i) | time_flags(i) << time_flags_from; });
    packed.ticks_s.add(count, field_of<std::uint32_t>(first, head + offsetof(RecordHead, ticks_s)));
    packed.sequence.add(count,
                        field_of<std::uint32_t>(first, head + offsetof(RecordHead, sequence)));
    packed.cell_a.add(count, field_of<std::int16_t>(first, offsetof(Reading, cell_a)));
    packed.cell_b.add(count, field_of<std::int16_t>(first, offsetof(Reading, cell_b)));
    packed.ac.add(count, field_of<std::uint16_t>(first, offsetof(Reading, ac_a)));
    packed.water.add(count, field_of<std::uint16_t>(first, offsetof(Reading, water)));
    packed.battery.add(count, field_of<std::uint16_t>(first, offsetof(Reading, battery)));
    packed.board.add(count, field_of<std::int16_t>(first, offsetof(Reading, board)));
    const auto source_a = field_of<std::uint8_t>(first, offsetof(Reading, source_a));
    const auto source_b = field_of<std::uint8_t>(first, offsetof(Reading, source_b));
    for (std::size_t i = 0; i < count; ++i)
        if (source_a(i) != wire::missing_byte || source_b(i) != wire::missing_byte)
            packed.looks.push_back({rows_ + i, static_cast<std::uint8_t>(source_a(i)),
                                    static_cast<std::uint8_t>(source_b(i))});
    rows_ += count;
}

void Recording::take_check(const wire::Check& check) {
    const auto state = state_of(check);
    if (!state) return;
    // The earliest check is what is best known of the time before it.
    packed_->converter.push_back({packed_->converter.empty() ? 0 : rows_, *state});
}

/// Where sequence numbers are missing between a record and the one before it.
void Recording::note_missing(std::uint32_t found) {
    const auto before = wire::from_bytes<wire::RecordHead>(last_.data());
    const std::uint32_t expected = before.sequence + 1;
    if (expected == found || !wire::sequence_before(expected, found)) return;
    noted_.push_back({count_ - 1, before, EventKind::gap, {}, {expected, found - expected}});
}

void Recording::finish() {
    for (PackedColumn* column :
         {&packed_->ticks_s, &packed_->flags, &packed_->sequence, &packed_->cell_a,
          &packed_->cell_b, &packed_->ac, &packed_->water, &packed_->battery, &packed_->board})
        column->finish();
}

Result<Readings> Recording::readings(const LoggerFacts& facts,
                                     std::span<const SequenceRange> spent) const {
    if (count_ == 0)
        return Error{ErrorCode::wrong_input, "no whole record among those given", "",
                     "Collect the logger again; what it holds stays in it until it is armed."};
    const auto stretches = times_.stretches();
    if (!stretches) return stretches.error();
    const LeadFindings leads = look_through(packed_->looks, facts.circuit);
    const auto codes = std::make_shared<const ReadableCodes>(packed_, facts);

    Readings readings;
    readings.name = fmt::format("logger {:08x}", facts.device_id);
    readings.calibration = calibration_of(facts);
    settle_rows(*stretches, leads, codes->conversion, readings);
    readings.potential_mv = cell_a_mv(codes);
    if (leads.has_b) readings.cell_b_mv = cell_b_mv(codes);
    readings.ac_mv = ac_mv(codes);
    readings.temperature_c = temperature_c(codes);
    readings.source_ohm = source_ohm(codes);
    readings.battery_mv = battery_mv(codes);

    const auto time_of = [&](const Noted& noted) {
        return stretch_of(*stretches, noted.record).time_of(noted.head).time;
    };
    // The last stop, without a reading after it, is the end.
    const auto told = std::span(noted_).first(paused_.value_or(noted_.size()));
    for (const Noted& noted : told) {
        std::string why = noted.why;
        if (noted.missing.count != 0) {
            const std::uint32_t count = noted.missing.count - spent_of(noted.missing, spent);
            if (count == 0) continue;
            why = fmt::format("{} record{} torn or lost", count, count == 1 ? "" : "s");
        }
        readings.events.push_back({time_of(noted), noted.kind, missing_value, std::move(why)});
    }
    if (paused_) readings.ended = {time_of(noted_[*paused_]), noted_[*paused_].why};
    for (const LeadChange& change : leads.changes)
        readings.events.push_back(
            {readings.time[change.row], change.kind, missing_value, change.why});
    std::ranges::stable_sort(readings.events, {}, &Event::time);
    return readings;
}

/// Times and what is known against each reading, which only the whole recording tells.
void Recording::settle_rows(const std::vector<ClockStretch>& stretches, const LeadFindings& leads,
                            const Conversion& conversion, Readings& readings) const {
    PackedColumn times, qualities;
    std::array<std::int64_t, column_piece> ticks_s, flags, time_ms;
    std::size_t stretch = 0, doubtful = 0;
    Instant last{};
    const Quality of_no_b =
        leads.has_b ? Quality::good
                    : Quality::cell_b_saturated | Quality::cell_b_drying | Quality::cell_b_not_good;
    // Runs of rows of which all is known alike but the time.
    for (std::size_t row = 0; row < rows_;) {
        const std::size_t at = row % column_piece;
        if (at == 0) {
            const std::size_t count = std::min(column_piece, rows_ - row);
            packed_->ticks_s.read(row, std::span(ticks_s).first(count));
            packed_->flags.read(row, std::span(flags).first(count));
        }
        std::size_t end = std::min(row - at + column_piece, rows_);
        while (stretch + 1 < stretches.size() && stretches[stretch + 1].first_reading <= row)
            ++stretch;
        if (stretch + 1 < stretches.size())
            end = std::min(end, stretches[stretch + 1].first_reading);
        while (doubtful < leads.doubtful.size() && leads.doubtful[doubtful].end <= row)
            ++doubtful;
        wire::Reading reading{};
        reading.flags = static_cast<std::uint16_t>(flags[at]);
        reading.head.time_flags = static_cast<std::uint8_t>(flags[at] >> time_flags_from);
        Quality quality = without(conversion.quality(reading), of_no_b);
        if (doubtful < leads.doubtful.size()) {
            const auto& [first, doubtful_end] = leads.doubtful[doubtful];
            if (first <= row) quality |= Quality::lead_doubtful;
            end = std::min(end, first <= row ? doubtful_end : first);
        }
        const RecordTime at_zero = stretches[stretch].time_of(reading.head);
        if (at_zero.doubtful) quality |= Quality::clock_doubtful;
        const std::size_t first = row;
        for (; row < end && flags[row - first + at] == flags[at]; ++row) {
            const std::size_t i = row - first + at;
            const Instant time = at_zero.time + std::chrono::seconds{ticks_s[i]};
            if (row != 0 && time <= last) break;
            last = time;
            time_ms[i] = last.time_since_epoch().count();
        }
        const auto bits = static_cast<std::uint16_t>(quality);
        times.add(row - first, [&](std::size_t i) { return time_ms[at + i]; });
        qualities.add(row - first, [&](std::size_t) { return std::int64_t{bits}; });
        if (row != first) continue;
        last += Milliseconds{1}; // see decode()
        times.add(last.time_since_epoch().count());
        qualities.add(static_cast<std::uint16_t>(quality | Quality::clock_doubtful));
        ++row;
    }
    readings.time = unpacked<Instant>(finished(std::move(times)),
                                      [](std::int64_t ms) { return Instant{Milliseconds{ms}}; });
    readings.quality = unpacked<Quality>(finished(std::move(qualities)), [](std::int64_t bits) {
        return static_cast<Quality>(bits);
    });
    readings.sequence = unpacked<std::uint32_t>(
        std::shared_ptr<const PackedColumn>(packed_, &packed_->sequence),
        [](std::int64_t number) { return static_cast<std::uint32_t>(number); });
}

} // namespace quaycell

#include "series/recording.h"

#include "series/record_words.h"

#include <algorithm>
#include <cstring>
#include <fmt/format.h>

namespace quaycell {

namespace {

using wire::RecordKind;

/// Above the flags of a reading, those of its time.
constexpr unsigned time_flags_from = 16;

template <typename Entry>
const Entry& stretch_of(const std::vector<Entry>& stretches, std::size_t record) {
    const auto after = std::ranges::upper_bound(stretches, record, {}, &Entry::first);
    return *(after == stretches.begin() ? after : after - 1);
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

void Recording::add(const std::uint8_t* record) {
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
        paused_.reset();
        take_reading(wire::from_bytes<wire::Reading>(record));
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

void Recording::take_reading(const wire::Reading& reading) {
    PackedReadings& packed = *packed_;
    packed.ticks_s.add(reading.head.ticks_s);
    packed.flags.add(reading.flags | unsigned{reading.head.time_flags} << time_flags_from);
    packed.sequence.add(reading.head.sequence);
    packed.cell_a.add(reading.cell_a);
    packed.cell_b.add(reading.cell_b);
    packed.ac.add(reading.ac_a);
    packed.water.add(reading.water);
    packed.battery.add(reading.battery);
    packed.board.add(reading.board);
    if (reading.source_a != wire::missing_byte || reading.source_b != wire::missing_byte)
        packed.looks.push_back({rows_, reading.source_a, reading.source_b});
    ++rows_;
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
    std::array<std::int64_t, column_piece> ticks_s, flags;
    std::size_t stretch = 0, doubtful = 0;
    std::int64_t last_flags = -1;
    Quality known = Quality::good; // of the last flags
    Instant last{};
    const Quality of_no_b =
        leads.has_b ? Quality::good
                    : Quality::cell_b_saturated | Quality::cell_b_drying | Quality::cell_b_not_good;
    for (std::size_t row = 0; row < rows_; ++row) {
        const std::size_t at = row % column_piece;
        if (at == 0) {
            const std::size_t count = std::min(column_piece, rows_ - row);
            packed_->ticks_s.read(row, std::span(ticks_s).first(count));
            packed_->flags.read(row, std::span(flags).first(count));
        }
        while (stretch + 1 < stretches.size() && stretches[stretch + 1].first_reading <= row)
            ++stretch;
        if (flags[at] != last_flags) {
            last_flags = flags[at];
            wire::Reading reading{};
            reading.flags = static_cast<std::uint16_t>(last_flags);
            known = without(conversion.quality(reading), of_no_b);
        }
        wire::RecordHead head{};
        head.ticks_s = static_cast<std::uint32_t>(ticks_s[at]);
        head.time_flags = static_cast<std::uint8_t>(last_flags >> time_flags_from);
        RecordTime time = stretches[stretch].time_of(head);
        if (row != 0 && time.time <= last) time = {last + Milliseconds{1}, true}; // see decode()
        last = time.time;
        Quality quality = known;
        if (time.doubtful) quality |= Quality::clock_doubtful;
        while (doubtful < leads.doubtful.size() && leads.doubtful[doubtful].end <= row)
            ++doubtful;
        if (doubtful < leads.doubtful.size() && leads.doubtful[doubtful].first <= row)
            quality |= Quality::lead_doubtful;
        times.add(last.time_since_epoch().count());
        qualities.add(static_cast<std::uint16_t>(quality));
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

#include "life.h"

#include "chance.h"
#include "flashlog/flash_log.h"

namespace quaycell::powerloss {

namespace {

constexpr std::uint32_t device_id = 7;
constexpr unsigned patience = 100; ///< polls
constexpr std::uint16_t interval_s = 10;

template <typename Record>
Bytes bytes_of(const Record& record) {
    Bytes bytes;
    wire::to_bytes(record, bytes.data());
    return bytes;
}

template <typename Record>
Record record_of(wire::RecordKind kind) {
    Record record = {};
    record.head.kind = static_cast<std::uint8_t>(kind);
    return record;
}

/// So that no two records have the same bits set.
void fill_with_noise(wire::Reading& reading, std::uint32_t sequence) {
    Bytes bytes = bytes_of(reading);
    for (std::size_t i = offsetof(wire::RecordHead, ticks_s); i < bytes.size(); ++i)
        bytes[i] = static_cast<std::uint8_t>(chance(sequence, bytes[0] * bytes.size() + i));
    reading = wire::from_bytes<wire::Reading>(bytes.data());
}

std::uint32_t sector_start(std::uint32_t sequence) {
    return sequence - sequence % wire::slots_per_sector;
}

} // namespace

struct Life::Log : flashlog::FlashLog<Flash> {
    using FlashLog::FlashLog;
};

Life::Life(Cells& cells, Journal& journal, Flash::Observer observer)
    : journal_(journal), flash_(cells,
                                [this, observer = std::move(observer)](const Operation& operation) {
                                    if (observer) observer(operation);
                                    journal_.issue(operation);
                                }),
      log_(std::make_unique<Log>(flash_)) {
    cells.power_up();
    log_->mount(device_id);
}

Life::~Life() = default;

void Life::perform(const Step& step) {
    using enum Step::Kind;
    switch (step.kind) {
    case boot:
        return append(wire::RecordKind::boot);
    case reading:
        return append(wire::RecordKind::reading);
    case fill:
        return fill_up();
    case arm_stop_when_full:
        return arm(wire::FullPolicy::stop_when_full);
    case arm_overwrite_oldest:
        return arm(wire::FullPolicy::overwrite_oldest);
    case stop:
        return end_recording();
    case forget:
        return forget_all();
    case restart:
        return;
    }
}

void Life::append(wire::RecordKind kind) {
    wait_ready();
    const bool was_full = log_->full();
    auto record = record_of<wire::Reading>(kind);
    fill_with_noise(record, log_->next_sequence());
    if (log_->append(record, 0)) return journal_.promise(bytes_of(record));
    if (!log_->full()) throw Failure("takes no record");
    if (!was_full) promise_last();
}

void Life::fill_up() {
    while (!log_->full())
        append(wire::RecordKind::reading);
}

void Life::arm(wire::FullPolicy policy) {
    auto record = record_of<wire::Arm>(wire::RecordKind::arm);
    record.interval_s = interval_s;
    record.policy = static_cast<std::uint8_t>(policy);
    begin_anew(record, {true, policy, interval_s, 0},
               [this, &record] { return log_->arm(record); });
}

void Life::forget_all() {
    auto record = record_of<wire::Stop>(wire::RecordKind::stop);
    record.reason = static_cast<std::uint8_t>(wire::StopReason::forgotten);
    Standing emptied = journal_.standing();
    emptied.on = false;
    begin_anew(record, emptied, [this, &record] { return log_->forget(record); });
}

template <typename Record, typename Call>
void Life::begin_anew(Record& record, Standing ordered, Call call) {
    ordered.start = sector_start(log_->next_sequence() + wire::slots_per_sector - 1);
    journal_.order_anew(ordered, log_->tail_sequence());
    wait([this] { return log_->ready_to_arm(); });
    if (!call()) throw Failure("takes no order");
    journal_.ordered();
    journal_.promise(bytes_of(record));
}

void Life::end_recording() {
    wait_ready();
    const bool was_full = log_->full();
    auto record = record_of<wire::Stop>(wire::RecordKind::stop);
    record.reason = static_cast<std::uint8_t>(wire::StopReason::asked);
    Standing stopped = journal_.standing();
    stopped.on = false;
    journal_.order(stopped);
    const bool taken = log_->stop(record);
    if (!taken && !log_->full()) throw Failure("takes no Stop record");
    journal_.ordered();
    if (taken) journal_.promise(bytes_of(record));
    if (!taken && !was_full) promise_last();
}

void Life::promise_last() {
    Bytes last;
    log_->read(log_->next_sequence() - 1, last.data());
    const auto stop = wire::from_bytes<wire::Stop>(last.data());
    if (wire::is_valid_record(last.data()) &&
        stop.head.kind == static_cast<std::uint8_t>(wire::RecordKind::stop) &&
        stop.reason == static_cast<std::uint8_t>(wire::StopReason::memory_full))
        journal_.promise(last);
}

void Life::cross_a_border() {
    const std::uint32_t border = sector_start(log_->next_sequence()) + wire::slots_per_sector;
    while (!log_->full() && wire::sequence_before(log_->next_sequence(), border + 2))
        append(wire::RecordKind::reading);
}

void Life::check() {
    wait_ready();
    journal_.hold_against(claim(), [this](std::uint32_t sequence, std::uint8_t* bytes) {
        log_->read(sequence, bytes);
    });
}

Claim Life::claim() const {
    const flashlog::Recording recording = log_->recording();
    return {{recording.on, recording.policy, recording.interval_s, 0},
            log_->tail_sequence(),
            log_->next_sequence(),
            log_->full()};
}

void Life::wait_ready() {
    wait([this] { return log_->ready(); });
}

template <typename Ready>
void Life::wait(Ready ready) {
    for (unsigned polls = 0; polls < patience; ++polls)
        if (ready()) return;
    throw Failure("never gets ready");
}

} // namespace quaycell::powerloss

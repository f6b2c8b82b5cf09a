#include "link/logger.h"

#include "link/slot_window.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <thread>

namespace quaycell {

namespace {

using wire::MessageType;

/// One request's worth: about 3 s of line, so that a request costs next to nothing and a broken
/// line is noticed soon.
constexpr std::uint32_t slots_per_request = 1024;

TimePoint now() {
    return std::chrono::steady_clock::now();
}

template <typename Struct>
std::vector<std::uint8_t> bytes_of(const Struct& value) {
    std::vector<std::uint8_t> bytes(sizeof value);
    wire::to_bytes(value, bytes.data());
    return bytes;
}

Error refused(const wire::Refusal& refusal) {
    switch (static_cast<wire::RefusalReason>(refusal.reason)) {
    case wire::RefusalReason::unknown_request:
        return {ErrorCode::refused,
                fmt::format("the logger does not know request 0x{:02X}", refusal.request), "",
                "Its firmware is older than this program. Collect its readings, then flash the "
                "firmware that belongs to this program."};
    case wire::RefusalReason::bad_argument:
        return {ErrorCode::refused, "the logger does not accept a value it was sent", "",
                "Use an interval of 1 s to 3600 s and a time after the year 2000."};
    case wire::RefusalReason::flash_fault:
        return {ErrorCode::refused, "the logger's memory does not work", "",
                "The logger needs repair; what has been collected is safe."};
    case wire::RefusalReason::not_that_old:
        return {
            ErrorCode::refused, "the logger no longer holds the records it was asked for", "",
            "They were overwritten by newer ones. Collect more often, or let it stop when full."};
    case wire::RefusalReason::recording:
        return {ErrorCode::refused, "the logger is recording", "",
                "Collect its readings and stop it first: quaycell erase."};
    case wire::RefusalReason::eeprom_fault:
        return {ErrorCode::refused, "the logger's own memory for its calibration does not work", "",
                "What it held before still counts. The logger needs repair."};
    }
    return {ErrorCode::refused,
            fmt::format("the logger refuses request 0x{:02X} for reason {}", refusal.request,
                        refusal.reason),
            "", "Its firmware may be newer than this program; install the newest program."};
}

std::optional<Error> version_mismatch(int logger, int program, const char* of_what) {
    if (logger == program) return std::nullopt;
    if (logger > program)
        return Error{
            ErrorCode::wrong_version,
            fmt::format("the logger has {} version {}, this program {}: this program is older",
                        of_what, logger, program),
            "", "Install the newest program on this computer."};
    return Error{
        ErrorCode::wrong_version,
        fmt::format("the logger has {} version {}, this program {}: the logger is older", of_what,
                    logger, program),
        "",
        "Collect its readings with the program that belongs to it, then flash the firmware "
        "that belongs to this program."};
}

/// The slots that a part of an answer holds.
template <typename Part>
void take_slots(const Message& message, SlotWindow& window, bool& any_new) {
    const auto part = message.as<Part>();
    for (std::uint32_t i = 0; i < sizeof part.bytes / wire::record_size; ++i) {
        SequencedRecord slot{part.first_sequence + i, {}};
        std::copy_n(part.bytes + i * wire::record_size, wire::record_size, slot.bytes.begin());
        any_new |= window.take(slot);
    }
}

} // namespace

Error Logger::located(Error error) const {
    if (error.where.empty()) error.where = transport_->name();
    return error;
}

/// The next thing that happens, or nothing when `until` comes first.
Result<std::optional<SessionEvent>> Logger::wait_for_event(std::optional<TimePoint> until) {
    std::array<std::uint8_t, 4096> bytes;
    for (;;) {
        if (auto event = session_.next_event()) return event;
        if (until && now() >= *until) return std::optional<SessionEvent>{};
        if (const auto output = session_.take_output(); !output.empty()) {
            if (const auto sent = transport_->write_all(output); !sent) return sent.error();
        }
        const TimePoint deadline = std::min(session_.deadline().value_or(TimePoint::max()),
                                            until.value_or(TimePoint::max()));
        const auto count = transport_->read_some(bytes, deadline);
        if (!count) return count.error();
        session_.receive({bytes.data(), *count}, now());
        session_.advance(now());
    }
}

template <typename Answer, typename Request>
Result<Answer> Logger::ask(MessageType type, const Request& request) {
    session_.ask(type, bytes_of(request), now(), timing_.attempts);
    for (;;) {
        const auto event = wait_for_event();
        if (!event) return event.error();
        const auto& [kind, message] = **event;
        if (kind == SessionEventKind::answer) return message.template as<Answer>();
        if (kind == SessionEventKind::refusal)
            return located(refused(message.template as<wire::Refusal>()));
        if (kind == SessionEventKind::gave_up) return located(session_.why_no_answer());
    }
}

/// The answer, or nothing when none comes to the one attempt.
template <typename Request>
Result<std::optional<SessionEvent>> Logger::ask_once(MessageType type, const Request& request,
                                                     Milliseconds wait) {
    session_.ask(type, bytes_of(request), now(), 1, wait);
    for (;;) {
        auto event = wait_for_event();
        if (!event) return event.error();
        const auto& [kind, message] = **event;
        if (kind == SessionEventKind::answer) return event;
        if (kind == SessionEventKind::refusal) return located(refused(message.as<wire::Refusal>()));
        if (kind == SessionEventKind::gave_up) return std::optional<SessionEvent>{};
    }
}

Result<Logger> Logger::connect(std::unique_ptr<Transport> transport, const Timing& timing) {
    Logger logger(std::move(transport), timing);
    const auto reply =
        logger.ask<wire::HelloReply>(MessageType::hello, wire::Hello{wire::protocol_version, 0});
    if (!reply) return reply.error();
    return met(std::move(logger), *reply);
}

Result<Logger> Logger::try_to_connect(std::unique_ptr<Transport> transport, const Timing& timing) {
    Logger logger(std::move(transport), timing);
    const auto reply =
        logger.ask_once(MessageType::hello, wire::Hello{wire::protocol_version, 0}, timing.again);
    if (!reply) return reply.error();
    if (!*reply) return logger.located(logger.session_.why_no_answer());
    return met(std::move(logger), (*reply)->message.as<wire::HelloReply>());
}

Result<Logger> Logger::met(Logger logger, const wire::HelloReply& reply) {
    logger.hello_ = reply;
    if (const auto error = version_mismatch(reply.protocol, wire::protocol_version, "protocol"))
        return logger.located(*error);
    if (const auto error = version_mismatch(reply.layout, wire::record_layout, "record layout"))
        return logger.located(*error);
    return logger;
}

Result<wire::StatusReply> Logger::status() {
    return ask<wire::StatusReply>(MessageType::status, wire::StatusRequest{});
}

Result<wire::Circuit> Logger::circuit() {
    return ask<wire::Circuit>(MessageType::circuit, wire::CircuitRequest{});
}

Result<std::optional<wire::Calibration>> Logger::calibration() {
    const auto reply = ask<wire::Calibration>(MessageType::calibration, wire::CalibrationRequest{});
    if (!reply) return reply.error();
    if (!wire::is_valid(*reply)) return std::optional<wire::Calibration>{};
    return std::optional{*reply};
}

Result<wire::Calibration> Logger::set_calibration(const wire::Calibration& calibration) {
    const auto reply =
        ask<wire::Calibration>(MessageType::set_calibration, wire::SetCalibration{calibration});
    if (!reply) return reply.error();
    const auto held = this->calibration();
    if (!held) return held.error();
    if (*held) {
        wire::Calibration as_given = **held;
        as_given.turn = calibration.turn;
        wire::seal(as_given);
        wire::Calibration given = calibration;
        wire::seal(given);
        if (bytes_of(as_given) == bytes_of(given)) return **held;
    }
    return located({ErrorCode::damaged, "the logger does not hold the calibration it was given", "",
                    "Try again; if it happens twice, the logger needs repair."});
}

Result<wire::StatusReply> Logger::set_clock(const std::function<std::uint32_t()>& unix_s) {
    for (int attempt = 0; attempt < timing_.attempts; ++attempt) {
        const auto event =
            ask_once(MessageType::set_clock, wire::SetClock{unix_s()}, timing_.answer);
        if (!event) return event.error();
        if (*event) return (*event)->message.as<wire::StatusReply>();
    }
    return located(session_.why_no_answer());
}

Result<Done> Logger::raise_speed() {
    if (speed_limit_ > 0 && !transport_->set_baud(wire::baud_of(speed_))) speed_limit_ = 0;
    while (speed_ < speed_limit_) {
        const auto holds = try_speed(speed_limit_);
        if (!holds) return holds.error();
        if (*holds) break;
        --speed_limit_;
    }
    return Done{};
}

Result<bool> Logger::try_speed(std::uint8_t speed) {
    const auto agreed = ask_once(MessageType::set_speed, wire::SetSpeed{speed, 0}, timing_.answer);
    if (!agreed && agreed.error().code == ErrorCode::refused) return false;
    if (!agreed) return agreed.error();
    if (*agreed && transport_->set_baud(wire::baud_of(speed))) {
        speed_ = speed;
        const auto confirmed =
            ask_once(MessageType::hello, wire::Hello{wire::protocol_version, 0}, timing_.confirm);
        if (!confirmed) return confirmed.error();
        if (*confirmed) return true;
    }
    const auto back = fall_back();
    if (!back) return back.error();
    return false;
}

/// Where nothing is heard at a raised speed: the logger goes back by itself.
Result<Done> Logger::fall_back() {
    speed_ = 0;
    transport_->set_baud(wire::baud_of(speed_));
    std::this_thread::sleep_for(timing_.lapse);
    const auto found =
        ask<wire::HelloReply>(MessageType::hello, wire::Hello{wire::protocol_version, 0});
    if (!found) return found.error();
    return Done{};
}

Result<Done> Logger::lower_speed() {
    if (speed_ == 0) return Done{};
    const auto agreed = ask_once(MessageType::set_speed, wire::SetSpeed{0, 0}, timing_.confirm);
    if (!agreed) return agreed.error();
    if (!*agreed) return fall_back();
    speed_ = 0;
    transport_->set_baud(wire::baud_of(speed_));
    return Done{};
}

Result<wire::StatusReply> Logger::arm(std::uint16_t interval_s, wire::FullPolicy policy) {
    return ask<wire::StatusReply>(
        MessageType::arm, wire::ArmRequest{interval_s, static_cast<std::uint8_t>(policy), 0});
}

Result<wire::StatusReply> Logger::stop() {
    return ask<wire::StatusReply>(MessageType::stop, wire::StopRequest{});
}

Result<wire::StatusReply> Logger::forget(std::uint32_t before) {
    return ask<wire::StatusReply>(MessageType::forget, wire::ForgetRequest{before});
}

Result<Done> Logger::read(std::uint32_t first, std::uint32_t count, const SlotSink& sink,
                          const Progress& progress) {
    const std::uint64_t damaged_before = rejects().damaged();
    std::uint64_t done = 0;
    const auto on_slot = [&] {
        ++done;
        if (progress) progress(done, count);
    };
    while (done < count) {
        const std::uint32_t from = static_cast<std::uint32_t>(done);
        const std::uint32_t wanted = std::min(slots_per_request, count - from);
        SlotWindow window({first + from, wanted});
        if (const auto outcome = read_window(window, sink, on_slot); !outcome)
            return outcome.error();
        if (window.count() < wanted) break; // the log ends here
    }
    // Half the speed without damage is faster than one where every fourth block comes twice.
    const std::uint64_t damaged = rejects().damaged() - damaged_before;
    if (speed_ == 0 || 4 * damaged * wire::slots_per_block < count) return Done{};
    speed_limit_ = static_cast<std::uint8_t>(speed_ - 1);
    return lower_speed();
}

Result<Done> Logger::read_window(SlotWindow& window, const SlotSink& sink,
                                 const std::function<void()>& on_slot) {
    int fruitless = 0;
    bool silent = false;
    while (auto missing = window.first_missing()) {
        // On a line so noisy that no block survives, a single slot still may.
        if (fruitless > 0) missing->count = 1;
        const auto wait = silent ? timing_.again : timing_.answer;
        const auto any_new = read_once(*missing, wait, window, sink, on_slot);
        if (!any_new) return any_new.error();
        fruitless = *any_new ? 0 : fruitless + 1;
        // Silence, or noise alone twice: the logger has gone back or will, and so does the host.
        if (speed_ != 0 && !*any_new && (fruitless > 1 || !session_.heard_since_ask())) {
            fruitless = 0;
            silent = false;
            speed_limit_ = static_cast<std::uint8_t>(speed_ - 1);
            if (const auto back = fall_back(); !back) return back;
            continue;
        }
        const bool still_silent = silent && !session_.heard_since_ask();
        if (still_silent || fruitless > timing_.attempts) return located(session_.why_no_answer());
        silent = !session_.heard_since_ask();
    }
    return Done{};
}

/// Asks for slots once; whether any of them arrived, or where the log ends.
Result<bool> Logger::read_once(SequenceRange asked, Milliseconds wait, SlotWindow& window,
                               const SlotSink& sink, const std::function<void()>& on_slot) {
    session_.ask(MessageType::read, bytes_of(wire::Read{asked.first, asked.count}), now(), 1, wait);
    bool any_new = false;
    for (;;) {
        const auto event = wait_for_event();
        if (!event) return event.error();
        const auto& [kind, message] = **event;
        if (kind == SessionEventKind::refusal) return located(refused(message.as<wire::Refusal>()));
        if (kind == SessionEventKind::gave_up) return any_new;
        if (kind == SessionEventKind::answer) {
            const std::uint32_t end = message.as<wire::ReadEnd>().next_sequence;
            const bool log_ends = wire::sequence_before(end, asked.first + asked.count);
            if (log_ends) window.end_before(end);
            return any_new || log_ends;
        }
        if (kind != SessionEventKind::part) continue;
        if (message.type == MessageType::slot)
            take_slots<wire::Slot>(message, window, any_new);
        else
            take_slots<wire::SlotBlock>(message, window, any_new);
        while (const auto slot = window.next_in_order()) {
            if (const auto taken = sink(slot->sequence, slot->bytes); !taken) return taken.error();
            on_slot();
        }
    }
}

Result<Done> Logger::live(const std::function<AfterReading(const wire::LiveReading&)>& sink) {
    for (int silences = 0; silences < timing_.attempts; ++silences) {
        // Asked again after a silence: a logger that restarted no longer knows that it was live.
        const auto started = ask<wire::StatusReply>(MessageType::live, wire::LiveRequest{1, 0});
        if (!started) return started.error();
        for (;;) {
            const auto event = wait_for_event(now() + timing_.live_reading);
            if (!event) return event.error();
            if (!*event) break;
            if ((*event)->kind != SessionEventKind::live_reading) continue;
            silences = 0;
            const AfterReading after = sink((*event)->message.as<wire::LiveReading>());
            if (after == AfterReading::go_on) continue;
            // Whoever turns on what is on already makes the logger look.
            const std::uint8_t on = after == AfterReading::look_at_leads ? 1 : 0;
            const auto heard = ask<wire::StatusReply>(MessageType::live, wire::LiveRequest{on, 0});
            if (!heard) return heard.error();
            if (after == AfterReading::end) return Done{};
        }
    }
    return located({ErrorCode::silent, "the logger answers but sends no readings", "",
                    "Its converter may be at fault; look at the status."});
}

} // namespace quaycell

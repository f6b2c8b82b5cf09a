// What one can ask of a connected logger. Every call waits for the answer.
//
// Errors of every call: silent, no_frames, failed (no answer, see Session), unplugged, refused (the
// logger declines, with its reason).
#pragma once

#include "base/record_bytes.h"
#include "link/session.h"

#include <functional>
#include <memory>

namespace quaycell {

/// Takes one slot as the logger sent it, good or not; an Error ends the reading and is its result.
using SlotSink = std::function<Result<Done>(std::uint32_t sequence, const RecordBytes& bytes)>;

using Progress = std::function<void(std::uint64_t done, std::uint64_t total)>;

/// What whoever takes a live reading wants then.
enum class AfterReading {
    go_on,
    look_at_leads, ///< AC and leads with the next readings; else it is a minute between two looks
    end,
};

class Logger {
  public:
    /// Says hello. Error besides those above: wrong_version, which says which side is older.
    static Result<Logger> connect(std::unique_ptr<Transport> transport, const Timing& timing = {});

    /// Says hello once only and waits `timing.again` for the answer; patient as `timing` has it
    /// from then on. Errors: those of connect().
    static Result<Logger> try_to_connect(std::unique_ptr<Transport> transport,
                                         const Timing& timing);

    const wire::HelloReply& hello() const { return hello_; }

    Result<wire::StatusReply> status();
    Result<wire::Circuit> circuit();

    /// Nothing when the logger has no valid calibration.
    Result<std::optional<wire::Calibration>> calibration();

    /// Takes the place of what it holds; it fills in the turn itself. What it holds then, as it
    /// says when it is asked anew. Errors besides: refused (it is recording, its EEPROM is worn),
    /// damaged (it holds another than it was given).
    Result<wire::Calibration> set_calibration(const wire::Calibration& calibration);

    /// `unix_s` is asked for the time before every attempt: one that has grown old while an answer
    /// was waited for would set the clock back.
    Result<wire::StatusReply> set_clock(const std::function<std::uint32_t()>& unix_s);

    /// For a long read: the fastest speed that holds, of those up to the limit. What does not hold
    /// lowers the limit. Errors: as of every call; the line that stays slow is none.
    Result<Done> raise_speed();
    /// Back to the speed of everything else.
    Result<Done> lower_speed();
    /// Of wire::SetSpeed.
    void limit_speed(std::uint8_t fastest) { speed_limit_ = fastest; }
    std::uint8_t speed_limit() const { return speed_limit_; }
    std::uint8_t speed() const { return speed_; }

    /// Starts a deployment. What the logger holds no longer counts after that: collect it before.
    /// interval_s: 1 to 3600.
    Result<wire::StatusReply> arm(std::uint16_t interval_s, wire::FullPolicy policy);

    Result<wire::StatusReply> stop();

    /// Ends recording and lets go of everything before this number, which has to be the one that
    /// the status tells as the next; else the logger refuses.
    Result<wire::StatusReply> forget(std::uint32_t before);

    /// Hands `count` slots from `first` on to `sink`, in order, each once; fewer when the log ends
    /// before. What is lost on the line is asked for again.
    Result<Done> read(std::uint32_t first, std::uint32_t count, const SlotSink& sink,
                      const Progress& progress = {});

    /// Hands readings to `sink` about every second.
    Result<Done> live(const std::function<AfterReading(const wire::LiveReading&)>& sink);

    const RejectCounts& rejects() const { return session_.rejects(); }

    /// The port, as the user named it.
    const std::string& name() const { return transport_->name(); }

  private:
    Logger(std::unique_ptr<Transport> transport, const Timing& timing)
        : transport_(std::move(transport)), timing_(timing), session_(timing) {}

    static Result<Logger> met(Logger logger, const wire::HelloReply& reply);

    template <typename Answer, typename Request>
    Result<Answer> ask(wire::MessageType type, const Request& request);
    template <typename Request>
    Result<std::optional<SessionEvent>> ask_once(wire::MessageType type, const Request& request,
                                                 Milliseconds wait);
    Result<bool> try_speed(std::uint8_t speed);
    Result<Done> fall_back();
    Result<std::optional<SessionEvent>> wait_for_event(std::optional<TimePoint> until = {});
    Result<Done> read_window(class SlotWindow& window, const SlotSink& sink,
                             const std::function<void()>& on_slot);
    Result<bool> read_once(SequenceRange asked, Milliseconds wait, SlotWindow& window,
                           const SlotSink& sink, const std::function<void()>& on_slot);
    Error located(Error error) const;

    std::unique_ptr<Transport> transport_;
    Timing timing_;
    Session session_;
    wire::HelloReply hello_{};
    std::uint8_t speed_ = 0; ///< of wire::SetSpeed, now
    std::uint8_t speed_limit_ = wire::fastest_speed;
};

} // namespace quaycell

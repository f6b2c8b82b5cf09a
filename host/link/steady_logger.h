// A logger that may be unplugged, restarted or out of reach for a while, and is then found again.
#pragma once

#include "link/logger.h"

#include <optional>

namespace quaycell {

/// How to bear the loss of a logger.
struct Patience {
    /// How long to go without it.
    Milliseconds give_up_after{30'000};
    /// Asked several times a second while waiting; true ends the waiting.
    std::function<bool()> stop = [] { return false; };
    /// Told once each time the logger is lost, with why.
    std::function<void(const Error& loss)> on_loss = [](const Error&) {};
    /// Told when it has been found again.
    std::function<void()> on_return = [] {};
};

/// Whether the error means that the line to the logger is gone or nothing comes over it, which time
/// or a hand may mend.
bool is_loss(const Error& error);

class SteadyLogger {
  public:
    /// Errors: those of open_port() and Logger::connect(). The first time the logger has to be
    /// there.
    static Result<SteadyLogger> connect(const std::string& port, Patience patience,
                                        const Timing& timing = {});

    const wire::HelloReply& hello() const { return hello_; }

    /// The fastest speed that the line is to run at, of wire::SetSpeed; what did not hold lowers
    /// it, also for the time after a loss.
    void limit_speed(std::uint8_t fastest) { logger_->limit_speed(fastest); }

    /// Of the line, since the first time.
    RejectCounts rejects() const;

    /// What `work` comes to, done with the logger; when the logger is lost meanwhile, done again
    /// once it is back, so `work` goes on where it stopped. `work` returns its errors; `progress`
    /// tells how far it is: while that does not change, patience runs on from loss to loss.
    /// Errors besides those of `work`: interrupted (stop), or why the logger could not be had for
    /// so long; failed, when another logger is found in its place.
    Result<Done> keep_at(const std::function<Result<Done>(Logger&)>& work,
                         const std::function<std::uint64_t()>& progress);

  private:
    SteadyLogger(std::string lasting_port, Patience patience, const Timing& timing, Logger logger)
        : port_(std::move(lasting_port)), patience_(std::move(patience)), timing_(timing),
          hello_(logger.hello()), logger_(std::move(logger)) {}

    Result<Done> find_again(const Error& loss, TimePoint until);
    Result<bool> try_once();

    std::string port_;
    Patience patience_;
    Timing timing_;
    wire::HelloReply hello_;
    std::optional<Logger> logger_; ///< nothing while it is lost
    RejectCounts earlier_rejects_; ///< before it was last lost
    std::uint8_t speed_limit_ = 0; ///< while it is lost
};

} // namespace quaycell

#include "link/steady_logger.h"

#include "link/ports.h"
#include "link/tcp_bridge.h"

#include <filesystem>
#include <fmt/format.h>
#include <thread>

namespace quaycell {

namespace {

/// Looking whether a port is there costs next to nothing; opening one that another program holds
/// or a bridge that is down costs more, and is done less often.
constexpr Milliseconds look_interval{200};
constexpr Milliseconds retry_interval{800};

TimePoint now() {
    return std::chrono::steady_clock::now();
}

bool is_there(const std::string& port) {
    std::error_code failure;
    return is_tcp_bridge(port) || std::filesystem::exists(port, failure);
}

} // namespace

bool is_loss(const Error& error) {
    return error.code == ErrorCode::unplugged || error.code == ErrorCode::silent ||
           error.code == ErrorCode::no_frames;
}

Result<SteadyLogger> SteadyLogger::connect(const std::string& port, Patience patience,
                                           const Timing& timing) {
    auto transport = open_port(port);
    if (!transport) return transport.error();
    auto logger = Logger::connect(std::move(*transport), timing);
    if (!logger) return logger.error();
    return SteadyLogger(lasting_name(port), std::move(patience), timing, std::move(*logger));
}

RejectCounts SteadyLogger::rejects() const {
    RejectCounts all = earlier_rejects_;
    if (logger_) all += logger_->rejects();
    return all;
}

Result<Done> SteadyLogger::keep_at(const std::function<Result<Done>(Logger&)>& work,
                                   const std::function<std::uint64_t()>& progress) {
    TimePoint lost_since{};
    for (std::optional<std::uint64_t> progress_at_loss;;) {
        const auto outcome = work(*logger_);
        if (outcome || !is_loss(outcome.error())) return outcome;
        const bool lost_anew = progress_at_loss != progress();
        if (lost_anew) {
            progress_at_loss = progress();
            lost_since = now();
            if (patience_.give_up_after > Milliseconds{0}) patience_.on_loss(outcome.error());
        }
        const auto found = find_again(outcome.error(), lost_since + patience_.give_up_after);
        if (!found) return found;
        if (lost_anew) patience_.on_return();
    }
}

/// Tries until `until`, and gives `loss` as the reason when it was in vain.
Result<Done> SteadyLogger::find_again(const Error& loss, TimePoint until) {
    earlier_rejects_ += logger_->rejects();
    speed_limit_ = logger_->speed_limit();
    logger_.reset(); // closes the port, so that it can be opened again
    for (TimePoint next_try{}; now() < until; std::this_thread::sleep_for(look_interval)) {
        if (patience_.stop())
            return Error{ErrorCode::interrupted, "interrupted while waiting for the logger", port_,
                         "What has arrived is kept; the same command goes on from there."};
        if (now() < next_try || !is_there(port_)) continue;
        const auto found = try_once();
        if (!found) return found.error();
        if (*found) return Done{};
        next_try = now() + retry_interval;
    }
    return loss;
}

/// Whether the logger is back. Error: what waiting longer does not mend.
Result<bool> SteadyLogger::try_once() {
    auto transport = open_port(port_);
    if (!transport) return false;
    auto found = Logger::try_to_connect(std::move(*transport), timing_);
    if (!found && found.error().code == ErrorCode::wrong_version) return found.error();
    if (!found) return false;
    if (found->hello().device_id != hello_.device_id)
        return Error{ErrorCode::failed,
                     fmt::format("another logger is here now: {:08x} instead of {:08x}",
                                 found->hello().device_id, hello_.device_id),
                     port_, "Run the command again for the new one; what has arrived is kept."};
    logger_ = std::move(*found);
    logger_->limit_speed(speed_limit_);
    return true;
}

} // namespace quaycell

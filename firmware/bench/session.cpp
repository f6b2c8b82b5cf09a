#include "bench/session.h"

namespace quaycell::bench {

namespace {

using namespace std::chrono_literals;

// One slice of simulated time between looks at the cable: six bytes at the wire's speed.
constexpr Time slice = 500us;
// The cable is in before a program opens the port, and comes out some time after it closes it.
constexpr Time plugged_before = 500ms, unplugged_after = 500ms;
// How long the logger is given to answer, and a host to ask again, before time slows to real time.
constexpr Time answer_time = 500ms, next_request_time = 20ms;
// Before the terminal and the commands are looked at again.
constexpr int slices_at_once = 20;
constexpr auto detached_look = 20ms;
constexpr Time warp_slice = std::chrono::hours{1};

} // namespace

void Session::notice_cable() {
    const bool attached = pty_.attached();
    if (attached == board_.host_present()) return;
    anchored_ = false;
    if (attached) {
        board_.set_host_present(true);
        board_.run_for(plugged_before);
    } else {
        // Nothing stale may greet the next host.
        unsent_.clear();
        pty_.flush();
        board_.set_host_present(false);
        board_.run_for(unplugged_after);
    }
    deliver();
}

void Session::deliver() {
    const std::vector<std::uint8_t> sent = board_.take_output();
    if (!sent.empty()) last_from_logger_ = board_.now();
    unsent_.insert(unsent_.end(), sent.begin(), sent.end());
    if (unsent_.empty()) return;
    const std::size_t taken = pty_.send(unsent_);
    unsent_.erase(unsent_.begin(), unsent_.begin() + static_cast<std::ptrdiff_t>(taken));
}

bool Session::talking() const {
    const Time now = board_.now();
    return !board_.line_idle() || now - answer_time < last_from_host_ ||
           now - next_request_time < last_from_logger_;
}

std::chrono::milliseconds Session::serve() {
    notice_cable();
    if (!board_.host_present()) return detached_look;
    deliver();
    if (stalled()) return 1ms;
    const std::vector<std::uint8_t> bytes = pty_.receive();
    // A host changes its speed only when nothing of its own is on the way.
    board_.set_host_baud(pty_.baud());
    if (!bytes.empty()) {
        board_.send(bytes);
        last_from_host_ = board_.now();
    }
    if (pace_ == Pace::fixed) return run_paced(speed_);
    if (pace_ == Pace::talking_free && !talking()) return run_paced(1);
    anchored_ = false;
    board_.run_for(slices_at_once * slice);
    deliver();
    return 0ms;
}

std::chrono::milliseconds Session::run_paced(double speed) {
    if (!anchored_) {
        anchored_ = true;
        anchor_wall_ = Clock::now();
        anchor_world_ = board_.now();
    }
    const auto wall = std::chrono::duration<double>(Clock::now() - anchor_wall_);
    const Time due = anchor_world_ + std::chrono::duration_cast<Time>(wall * speed);
    for (int i = 0; i < slices_at_once && board_.now() < due && !stalled(); ++i) {
        board_.run_for(slice);
        deliver();
    }
    // A machine too slow for the pace, or a host that did not fetch, does not make time jump later.
    if (due - board_.now() > std::chrono::duration_cast<Time>(100ms * speed)) anchored_ = false;
    return board_.now() < due ? 0ms : 1ms;
}

void Session::advance(Time length, const std::function<bool()>& go_on) {
    anchored_ = false;
    const Time end = board_.now() + length;
    while (board_.now() < end && go_on()) {
        board_.run_until(std::min(end, board_.now() + warp_slice));
        deliver();
    }
}

} // namespace quaycell::bench

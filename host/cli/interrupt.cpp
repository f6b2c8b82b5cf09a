#include "cli/interrupt.h"

#include <atomic>
#include <csignal>

namespace quaycell {

namespace {

/// The only things a signal handler can reach.
std::atomic<bool> noted{false};
std::atomic<void (*)()> before_the_end{nullptr};
static_assert(std::atomic<bool>::is_always_lock_free &&
                  std::atomic<void (*)()>::is_always_lock_free,
              "else a signal handler must not touch them");

void note(int signal) {
    if (!noted.exchange(true)) return;
    if (const auto put_right = before_the_end.load()) put_right();
    ::signal(signal, SIG_DFL); // the second one is not ours
    ::raise(signal);
}

} // namespace

void note_interrupts(void (*put_right)()) {
    before_the_end = put_right;
    struct sigaction action {};
    action.sa_handler = note;
    sigaction(SIGINT, &action, nullptr);
    sigaction(SIGTERM, &action, nullptr);
}

void note_interrupt() {
    noted = true;
}

bool interrupted() {
    return noted;
}

} // namespace quaycell

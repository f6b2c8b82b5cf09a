#include "cli/interrupt.h"

#include <atomic>
#include <csignal>

namespace quaycell {

namespace {

/// The only thing a signal handler can reach.
std::atomic<bool> noted{false};
static_assert(std::atomic<bool>::is_always_lock_free, "else a signal handler must not touch it");

void note(int) {
    noted = true;
}

} // namespace

void note_interrupts() {
    struct sigaction action {};
    action.sa_handler = note;
    action.sa_flags = static_cast<int>(SA_RESETHAND); // the second one is not ours
    sigaction(SIGINT, &action, nullptr);
    sigaction(SIGTERM, &action, nullptr);
}

bool interrupted() {
    return noted;
}

} // namespace quaycell

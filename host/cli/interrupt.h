// Ctrl-C as a wish that a command looks at, so that it can end in good order.
#pragma once

namespace quaycell {

/// From now on a first Ctrl-C (or SIGTERM) is only noted; a second one ends the program at once,
/// after `put_right`, which may do only what a signal handler may.
void note_interrupts(void (*put_right)() = nullptr);

/// As if Ctrl-C had been pressed.
void note_interrupt();

/// Whether one was noted.
bool interrupted();

} // namespace quaycell

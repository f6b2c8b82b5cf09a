// Ctrl-C as a wish that a command looks at, so that it can end in good order.
#pragma once

namespace quaycell {

/// From now on a first Ctrl-C (or SIGTERM) is only noted; a second one ends the program at once.
void note_interrupts();

/// Whether one was noted.
bool interrupted();

} // namespace quaycell

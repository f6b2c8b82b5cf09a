// Which of the serial ports has a logger behind it.
#pragma once

#include "link/ports.h"
#include "link/session.h"

namespace quaycell {

/// Says hello once at each of `ports`, at all of them together, and notes in `answers` who replied,
/// in `device` as which logger, and in `trouble` which port cannot be opened and why.
void find_loggers(std::vector<PortInfo>& ports, const Timing& timing = {.attempts = 1});

} // namespace quaycell

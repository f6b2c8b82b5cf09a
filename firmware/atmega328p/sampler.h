// 200 readings of one of the AC amplifiers, one a millisecond by timer 0, which the controller
// spends idling; on demand with the stimulus, which is given as long beforehand to settle.
#pragma once

#include "logger/burst.h"

namespace quaycell {
namespace atmega328p {

class Sampler {
  public:
    /// Leaves event_sampled when it is done. Nothing else may use the converter meanwhile.
    static void begin(logger::Cell cell, bool stimulus);
    static bool running();

    /// The last one, once it has ended.
    static const logger::Burst& burst();
};

} // namespace atmega328p
} // namespace quaycell

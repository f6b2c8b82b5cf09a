// What the logger is made to do before the power is cut.
#pragma once

#include "journal.h"

#include <string_view>
#include <vector>

namespace quaycell::powerloss {

struct Step {
    enum class Kind : std::uint8_t {
        boot,
        reading,
        fill, ///< readings until the memory is full
        arm_stop_when_full,
        arm_overwrite_oldest,
        stop,
        forget,
        restart, ///< with everything at rest
    };
    Kind kind;
    unsigned times = 1;
};

struct Workload {
    std::string_view name;
    std::uint32_t first_sequence; ///< of the sector that a flash already holds; 0: virgin
    std::vector<Step> steps;
};

const std::vector<Workload>& workloads();

/// What stands in the flash beforehand: nothing, or a header and a record.
std::vector<Operation> prepared_slots(const Workload& workload);
/// What a log on that flash has to say.
Standing prepared_standing(const Workload& workload);

} // namespace quaycell::powerloss

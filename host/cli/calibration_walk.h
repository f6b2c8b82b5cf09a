// Leads a person through the comparison of a logger with an instrument.
#pragma once

#include "calibration/comparison.h"
#include "cli/answers.h"
#include "link/logger.h"

#include <vector>

namespace quaycell {

/// One value that was found and accepted.
struct FoundCheck {
    CellInput cell;
    Check check;
};

struct WalkOptions {
    bool cell_b = false;
    std::vector<int> left_out; ///< numbers of steps that are not even asked for
};

/// What a walk has found, all of it accepted; nothing has been written anywhere.
struct Walked {
    std::vector<FoundCheck> checks;
    std::vector<std::string> left_out; ///< steps, in words
};

/// Both walks ask on standard error, take the answers, measure, and show each value with its limit;
/// a value that is refused is measured again. Errors: refused (the answers end before the last
/// step), interrupted (Ctrl-C or "q"), and those of the Logger.
Result<Walked> compare(Logger& logger, const WalkOptions& options, Answers& answers,
                       Comparison& comparison);

class SecondTemperature;
Result<Walked> compare_at_second_temperature(Logger& logger, bool cell_b, Answers& answers,
                                             SecondTemperature& second);

} // namespace quaycell

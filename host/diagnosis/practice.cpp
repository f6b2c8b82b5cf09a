#include "diagnosis/practice.h"

#include <algorithm>
#include <array>
#include <stdexcept>

namespace quaycell {

namespace {

constexpr std::array rules{
    PracticeRule{"isolated", 10, "mV",
                 "with a good galvanic isolator plugging in moves the potential by less",
                 "trace practice, 5 to 10 mV", "our judgement"},
    PracticeRule{"load-told", 10, "mV", "a load that moves the potential by less is no leak",
                 "practice, flagged from 10 to 20 mV on", "from memory"},
    PracticeRule{
        "tide-asked", 3, "mV",
        "a tide that moves the reading by more may be the cell's own answer to the salinity",
        "Nernst: 17 mV for every halving of the chloride", "our judgement"},
    PracticeRule{"mostly", 0.5, "of the time",
                 "under-protected for longer, it is not what happens but what the anodes do",
                 "trace practice", "our judgement"},
};

} // namespace

std::span<const PracticeRule> practice_rules() {
    return rules;
}

double practice(std::string_view id) {
    const auto rule = std::ranges::find(rules, id, &PracticeRule::id);
    if (rule == rules.end()) throw std::logic_error("no rule of practice " + std::string(id));
    return rule->value;
}

} // namespace quaycell

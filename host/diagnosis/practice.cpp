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
    PracticeRule{"bond-in-place", 5, "mV",
                 "bonded metals read the same against a cell that stays in one place, within",
                 "a surveyors' lexicon asks for exactly the same; the tolerance is ours",
                 "our judgement"},
    PracticeRule{"bond-moved", 50, "mV",
                 "bonded metals read the same against a cell that is moved along, within",
                 "E. Sherman, Advanced Marine Electrics and Electronics Troubleshooting, p. 112",
                 "read"},
    PracticeRule{"anode-shift", 200, "mV",
                 "anodes make the hull more negative than it is with them disconnected, by",
                 "E. Sherman, Advanced Marine Electrics and Electronics Troubleshooting, p. 110, "
                 "after ABYC E-2",
                 "transcribed"},
    PracticeRule{"dock-most-negative", -800, "mV",
                 "the earth of a dock lies no more negative against a silver/silver-chloride cell",
                 "E. Sherman, Advanced Marine Electrics and Electronics Troubleshooting, p. 113 to "
                 "114",
                 "read"},
    PracticeRule{"dock-least-negative", -400, "mV",
                 "the earth of a dock lies no less negative against a silver/silver-chloride cell",
                 "E. Sherman, Advanced Marine Electrics and Electronics Troubleshooting, p. 113 to "
                 "114",
                 "read"},
    PracticeRule{"ac-stop", 50, "mV rms",
                 "an electrician comes before anything else where a metal carries more AC than",
                 "no limit for small craft has been found", "our judgement"},
    PracticeRule{"instruments-agree", 10, "mV", "two instruments at one fitting agree within",
                 "1 % at 1 V, as Maine rule 096-691 App. A asks of a meter for tanks",
                 "read; for boats our judgement"},
    PracticeRule{"input-resistance", 10, "Mohm", "a voltmeter for a reference cell has at least",
                 "Maine rule 096-691 App. A 1.C, for tanks", "read"},
    PracticeRule{"cell-drift", 5, "mV",
                 "compared before and after a survey a cell differs by no more",
                 "good pair of cells, UFGS 13111A 3.3.1", "read; for water tanks"},
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

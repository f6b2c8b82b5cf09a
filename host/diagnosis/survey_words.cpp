#include "diagnosis/survey_words.h"

#include <algorithm>
#include <array>
#include <stdexcept>
#include <string>

namespace quaycell {

namespace {

constexpr std::string_view book =
    "E. Sherman, Advanced Marine Electrics and Electronics Troubleshooting, p. 112 to 114";
constexpr std::string_view earth_stays =
    "Unplug the whole cord. Never lift, cut or bypass the protective earth.";
constexpr std::string_view bond_test =
    "Clip to a bright spot and read once more; then measure the resistance from the fitting to the "
    "main bonding, 1 ohm or less by ABYC E-2 as "
    "quoted; clean or renew terminals and wire, then read again.";

constexpr std::array table{
    SurveyWords{"ac", "Alternating current reaches the fitting.",
                "Stop. Have a licensed electrician find where it comes from before anybody goes "
                "on.",
                "Nobody goes into the water, here or near by, and nobody jumps in to help: leaking "
                "current can paralyse a swimmer.",
                "", ""},
    SurveyWords{"open-earth",
                "Unplugging the cord changes nothing: a galvanic isolator or transformer does its "
                "work, or the protective earth is open, which is a hazard and looks the same.",
                "Have the protective earth from the pedestal to the boat tested before the boat is "
                "plugged in again.",
                "Nobody goes into the water at a dock with power on it. Never lift, cut or bypass "
                "the protective earth.",
                book, "read"},
    SurveyWords{"reversed-lead",
                "No metal of a boat shows this: the leads were swapped. It is not judged.",
                "Cell to COM, metal to the positive jack, so that protected metal reads negative; "
                "read the point again.",
                "", "galvanic series in sea water", "read"},
    SurveyWords{"cell-rejected", "No reading taken with this cell is judged.",
                "Compare it with a third cell, and repeat the survey with one that agrees.", "", "",
                ""},
    SurveyWords{"cell-drifted", "The cell has drifted during the survey.",
                "Soak it, compare it once more and repeat the survey.", "", "", ""},
    SurveyWords{"unbonded-metal",
                "That is how such a metal corrodes freely: it is not joined to the bonding.",
                bond_test, "Do not put a fuse into a bonding conductor.",
                "galvanic series in flowing sea water; a surveyors' lexicon", "read"},
    SurveyWords{"bond-broken", "Its bonding is broken or has a bad contact.", bond_test,
                "Do not put a fuse into a bonding conductor.", "", ""},
    SurveyWords{"more-negative-than-hull",
                "An anode of its own or close to the cell would show this, and so would a bad "
                "bond.",
                "Read again with the cell as near to the fitting and as far from anodes as it "
                "goes; then measure the resistance to the main bonding.",
                "", "UFC 3-570-06, 7-3.1.1; for buried structures", "read; for boats inferred"},
    SurveyWords{"unbonded-protected",
                "It is listed as unbonded and yet reads as the bonding does: it is joined to it.",
                "Find what joins it, a shaft or a hose clamp, and decide whether it is to be "
                "bonded.",
                "", "a surveyors' lexicon", "our judgement"},
    SurveyWords{"shore-outside",
                "Plugged in, the hull should lie between the dock's earth and the hull unplugged. "
                "A direct current is likely at work.",
                "Switch chargers and loads off one by one with the cord plugged in; then read at "
                "another pedestal.",
                earth_stays, book, "read"},
    SurveyWords{"shore-shares",
                "Unplugged the hull is more negative: plugged in, its anodes protect the metal of "
                "the dock and of other boats, too.",
                "A galvanic isolator or an isolating transformer ends it.", earth_stays, book,
                "read"},
    SurveyWords{"shore-feeds",
                "Unplugged the hull is less negative: a stray direct current aboard, or the "
                "dock's earth was feeding the boat.",
                "Disconnect the battery at its terminals and read again; look at the anodes.",
                earth_stays, book, "read; which of both comes first is inferred"},
    SurveyWords{"dock-earth-odd", "A direct current in the earth of the dock is likely.",
                "Tell the marina; read another pedestal.",
                "The pedestal can kill: whoever reads it has to know its earth contact for "
                "certain.",
                "", ""},
    SurveyWords{"anodes-weak", "The anodes move the hull by less than they should.",
                "Look at them at the next haul-out: wasted, painted over, passive or not joined to "
                "the bonding.",
                "Looking from the water counts as being in it: not with power at the dock.", "",
                ""},
    SurveyWords{"references-differ", "The two instruments do not agree.",
                "Repeat both readings at once; have the one that is off compared.", "", "", ""},
    SurveyWords{"low-input-resistance",
                "It loads the cell: readings come out less negative than the metal is.",
                "Repeat with an instrument of 10 Mohm or more.", "", "", ""},
    SurveyWords{"not-settled",
                "The reading was taken before it had settled: somebody insisted, or AC ended it.",
                "Repeat it when the reading stands still.", "", "the survey's own criterion",
                "our judgement"},
    SurveyWords{"not-read",
                "It was neither read nor skipped in this state: the survey says nothing of it.",
                "Read it on another survey.", "", "the survey's own entries", "our judgement"},
    SurveyWords{"cell-not-compared", "A cell that drifts looks the same as a hull that does.",
                "Compare it with a second cell, side by side, before and after.", "",
                "survey practice", "from memory"},
    SurveyWords{"no-hull-reading",
                "The bonding itself has no reading that counts in this state, so that no fitting "
                "could be held against it.",
                "Read the engine's negative terminal or the main bus until it has settled.",
                "Keep off the starter's terminal and off all mains terminals.", book, "read"},
};

} // namespace

const SurveyWords& survey_words(std::string_view id) {
    const auto words = std::ranges::find(table, id, &SurveyWords::id);
    if (words == table.end()) throw std::logic_error("no words for finding " + std::string(id));
    return *words;
}

} // namespace quaycell

#include "diagnosis/trace_causes.h"

#include "diagnosis/trace_evidence.h"

#include <algorithm>
#include <array>
#include <utility>

namespace quaycell {
namespace {

struct Row {
    std::string_view id;
    void (*weigh)(const TraceFacts&, Evidence&);
    std::string_view cause;
    std::string_view test;
    std::string_view caution;
    std::string_view source;
    std::string_view status;
};

constexpr std::string_view book =
    "E. Sherman, Advanced Marine Electrics and Electronics Troubleshooting, p. 112 to 114";
constexpr std::string_view earth_stays =
    "Unplug the whole cord. Never lift, cut or bypass the protective earth.";
constexpr std::string_view nobody_in = "Nobody goes into the water at a dock with power on it. "
                                       "What the AC comes from is for a licensed "
                                       "electrician to find.";

constexpr std::array rows{
    Row{"shore-earth", shore_earth,
        "The shore's protective earth ties the hull to the metal of the dock and of other boats, "
        "and "
        "the anodes protect them, too.",
        "Read plugged in, unplugged, and the dock's earth by itself: plugged in should lie between "
        "the "
        "other two. A galvanic isolator or an isolating transformer ends it.",
        earth_stays, book, "read"},
    Row{"too-much-anode", too_much_anode,
        "The hull has more anode than it bears, or magnesium where the water is salt; or a direct "
        "current drives it: a charger, or an impressed-current system set too far.",
        "Switch chargers and impressed current off one by one and read again; then read with an "
        "anode disconnected. What brings the potential back is the cause.",
        "Add no anode. Alkali softens wood and eats aluminium while this lasts.",
        "over-protection practice", "common practice, no source"},
    Row{"fed-by-the-dock", fed_by_the_dock,
        "The dock's earth, or what hangs on it, was feeding the boat: without it the boat's own "
        "anodes do not hold the hull.",
        "Look at the anodes; read the dock's earth by itself.", earth_stays, book,
        "read; which of both comes first is inferred"},
    Row{"stray-current-aboard", stray_current_aboard,
        "A direct current aboard finds its way through the water.",
        "Disconnect the battery at its terminals and read again.",
        "Stop engines and chargers first, and keep tools off the other terminal.", book, "read"},
    Row{"own-load", own_load,
        "A load aboard, a pump or a charger, leaks direct current whenever it runs.",
        "Switch it off, or on, by hand and watch the potential.", "", "trace practice",
        "our judgement"},
    Row{"isolator-or-open-earth", isolator_or_open_earth,
        "The isolator or transformer does its work; or the protective earth is open, which is a "
        "hazard and looks the same.",
        "Have the protective earth from the shore's socket to the boat tested.", nobody_in, book,
        "read"},
    Row{"stray-current-outside", stray_current_outside,
        "Direct current from a neighbour or from the dock.",
        "Unplug the whole cord while it lasts: what stays comes through the water.", earth_stays,
        "EN 50162:2004 table 1; trace practice", "transcribed; our judgement"},
    Row{"protection-lost", protection_lost,
        "Something let go: a bonding wire or the hull lead's clip broke or came off, or an anode "
        "is lost.",
        "Measure from the hull lead to the main bonding and to each anode, 1 ohm or less; then "
        "read at another fitting.",
        "Looking from the water counts as being in it: not with power at the dock.",
        "galvanic series; trade practice; the ohm is ABYC's, as quoted",
        "read; common practice, no source; transcribed"},
    Row{"wasting-anodes", wasting_anodes, "The anodes waste away, or film over.",
        "Look at them at low water or at the next haul-out: renew what is half gone.",
        "Looking from the water counts as being in it: not with power at the dock.",
        "trade practice", "common practice, no source"},
    Row{"idle-anodes", idle_anodes,
        "The anodes do not work: disconnected, painted over, or passive under a crust. That an "
        "anode does not waste is then no sign of health.",
        "Look at them at the next haul-out: one that is whole after a season has not worked; clean "
        "or renew it, and measure 1 ohm or less from it to the hull.",
        "Looking from the water counts as being in it: not with power at the dock.",
        "trade practice; the ohm is ABYC's, as quoted", "transcribed; our judgement"},
    Row{"spent-anodes", spent_anodes,
        "The anodes are at work but do not hold the hull: spent, painted over in part, or too few.",
        "Look at them at the next haul-out, or at low water: renew what is half gone, clean what "
        "is "
        "painted, and reckon again whether they are enough.",
        "Looking from the water counts as being in it: not with power at the dock.",
        "galvanic series; trade practice", "read; common practice, no source"},
    Row{"drifting-cell", drifting_cell,
        "The cell drifts, or has been poisoned: that looks the same as a drift of the hull.",
        "Compare it with another cell in the same water (quaycell check-cell): what both differ by "
        "is the cell's.",
        "", "trace practice", "our judgement"},
    Row{"settling", settling_anodes, "The hull settles after launch or with new anodes.",
        "Judge by the readings after the first day.", "", "surveyors' lexicon", "read"},
    Row{"cell-in-doubt", cell_in_doubt, "The reference cell cannot be trusted throughout.",
        "Compare it with another cell in the same water (quaycell check-cell).", "",
        "survey practice", "from memory"},
    Row{"lead-in-doubt", lead_in_doubt, "A lead was open, or on the wrong side.",
        "Look at clip, plug and cable, and read again.", "", "survey practice",
        "common practice, no source"},
    Row{"thinning-water", thinning_water,
        "The cell is a bare element: when fresh water comes down it reads more negative by itself, "
        "as if the hull were better protected.",
        "Measure the salinity at high and at low water, and give it as a range.", "",
        "Nernst slope of the chloride, 57 mV a decade", "computed"},
};

} // namespace

std::vector<TraceCause> trace_causes(const JudgedTrace& judged, const BoatInWater& boat,
                                     bool element_in_water) {
    const TraceFacts facts{judged, boat, element_in_water};
    std::vector<std::pair<double, TraceCause>> found;
    for (const Row& row : rows) {
        Evidence evidence;
        row.weigh(facts, evidence);
        if (evidence.weight > 0)
            found.push_back({evidence.weight,
                             {row.id, row.cause, std::move(evidence.speaks_for),
                              std::move(evidence.speaks_against), row.test, row.caution, row.source,
                              row.status}});
    }
    std::ranges::stable_sort(found, std::ranges::greater{}, &std::pair<double, TraceCause>::first);
    std::vector<TraceCause> causes;
    causes.reserve(found.size());
    for (auto& [weight, cause] : found)
        causes.push_back(std::move(cause));
    return causes;
}

} // namespace quaycell

#include "diagnosis/anode_findings.h"

#include <array>

namespace quaycell {

namespace {

constexpr std::string_view earth_stays =
    "Unplug the whole cord. Never lift, cut or bypass the protective earth.";
constexpr std::string_view not_from_the_water =
    "Looking from the water counts as being in it: not with power at the dock.";
constexpr std::string_view book =
    "E. Sherman, Advanced Marine Electrics and Electronics Troubleshooting, p. 114";
constexpr std::string_view practice = "anode practice";

bool fast(const WearAndReading& b) {
    return b.pace == WearPace::fast;
}
bool idle(const WearAndReading& b) {
    return b.pace == WearPace::not_wasting;
}
bool is_under(const WearAndReading& b) {
    return b.verdict == Verdict::under_protected;
}
bool is_over(const WearAndReading& b) {
    return b.verdict == Verdict::over_protected;
}
bool is_protected(const WearAndReading& b) {
    return b.verdict == Verdict::protected_;
}

struct Row {
    bool (*applies)(const WearAndReading&);
    AnodeFinding finding;
};

constexpr std::array rows{
    Row{[](const WearAndReading& b) { return fast(b) && !is_over(b); },
        {"shore-earth",
         "It wastes fast: where the boat lies plugged in, the shore's protective earth may tie her "
         "to the dock and to others, and the anode protects them, too.",
         "Read plugged in, unplugged, and the dock's earth by itself. A galvanic isolator or an "
         "isolating transformer ends it.",
         earth_stays, book, "read"}},
    Row{[](const WearAndReading& b) { return fast(b) && is_under(b); },
        {"too-little-anode",
         "It wastes fast and does not hold the hull: there is more bare metal, or less anode, than "
         "belongs together; or a direct current flows.",
         "Size the anodes by what is immersed; read with the battery disconnected at its "
         "terminals.",
         "Stop engines and chargers first, and keep tools off the other terminal.", practice,
         "our judgement"}},
    Row{[](const WearAndReading& b) { return fast(b) && is_over(b) && b.magnesium; },
        {"magnesium",
         "It wastes fast and the hull is over-protected: magnesium where the water is too salt for "
         "it.",
         "Measure the water's salinity or chloride, and take the magnesium off.",
         "Alkali softens wood and eats aluminium while this lasts.", "boat-owner guide (D. Casey)",
         "transcribed"}},
    Row{[](const WearAndReading& b) { return fast(b) && is_over(b) && !b.magnesium; },
        {"driven",
         "It wastes fast and the hull is over-protected: too much anode, or a direct current that "
         "drives both.",
         "Switch chargers and impressed current off one by one and read again; then read with an "
         "anode disconnected.",
         "Add no anode. Alkali softens wood and eats aluminium while this lasts.", practice,
         "our judgement"}},
    Row{[](const WearAndReading& b) { return idle(b) && is_under(b); },
        {"not-working",
         "It does not waste and the hull is too positive: it is not connected, painted over, or "
         "passive. That is no good health.",
         "Measure from the anode to the main bonding, 1 ohm or less; brush it bright; ask whether "
         "its alloy is for this water.",
         not_from_the_water, "trade practice; the ohm is ABYC's, as quoted",
         "common practice, no source; transcribed"}},
    Row{[](const WearAndReading& b) { return idle(b) && is_protected(b); },
        {"protected-by-others",
         "It does not waste and the hull is protected all the same: something else does it, the "
         "dock's earth, a neighbour's anodes, or the boat's other ones.",
         "Unplug the whole cord and read again an hour later.", earth_stays, practice,
         "our judgement"}},
    Row{[](const WearAndReading& b) { return idle(b) && is_over(b); },
        {"driven-without-anode",
         "It does not waste and the hull is over-protected: the current comes from elsewhere, a "
         "charger, impressed current, or magnesium on the same dock earth.",
         "Switch chargers and impressed current off one by one, then unplug the whole cord, and "
         "read after each.",
         earth_stays, practice, "our judgement"}},
    Row{[](const WearAndReading& b) { return b.pace == WearPace::usual && is_under(b); },
        {"too-few",
         "It wastes as anodes do and the hull is too positive: there are too few of them, or they "
         "are too far from what they are to protect.",
         "Read at each fitting: what lies farthest from the anodes is the least negative.", "",
         practice, "our judgement"}},
    Row{[](const WearAndReading& b) { return b.pace == WearPace::usual && is_over(b); },
        {"too-many",
         "It wastes as anodes do and the hull is over-protected: there is more anode than it "
         "bears.",
         "Read with one of them disconnected; leave off what is not needed.",
         "Add no anode. Alkali softens wood and eats aluminium while this lasts.", practice,
         "our judgement"}},
    Row{[](const WearAndReading& b) { return b.pace == WearPace::usual && is_protected(b); },
        {"as-it-should",
         "It wastes as anodes do and the hull is protected: renew it when it is due, and measure "
         "again when half of it is gone.",
         "", "", practice, "our judgement"}},
};

constexpr auto findings = [] {
    std::array<AnodeFinding, rows.size()> all{};
    for (std::size_t i = 0; i < rows.size(); ++i)
        all[i] = rows[i].finding;
    return all;
}();

} // namespace

WearPace pace_of(const Wear& wear, double renew_at_gone, Instant fitted, Instant last_seen) {
    constexpr double g_a_kg = 1000;
    const double due_g = wear.new_mass_kg * renew_at_gone * g_a_kg;
    if (wear.is_wasting && due_g < wear.rate_middle_g_day * shortest_normal_days)
        return WearPace::fast;
    if (days_between(fitted, last_seen) < tells_nothing_days) return WearPace::too_early;
    return wear.is_wasting ? WearPace::usual : WearPace::not_wasting;
}

std::span<const AnodeFinding> all_anode_findings() {
    return findings;
}

std::vector<AnodeFinding> anode_findings(const WearAndReading& both) {
    std::vector<AnodeFinding> found;
    for (const Row& row : rows)
        if (row.applies(both)) found.push_back(row.finding);
    return found;
}

} // namespace quaycell

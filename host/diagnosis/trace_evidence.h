// What in a judged trace speaks for each cause, and what against it.
#pragma once

#include "diagnosis/causes.h"
#include "series/judged.h"

#include <string>
#include <vector>

namespace quaycell {

struct TraceFacts {
    const JudgedTrace& judged;
    const BoatInWater& boat;
    bool element_in_water;

    std::size_t count(EventKind kind) const;
    /// By how much plugging in moves the potential; missing where it was not seen.
    double by_plugging_mv() const;
    /// Of the largest, by its size; 0 where there is none.
    double largest_mv(EventKind kind) const;
};

/// What was found for a cause and against it, as it is collected.
struct Evidence {
    double weight = 0; ///< above 0 it is told; the heavier the earlier
    std::vector<std::string> speaks_for;
    std::vector<std::string> speaks_against;

    void for_it(double by, std::string words) {
        weight += by;
        speaks_for.push_back(std::move(words));
    }
    void against_it(double by, std::string words) {
        weight -= by;
        speaks_against.push_back(std::move(words));
    }
};

// Each adds to the evidence what the trace shows; nothing where it does not bear on the cause.
void shore_earth(const TraceFacts& facts, Evidence& evidence);
void too_much_anode(const TraceFacts& facts, Evidence& evidence);
void fed_by_the_dock(const TraceFacts& facts, Evidence& evidence);
void stray_current_aboard(const TraceFacts& facts, Evidence& evidence);
void own_load(const TraceFacts& facts, Evidence& evidence);
void isolator_or_open_earth(const TraceFacts& facts, Evidence& evidence);
void stray_current_outside(const TraceFacts& facts, Evidence& evidence);
void protection_lost(const TraceFacts& facts, Evidence& evidence);
void wasting_anodes(const TraceFacts& facts, Evidence& evidence);
void idle_anodes(const TraceFacts& facts, Evidence& evidence);
void spent_anodes(const TraceFacts& facts, Evidence& evidence);
void drifting_cell(const TraceFacts& facts, Evidence& evidence);
void settling_anodes(const TraceFacts& facts, Evidence& evidence);
void cell_in_doubt(const TraceFacts& facts, Evidence& evidence);
void lead_in_doubt(const TraceFacts& facts, Evidence& evidence);
void thinning_water(const TraceFacts& facts, Evidence& evidence);

} // namespace quaycell

#include "series/trace.h"

#include <array>
#include <fmt/format.h>

namespace quaycell {

namespace {

struct QualityWord {
    Quality bit;
    std::string_view word;
};
constexpr std::array<QualityWord, 14> words{{
    {Quality::uncalibrated, "uncalibrated"},
    {Quality::saturated, "saturated"},
    {Quality::cell_b_saturated, "cell-b-saturated"},
    {Quality::unsettled, "unsettled"},
    {Quality::converter_fault, "converter-fault"},
    {Quality::low_battery, "low-battery"},
    {Quality::clock_doubtful, "clock-doubtful"},
    {Quality::corrected, "corrected"},
    {Quality::cell_drying, "cell-drying"},
    {Quality::lead_not_good, "lead-not-good"},
    {Quality::lead_doubtful, "lead-doubtful"},
    {Quality::cell_b_drying, "cell-b-drying"},
    {Quality::cell_b_not_good, "cell-b-not-good"},
    {Quality::ac_clipped, "ac-clipped"},
}};

std::string all_words() {
    std::string list;
    for (const QualityWord& known : words) {
        if (!list.empty()) list += ", ";
        list += known.word;
    }
    return list;
}

} // namespace

std::string to_text(Quality quality) {
    std::string text;
    for (const QualityWord& known : words) {
        if (!has(quality, known.bit)) continue;
        if (!text.empty()) text += ' ';
        text += known.word;
    }
    return text;
}

Result<Quality> parse_quality(std::string_view text) {
    Quality quality = Quality::good;
    while (!text.empty()) {
        const std::string_view word = text.substr(0, text.find(' '));
        text.remove_prefix(std::min(word.size() + 1, text.size()));
        if (word.empty()) continue;
        bool found = false;
        for (const QualityWord& known : words) {
            if (word != known.word) continue;
            quality |= known.bit;
            found = true;
        }
        if (!found)
            return Error{ErrorCode::wrong_input, fmt::format("\"{}\" is not a quality", word), "",
                         fmt::format("The words are: {}.", all_words())};
    }
    return quality;
}

std::string_view name_of(EventKind kind) {
    switch (kind) {
    case EventKind::shore_power_on:
        return "shore-power-on";
    case EventKind::shore_power_off:
        return "shore-power-off";
    case EventKind::step:
        return "step";
    case EventKind::repeated_load:
        return "repeated-load";
    case EventKind::ac_rise:
        return "ac-rise";
    case EventKind::ac_fall:
        return "ac-fall";
    case EventKind::open_lead:
        return "open-lead";
    case EventKind::cell_dry:
        return "cell-dry";
    case EventKind::cells_disagree:
        return "cells-disagree";
    case EventKind::polarity_reversed:
        return "polarity-reversed";
    case EventKind::gap:
        return "gap";
    case EventKind::restart:
        return "restart";
    case EventKind::clock_set:
        return "clock-set";
    case EventKind::settling:
        return "settling";
    }
    return "";
}

} // namespace quaycell

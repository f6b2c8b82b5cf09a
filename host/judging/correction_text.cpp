#include "judging/correction_text.h"

#include <boost/json.hpp>
#include <fmt/format.h>
#include <functional>

namespace quaycell {

namespace {

namespace json = boost::json;

using TimeWords = std::function<std::string(Instant)>;

std::string words_of(const MovedTimes& moved) {
    const auto by = std::chrono::duration_cast<std::chrono::seconds>(moved.by);
    return fmt::format("times moved by {:+} s ({})", by.count(), to_text(std::chrono::abs(by)));
}
std::string words_of(const CellOn& cell) {
    return fmt::format("the cell was on {}", name_of(cell.scale));
}
std::string words_of(const WaterOf& water) {
    return fmt::format("the salinity was {} PSU", water.salinity_psu);
}
std::string words_of(const WaterAt& water) {
    return fmt::format("the water was at {} degC", water.temperature_c);
}
std::string words_of(const SwappedLeads&) {
    return "the leads of hull and cell A were swapped, polarity turned";
}
std::string words_of(const LeftOut&) {
    return "readings left out";
}

std::string part_text(const CorrectedPart& part, const StretchTimes& times,
                      const TimeWords& words) {
    if (part.from_start && part.to_end) return "all of it";
    if (part.to_end) return fmt::format("from {} on", words(times.from));
    if (part.from_start) return fmt::format("until {}", words(times.to));
    return fmt::format("{} to {}", words(times.from), words(times.to));
}

std::string part_text(const KnownCorrection& correction, const TimeWords& words) {
    const CorrectionRow& row = correction.row;
    const std::string written = part_text(row.part, {row.from, row.to}, words);
    if (!correction.now) return written;
    return fmt::format("{} ({} by the clock as it stood when this was written)",
                       part_text(row.part, *correction.now, words), written);
}

std::string what_text(const KnownCorrection& correction, const TimeWords& words) {
    if (!correction.change) return fmt::format("withdraws correction {}", correction.row.value);
    return fmt::format(
        "{}: {}", part_text(correction, words),
        std::visit([](const auto& change) { return words_of(change); }, *correction.change));
}

std::string text_of(const KnownCorrection& correction, const TimeWords& words) {
    const CorrectionRow& row = correction.row;
    const std::string whose = correction.deployment
                                  ? fmt::format("deployment {}", *correction.deployment)
                                  : "readings that this archive does not hold";
    const std::string taken_back =
        correction.withdrawn_by
            ? fmt::format("; withdrawn by correction {}", *correction.withdrawn_by)
            : "";
    return fmt::format("correction {} of {}, {}; why: {} ({}, written {}){}", row.number, whose,
                       what_text(correction, words), row.why, row.author, words(row.written_at),
                       taken_back);
}

json::value now_json(const std::optional<StretchTimes>& now) {
    if (!now) return nullptr;
    return json::object{{"from", to_text(now->from)}, {"to", to_text(now->to)}};
}

} // namespace

std::string correction_text(const KnownCorrection& correction) {
    return text_of(correction, [](Instant time) { return to_text(time); });
}

std::string correction_text(const KnownCorrection& correction, const Zone& zone) {
    return text_of(correction, [&](Instant time) { return to_words(time, zone); });
}

json::array corrections_json(const std::vector<KnownCorrection>& corrections) {
    json::array list;
    for (const KnownCorrection& correction : corrections) {
        const CorrectionRow& row = correction.row;
        const auto optional = [](const auto& value) {
            return value ? json::value(*value) : json::value(nullptr);
        };
        list.push_back({{"number", row.number},
                        {"deployment", optional(correction.deployment)},
                        {"kind", row.kind},
                        {"value", row.value},
                        {"from", to_text(row.from)},
                        {"to", to_text(row.to)},
                        {"now", now_json(correction.now)},
                        {"from_start", row.part.from_start},
                        {"to_end", row.part.to_end},
                        {"why", row.why},
                        {"author", row.author},
                        {"written_at", to_text(row.written_at)},
                        {"withdrawn_by", optional(correction.withdrawn_by)}});
    }
    return list;
}

} // namespace quaycell

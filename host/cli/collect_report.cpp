#include "cli/collect_report.h"

#include "cli/logger_port.h"
#include "judging/device_name.h"

#include <boost/json.hpp>
#include <fmt/format.h>

namespace quaycell {

namespace {

namespace json = boost::json;

json::array gaps_json(const CollectReport& report) {
    json::array gaps;
    for (const SequenceRange& gap : report.gaps)
        gaps.push_back({{"first_sequence", gap.first}, {"records", gap.count}});
    return gaps;
}

json::object rejects_json(const RejectCounts& rejects) {
    return {{"bad_checksum", rejects.bad_checksum}, {"bad_length", rejects.bad_length},
            {"bad_stuffing", rejects.bad_stuffing}, {"too_long", rejects.too_long},
            {"unknown_type", rejects.unknown_type}, {"unmatched", rejects.unmatched}};
}

} // namespace

json::object collect_json(const CollectReport& report) {
    return {{"device", device_name(report.device)},
            {"received", report.received},
            {"added", report.added},
            {"already_held", report.already_held},
            {"bad", report.bad},
            {"baud", report.baud},
            {"gaps", gaps_json(report)},
            {"worn_sectors", report.worn_sectors},
            {"damaged_frames", report.rejects.damaged()},
            {"rejects", rejects_json(report.rejects)}};
}

std::string worn_words(std::uint32_t sectors) {
    if (sectors == 0) return {};
    return fmt::format("memory: {} worn sector{} passed over; nothing is lost there\n", sectors,
                       sectors == 1 ? "" : "s");
}

std::string collect_words(const CollectReport& report, const std::string& archive) {
    std::string words = fmt::format(
        "logger {}: {} records added to {}{}\n", device_name(report.device), report.added, archive,
        report.added == 0 ? ", which holds all that the logger has" : "");
    for (const SequenceRange& gap : report.gaps)
        words += fmt::format("gap: {} records from number {} were torn or lost in the logger\n",
                             gap.count, gap.first);
    return words + worn_words(report.worn_sectors);
}

} // namespace quaycell

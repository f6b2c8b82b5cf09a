#include "cli/instrument_facts.h"

#include "cli/archive_contents.h"
#include "cli/cell_checks.h"

#include <fmt/chrono.h>
#include <fmt/format.h>

namespace quaycell {

namespace {

std::string calibration_words(const std::optional<wire::Calibration>& calibration) {
    if (!calibration) return "none: the readings are uncalibrated";
    const std::string with(calibration->instrument,
                           strnlen(calibration->instrument, sizeof calibration->instrument));
    const bool two = (calibration->flags & wire::calibration_two_temperatures) != 0;
    return fmt::format("{:%Y-%m-%d} against {}, at {}, within {:.2f} mV (k = 2); due {:%Y-%m-%d}",
                       from_unix_s(calibration->unix_s), with.empty() ? not_stated : with,
                       two ? "two temperatures" : "one temperature",
                       calibration->uncertainty_uv / 1000.0, from_unix_s(calibration->due_unix_s));
}

} // namespace

Result<InstrumentFacts> instrument_of(const TraceOptions& source, const TraceJudgement& judgement) {
    InstrumentFacts facts{{{"Readings", judgement.trace.name}}, {}};
    if (source.archive_file.empty()) {
        facts.entries.push_back({"Instrument", ""});
        facts.entries.push_back({"Calibration of the instrument", ""});
        return facts;
    }
    auto archive = open_to_read(source.archive_file);
    if (!archive) return archive.error();
    const auto entries = entries_of(*archive);
    if (!entries) return entries.error();
    const auto wanted = parse_wanted(source.deployments);
    if (!wanted) return wanted.error();
    const auto chosen = chosen_entries(*entries, *wanted, source.archive_file);
    if (!chosen) return chosen.error();
    for (const ArchiveEntry& entry : *chosen) {
        if (!entry.device) continue;
        const auto logger = archive->logger(*entry.device, entry.from.value_or(Instant::max()));
        if (!logger) return logger.error();
        const std::string whose =
            chosen->size() == 1 ? "" : fmt::format(", deployment {}", entry.number);
        facts.entries.push_back(
            {"Instrument" + whose,
             fmt::format("logger {:08x}, firmware {}.{}, build {:08x}", logger->device,
                         logger->firmware_version / 256, logger->firmware_version % 256,
                         logger->firmware_build)});
        facts.entries.push_back(
            {"Calibration of the instrument" + whose, calibration_words(logger->calibration)});
    }
    const auto checks = archive->cell_checks();
    if (!checks) return checks.error();
    const auto& time = judgement.trace.time;
    if (!time.empty())
        facts.cell_checks =
            trust_in(*checks, judgement.boat.cell_serial, time.front(), time.back()).remarks;
    return facts;
}

} // namespace quaycell

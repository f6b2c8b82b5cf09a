#include "dossier/instrument_facts.h"

#include "judging/cell_checks.h"

#include <algorithm>
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

std::string in_short(const LoggerRow& logger) {
    return fmt::format("logger {:08x}, {}", logger.device,
                       logger.calibration ? fmt::format("calibrated {:%Y-%m-%d}",
                                                        from_unix_s(logger.calibration->unix_s))
                                          : "uncalibrated");
}

} // namespace

namespace {

Result<std::optional<StatedMeter>>
meter_of(bool by_logger, const std::optional<StatedInstrument>& stated, const std::string& where) {
    if (!stated) return std::optional<StatedMeter>();
    if (by_logger)
        return Error{ErrorCode::wrong_input,
                     "a logger took these readings, and another instrument is stated", where,
                     "Leave [instrument] out: the report tells the logger and its calibration."};
    return std::optional(StatedMeter{stated->accuracy_mv, stated->input_mohm, stated->source_kohm});
}

} // namespace

Result<std::optional<StatedMeter>> meter_of(const TraceOrigin& origin,
                                            const std::optional<StatedInstrument>& stated,
                                            const std::string& where) {
    const bool by_logger = std::ranges::any_of(
        origin.parts, [](const OriginPart& part) { return part.logger.has_value(); });
    return meter_of(by_logger, stated, where);
}

Result<std::optional<StatedMeter>> meter_of(const KeptSurvey& kept,
                                            const std::optional<StatedInstrument>& stated,
                                            const std::string& where) {
    return meter_of(kept.row.device != 0, stated, where);
}

std::vector<Entry> survey_instrument(const KeptSurvey& kept,
                                     const std::optional<StatedInstrument>& stated) {
    std::vector<Entry> entries{{"Instrument", kept.row.instrument}};
    if (stated)
        entries.push_back({"The meter, as stated",
                           fmt::format("{}, within {:g} mV, input resistance {:g} Mohm",
                                       stated->name, stated->accuracy_mv, stated->input_mohm)});
    for (const LoggerFacts& logger : kept.loggers)
        entries.push_back({"Calibration of the instrument", calibration_words(logger.calibration)});
    if (kept.loggers.empty())
        entries.push_back({"Calibration of the instrument", stated ? stated->calibrated : ""});
    return entries;
}

InstrumentFacts instrument_of(const TraceOrigin& origin, const TraceJudgement& judgement,
                              const std::optional<StatedInstrument>& stated) {
    InstrumentFacts facts{{{"Readings", judgement.trace.name}}, "", {}};
    if (stated) {
        facts.entries.push_back(
            {"Instrument", fmt::format("{}, within {:g} mV, input resistance {:g} Mohm, as stated",
                                       stated->name, stated->accuracy_mv, stated->input_mohm)});
        facts.entries.push_back({"Calibration of the instrument", stated->calibrated});
    } else if (!origin.is_archive) {
        facts.entries.push_back({"Instrument", ""});
        facts.entries.push_back({"Calibration of the instrument", ""});
    }
    if (!origin.is_archive) {
        facts.in_short = stated ? stated->name : fmt::format("instrument {}", not_stated);
        return facts;
    }
    for (const OriginPart& part : origin.parts) {
        if (!part.logger) continue;
        const LoggerRow& logger = *part.logger;
        const std::string whose =
            origin.parts.size() == 1 ? "" : fmt::format(", deployment {}", part.number);
        facts.entries.push_back(
            {"Instrument" + whose,
             fmt::format("logger {:08x}, firmware {}.{}, build {:08x}", logger.device,
                         logger.firmware_version / 256, logger.firmware_version % 256,
                         logger.firmware_build)});
        facts.entries.push_back(
            {"Calibration of the instrument" + whose, calibration_words(logger.calibration)});
    }
    for (const OriginPart& part : origin.parts) {
        const std::string one = part.logger ? in_short(*part.logger)
                                : stated    ? stated->name
                                            : fmt::format("instrument {}", not_stated);
        if (facts.in_short.find(one) != std::string::npos) continue; // of two deployments
        facts.in_short += (facts.in_short.empty() ? "" : " and ") + one;
    }
    const auto& time = judgement.trace.time;
    if (!time.empty())
        facts.cell_checks =
            trust_in(origin.cell_checks, judgement.boat.cell_serial, time.front(), time.back())
                .remarks;
    return facts;
}

} // namespace quaycell

#include "dossier/made_with.h"

#include "dossier/report_files.h"
#include "judging/json_fields.h"
#include "judging/json_text.h"

#include <algorithm>
#include <boost/json.hpp>
#include <exception>

namespace quaycell {

namespace {

namespace json = boost::json;

/// No clock on earth is a day ahead of UTC, or behind.
constexpr std::chrono::hours most_ahead{24};

json::object stretch_json(const ZoneStretch& stretch) {
    return {{"from_ms", ms_of(stretch.from)},
            {"ahead_s", stretch.ahead.count()},
            {"abbreviation", stretch.abbreviation}};
}

ZoneStretch stretch_from(const json::value& value) {
    // Local time has been kept since long before 1970.
    const ZoneStretch stretch{Instant{Milliseconds{value.at("from_ms").to_number<std::int64_t>()}},
                              std::chrono::seconds{value.at("ahead_s").to_number<std::int64_t>()},
                              text_of(value.at("abbreviation"))};
    if (std::chrono::abs(stretch.ahead) > most_ahead || stretch.abbreviation.empty())
        throw std::invalid_argument("no clocks are like these");
    return stretch;
}

std::vector<ZoneStretch> zone_from(const json::value& value) {
    std::vector<ZoneStretch> stretches;
    for (const json::value& each : value.as_array())
        stretches.push_back(stretch_from(each));
    if (!std::ranges::is_sorted(stretches, {}, &ZoneStretch::from))
        throw std::invalid_argument("the clocks change in another order than that of time");
    return stretches;
}

} // namespace

std::string program_version() {
    return QUAYCELL_VERSION;
}

std::string made_with_document(const MadeWith& with) {
    json::array zone;
    for (const ZoneStretch& stretch : with.zone)
        zone.push_back(stretch_json(stretch));
    return to_document(json::object{
        {"program", with.program},
        {"options", json::array(with.said.begin(), with.said.end())},
        {"clock_ms", with.clock ? json::value(ms_of(*with.clock)) : json::value(nullptr)},
        {"zone", zone},
        {"drawn_with", with.drawn_with}});
}

Result<MadeWith> parse_made_with(std::string_view document) {
    try {
        const json::value value = json::parse(document);
        MadeWith with;
        with.program = text_of(value.at("program"));
        for (const json::value& each : value.at("options").as_array())
            with.said.push_back(text_of(each));
        if (const json::value& clock = value.at("clock_ms"); !clock.is_null())
            with.clock = instant_of(clock);
        with.zone = zone_from(value.at("zone"));
        with.drawn_with = text_of(value.at("drawn_with"));
        return with;
    } catch (const std::exception& error) { // how the library says that it is another document
        return Error{ErrorCode::wrong_input,
                     std::string("this does not say what the report was made with: ") +
                         error.what(),
                     options_name, "Ask for the report as it was sent first."};
    }
}

std::vector<ZoneStretch> stretches_of(const Zone& zone) {
    if (zone.name() == Zone().name()) return {};
    std::vector<ZoneStretch> stretches{zone.at(Instant::min())};
    std::ranges::copy(zone.changes(stretches.front().from, Instant::max()),
                      std::back_inserter(stretches));
    return stretches;
}

bool are_same(const std::vector<ZoneStretch>& one, const std::vector<ZoneStretch>& other) {
    return std::ranges::equal(one, other, [&](const ZoneStretch& a, const ZoneStretch& b) {
        return a.ahead == b.ahead && a.abbreviation == b.abbreviation &&
               (a.from == b.from || &a == one.data());
    });
}

} // namespace quaycell

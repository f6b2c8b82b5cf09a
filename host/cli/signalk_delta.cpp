#include "cli/signalk_delta.h"

#include "electrode/constants.h"
#include "judging/json_text.h"

#include <boost/json.hpp>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace json = boost::json;

namespace {

/// What stands under "quaycell.DEVICE.".
struct OwnPath {
    const char* name;
    const char* units; ///< SI; empty: none
    const char* description;
    json::value (*value)(const LiveView&);
};

json::value volts(double mv) {
    return rounded(mv / 1000, 6);
}

/// Missing where it is no hull's.
json::value metal_volts(const LiveView& view, double mv) {
    return view.shows_metal ? volts(mv) : json::value(nullptr);
}

const OwnPath own_paths[] = {
    {"hullPotential", "V",
     "Potential of the hull against silver/silver chloride in standard sea water (agcl/seawater)",
     [](const LiveView& v) { return metal_volts(v, v.shown.standard_mv); }},
    {"hullPotentialUncertainty", "V", "Expanded uncertainty of hullPotential, k = 2",
     [](const LiveView& v) { return metal_volts(v, v.shown.expanded_uncertainty_mv); }},
    {"cellPotential", "V", "Potential of the hull as measured, against the cell",
     [](const LiveView& v) { return metal_volts(v, v.shown.potential_mv); }},
    {"cellBPotential", "V", "Potential of the hull against the second cell",
     [](const LiveView& v) { return metal_volts(v, v.latest.cell_b_mv); }},
    {"verdict", "", "Whether the hull is protected, by the criterion in verdictLimit",
     [](const LiveView& v) { return json::value(v.words.verdict); }},
    {"verdictLimit", "", "The criterion that decides, or why there is no verdict",
     [](const LiveView& v) { return json::value(v.words.limit); }},
    {"readingSettled", "", "Ten readings one after another lie within 2 mV",
     [](const LiveView& v) { return json::value(v.reading.settled); }},
    {"cellSettled", "", "The potential drifts by no more than 2 mV in 5 minutes",
     [](const LiveView& v) { return json::value(v.cell.settled); }},
    {"potentialDrift", "V/s", "Drift of the potential over the last minutes",
     [](const LiveView& v) { return rounded(v.cell.drift_mv / 1000 / cell_watch_s, 9); }},
    {"acVoltage", "V", "AC at the cell, rms, as last measured",
     [](const LiveView& v) { return volts(v.ac.last_mv); }},
    {"acTooHigh", "",
     "AC was above the limit, or is perhaps: nobody in the water, call an electrician",
     [](const LiveView& v) { return json::value(v.ac.is_danger()); }},
    {"lead", "", "State of cell and leads",
     [](const LiveView& v) { return json::value(name_of(v.latest.lead)); }},
    {"sourceResistance", "ohm", "Resistance of cell and lead",
     [](const LiveView& v) { return rounded(v.latest.source_ohm, 0); }},
    {"batteryVoltage", "V", "Battery of the logger",
     [](const LiveView& v) { return volts(v.latest.battery_mv); }},
};

std::string path_of(const std::string& device, const char* name) {
    return fmt::format("quaycell.{}.{}", device, name);
}

std::string delta(const std::string& device, Instant at, const char* kind, json::array entries) {
    const json::object update{
        {"source", json::object{{"label", "quaycell"}, {"type", "quaycell"}, {"src", device}}},
        {"timestamp", to_text(at)},
        {kind, std::move(entries)}};
    std::string line =
        to_line(json::object{{"context", "vessels.self"}, {"updates", json::array{update}}});
    line.back() = '\r';
    return line + '\n';
}

} // namespace

std::string signalk_delta(const LiveView& view) {
    json::array values;
    for (const OwnPath& own : own_paths)
        values.push_back(
            json::object{{"path", path_of(view.device, own.name)}, {"value", own.value(view)}});
    const double celsius = view.latest.temperature_c;
    if (!std::isnan(celsius)) // the standard's own path: what others tell stays where we cannot
        values.push_back(json::object{{"path", "environment.water.temperature"},
                                      {"value", rounded(kelvin(celsius), 2)}});
    return delta(view.device, view.latest.time, "values", std::move(values));
}

std::string signalk_meta(const std::string& device, Instant at) {
    json::array entries;
    for (const OwnPath& own : own_paths) {
        json::object meta{{"description", own.description}};
        if (*own.units != '\0') meta["units"] = own.units;
        entries.push_back(json::object{{"path", path_of(device, own.name)}, {"value", meta}});
    }
    return delta(device, at, "meta", std::move(entries));
}

} // namespace quaycell

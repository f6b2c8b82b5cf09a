#include "judging/trace_json.h"

#include "judging/json_text.h"
#include "series/trace_csv_columns.h"

#include <boost/json.hpp>

namespace quaycell {

namespace {

namespace json = boost::json;

constexpr int decimals = 3; // as in the CSV

json::object reading_json(const Trace& trace, std::size_t row, double standard_mv) {
    json::object reading{{"time", to_text(trace.time[row])}};
    for (const csv::NumberColumn& column : csv::number_columns)
        if (!(trace.*column.values).empty())
            reading[column.name] = rounded((trace.*column.values)[row], decimals);
    if (!trace.quality.empty()) reading["quality"] = to_text(trace.quality[row]);
    reading["standard_mv"] = rounded(standard_mv, decimals);
    return reading;
}

json::array joints_json(const Trace& trace) {
    json::array joints;
    for (const Joint& joint : trace.joints)
        joints.push_back({{"time", to_text(trace.time[joint.first])}, {"what", joint.what}});
    return joints;
}

} // namespace

std::string trace_json(const Trace& trace, std::span<const double> standard_mv,
                       const std::vector<std::string>& assumed,
                       const std::vector<std::string>& remarks) {
    // One reading a line, and never all of them in the library's own form: that takes ten times the
    // memory.
    std::string text = to_document(json::object{
        {"name", trace.name},
        {"cell_scale", trace.cell_scale ? json::value(name_of(*trace.cell_scale)) : nullptr},
        {"standard_scale", name_of(Scale::agcl_seawater)},
        {"assumed", json::array(assumed.begin(), assumed.end())},
        {"remarks", json::array(remarks.begin(), remarks.end())},
        {"joints", joints_json(trace)}});
    text.resize(text.rfind('\n', text.size() - 2)); // the brace that ends it
    text += ",\n  \"readings\": [";
    for (std::size_t row = 0; row < trace.time.size(); ++row) {
        text += row == 0 ? "\n    " : ",\n    ";
        text += to_line(reading_json(trace, row, standard_mv[row]));
        text.pop_back(); // the end of the line
    }
    text += "\n  ]\n}\n";
    return text;
}

} // namespace quaycell

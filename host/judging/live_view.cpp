#include "judging/live_view.h"

#include "judging/json_text.h"

#include <boost/json.hpp>
#include <cmath>

namespace quaycell {

namespace json = boost::json;

namespace {

json::object reading_json(const LiveLine& line, Scale display) {
    return {{"potential_mv", rounded(line.potential_mv, 2)},
            {"standard_mv", rounded(line.standard_mv, 2)},
            {"scale", name_of(Scale::agcl_seawater)},
            {"expanded_uncertainty_mv", rounded(line.expanded_uncertainty_mv, 1)},
            {"verdict", name_of(line.judgement.verdict)},
            {"display",
             json::object{{"scale", name_of(display)},
                          {"potential_mv", rounded(line.display_mv, 2)},
                          {"expanded_uncertainty_mv", rounded(line.display_expanded_mv, 1)}}}};
}

json::value shore_json(const std::optional<ShoreSaid>& shore) {
    if (!shore) return nullptr;
    return json::object{{"cord", name_of(shore->cord)},
                        {"at", to_text(shore->at)},
                        {"before_mv", rounded(shore->before_mv, 1)},
                        {"change_mv", rounded(shore->change_mv, 1)}};
}

json::object words_json(const LiveWords& words) {
    return {{"verdict", words.verdict}, {"doubt", words.doubt},     {"limit", words.limit},
            {"source", words.source},   {"reading", words.reading}, {"cell", words.cell},
            {"leads", words.leads},     {"ac", words.ac},           {"water", words.water},
            {"battery", words.battery}, {"shore", words.shore}};
}

} // namespace

json::object live_view_json(const LiveView& view) {
    const LiveLine& line = view.latest;
    json::object object{{"time", to_text(line.time)}, {"device", view.device}};
    for (const auto& [key, value] : reading_json(line, view.display_scale))
        object[key] = value;
    object["cell_scale"] = name_of(view.cell_scale);
    object["cell_b_mv"] = rounded(line.cell_b_mv, 2);
    object["ac_mv"] = rounded(line.ac_mv, 1);
    object["lead"] = name_of(line.lead);
    object["lead_why"] = line.lead_words;
    object["lead_looked_ago_s"] = rounded(line.looked_ago_s, 0);
    object["source_ohm"] = rounded(line.source_ohm, 0);
    object["temperature_c"] = rounded(line.temperature_c, 2);
    object["battery_mv"] = rounded(line.battery_mv, 0);
    object["quality"] = to_text(line.quality);
    object["recorded"] = line.recorded;
    object["shown"] = reading_json(view.shown, view.display_scale);
    object["shows_metal"] = view.shows_metal;
    object["reading"] = json::object{{"settled", view.reading.settled},
                                     {"readings", view.reading.readings},
                                     {"spread_mv", rounded(view.reading.spread_mv, 2)}};
    object["cell"] = json::object{{"settled", view.cell.settled},
                                  {"drift_mv_in_5_min", rounded(view.cell.drift_mv, 2)},
                                  {"watched_s", rounded(view.cell.watched_s, 0)}};
    object["ac"] = json::object{{"last_mv", rounded(view.ac.last_mv, 1)},
                                {"at_least", view.ac.at_least},
                                {"highest_mv", rounded(view.ac.highest_mv, 1)},
                                {"highest_at", std::isnan(view.ac.highest_mv)
                                                   ? json::value(nullptr)
                                                   : json::value(to_text(view.ac.highest_at))},
                                {"too_high", view.ac.too_high},
                                {"perhaps_too_high", view.ac.is_perhaps_too_high()}};
    object["shore"] = shore_json(view.shore);
    object["words"] = words_json(view.words);
    object["cautions"] = json::array(view.cautions.begin(), view.cautions.end());
    return object;
}

} // namespace quaycell

#include "dossier/survey_comparison.h"

#include <algorithm>
#include <boost/json.hpp>
#include <exception>
#include <fmt/format.h>

namespace quaycell {

namespace {

namespace json = boost::json;

constexpr std::size_t longest_shown = 60;

std::string shown(const json::value& value) {
    std::string text = json::serialize(value);
    if (text.size() > longest_shown) text = text.substr(0, longest_shown) + "...";
    return text;
}

/// "entry 7: point is ... here, ... in the archive"
std::string difference_of(const json::object& stated, const json::object& held,
                          const std::string& what) {
    for (const auto& [key, value] : stated) {
        const json::value* const other = held.if_contains(key);
        if (other == nullptr || *other != value)
            return fmt::format("{}: {} is {} here, {} in the archive", what, std::string(key),
                               shown(value), other == nullptr ? "nothing" : shown(*other));
    }
    return "";
}

/// Of rows that have a key of their own.
std::string difference_of_rows(const json::array& stated, const json::array& held,
                               std::string_view key, const char* what) {
    const auto row_like = [key](const json::array& rows, const json::value& row) {
        return std::ranges::find_if(
            rows, [&](const json::value& each) { return each.at(key) == row.at(key); });
    };
    for (const json::value& row : stated) {
        const std::string name = fmt::format("{} {}", what, shown(row.at(key)));
        const auto* const other = row_like(held, row);
        if (other == held.end()) return name + " is not in the archive";
        if (auto found = difference_of(row.as_object(), other->as_object(), name); !found.empty())
            return found;
    }
    for (const json::value& row : held)
        if (row_like(stated, row) == stated.end())
            return fmt::format("{} {} is in the archive, and not here", what, shown(row.at(key)));
    for (std::size_t i = 0; i < stated.size(); ++i)
        if (i >= held.size() || stated[i].at(key) != held[i].at(key))
            return fmt::format("{} {} stands here twice, or in another order", what,
                               shown(stated[i].at(key)));
    return "";
}

std::string difference_of(const json::value& stated, const json::value& held) {
    std::string found = difference_of(stated.at("survey").as_object(),
                                      held.at("survey").as_object(), "its beginning");
    if (found.empty())
        found = difference_of_rows(stated.at("points").as_array(), held.at("points").as_array(),
                                   "name", "point");
    if (found.empty())
        found = difference_of_rows(stated.at("entries").as_array(), held.at("entries").as_array(),
                                   "number", "entry");
    if (found.empty() && stated.at("loggers") != held.at("loggers"))
        found = "the calibrations of its logger are others in the archive";
    return found;
}

} // namespace

std::string first_difference_of_surveys(std::string_view stated, std::string_view held) {
    try {
        return difference_of(json::parse(stated), json::parse(held));
    } catch (const std::exception& error) { // how the library says that it is another document
        return fmt::format("it cannot be read: {}", error.what());
    }
}

} // namespace quaycell

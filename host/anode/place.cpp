#include "anode/place.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <string>
#include <vector>

namespace quaycell {

namespace {

constexpr std::string_view practice = "common practice, no source";
constexpr std::string_view practice_status = "common practice";

constexpr std::array places{
    AnodePlace{"shaft", "a collar in two halves",
               "the room between bearing and propeller: water has to get into the bearing, and "
               "the collar must not reach the propeller",
               "Is it tight on bare metal? A loose one rattles and does nothing.", true, practice,
               practice_status},
    AnodePlace{"propeller", "a ring or plates on the hub",
               "the hub: what stands into the flow costs speed and is worn off",
               "Is the hub bare metal under it? Not painted, not greased.", true, practice,
               practice_status},
    AnodePlace{"propeller-nut", "a cone on the nut",
               "the nut's diameter and thread; the flow off the propeller wears it fast",
               "Is its screw tight and locked? Is the nut still held without it?", true, practice,
               practice_status},
    AnodePlace{"hull", "plates or bars on studs",
               "where it sits: in sight of the metal, clear of intakes, logs and the flow into "
               "the propeller",
               "Are its studs bonded inside, below 1 ohm? Is it unpainted?", true,
               "ABYC E-2 as quoted by a surveyor on bonding below 1 ohm", "transcribed"},
    AnodePlace{"rudder", "discs on both sides, through one bolt",
               "both sides alike, or the rudder pulls; thin, or it shakes",
               "Is the blade still bonded to the stock and the stock to the boat?", true, practice,
               practice_status},
    AnodePlace{"trim-tab", "a disc on each tab", "the tab's face; clear of its edge and its hinge",
               "Is each tab bonded? Its ram often is not.", true, practice, practice_status},
    AnodePlace{"drive", "the parts made for the outdrive or outboard",
               "the maker's own shapes: several, each for its place",
               "All of them, the ones behind the propeller and inside the bracket, too; none "
               "painted. A drive tilted out of the water is not protected.",
               true, practice, practice_status},
    AnodePlace{"heat-exchanger", "a pencil screwed into the end cap",
               "the length of the old one: a longer one stops the water",
               "By eye at the yearly service, and once more in the season: a cell outside the hull "
               "sees nothing of it.",
               false, "surveyors' lexicon on engines", "read"},
    AnodePlace{"engine", "pencils in block, cooler and manifold",
               "the maker's own sizes; a broken-off end has to come out",
               "By eye at the yearly service: a cell outside the hull sees nothing of the cooling "
               "water.",
               false, "surveyors' lexicon on engines", "read"},
};

/// In small letters, cut at all that is no letter and no digit.
std::vector<std::string> words_of(std::string_view text) {
    std::vector<std::string> words{""};
    for (const char each : text) {
        if ((each >= 'a' && each <= 'z') || (each >= '0' && each <= '9'))
            words.back() += each;
        else if (each >= 'A' && each <= 'Z')
            words.back() += static_cast<char>(each - 'A' + 'a');
        else
            words.emplace_back();
    }
    std::erase(words, "");
    return words;
}

/// Whether the word says only which of several.
bool tells_one_of_several(const std::string& word) {
    constexpr std::array which = std::to_array<std::string_view>(
        {"port", "starboard", "left", "right", "main", "forward", "aft", "upper", "lower"});
    return word.find_first_not_of("0123456789") == std::string::npos ||
           std::ranges::find(which, word) != which.end();
}

bool begin_with(const std::vector<std::string>& words, const std::vector<std::string>& name) {
    return words.size() >= name.size() && std::equal(name.begin(), name.end(), words.begin());
}

} // namespace

std::span<const AnodePlace> all_anode_places() {
    return places;
}

Result<AnodePlace> anode_place_named(std::string_view name) {
    const auto found = std::ranges::find(places, name, &AnodePlace::name);
    if (found != places.end()) return *found;
    std::vector<std::string_view> names;
    for (const AnodePlace& each : places)
        names.push_back(each.name);
    return Error{ErrorCode::wrong_usage, fmt::format("no anode sits at a place \"{}\"", name), "",
                 fmt::format("Say one of {}", fmt::join(names, ", "))};
}

std::optional<AnodePlace> anode_place_in(std::string_view text) {
    auto words = words_of(text);
    std::erase_if(words, tells_one_of_several);
    std::optional<AnodePlace> found;
    std::size_t longest = 0; // a propeller's nut is not its hub
    for (const AnodePlace& place : places) {
        const auto name = words_of(place.name);
        if (!begin_with(words, name) || name.size() <= longest) continue;
        if (!place.seen_by_hull_cell && words.size() > name.size()) continue;
        found = place;
        longest = name.size();
    }
    return found;
}

bool may_lie_in_hulls_water(std::string_view words) {
    const auto place = anode_place_in(words);
    return !place || place->seen_by_hull_cell;
}

} // namespace quaycell

#include "anode/alloy.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <vector>

namespace quaycell {

namespace {

/// By the order of the enum.
constexpr std::array alloys{
    AlloyFacts{Alloy::zinc,
               "zinc",
               {780, 780},
               "DNV-RP-B401 and ABS Guidance Notes on Cathodic Protection of Ships (2017)",
               {-1030, -1000},
               "DNV-RP-B401: -1000 mV in 2010 and 2017, -1030 mV in 2021",
               7130,
               "zinc metal",
               820,
               "transcribed; density from memory"},
    AlloyFacts{Alloy::aluminium,
               "aluminium",
               {2000, 2500},
               "DNV-RP-B401 (2021): 2000; ABS Guidance Notes (2017), A1 to A3: 2500",
               {-1090, -1050},
               "DNV-RP-B401: -1050 mV; ABS Guidance Notes (2017), A1 to A3: -1090 mV",
               2750,
               "aluminium-zinc-indium; as in a worked example of a ship, of unnamed source",
               2980,
               "transcribed"},
    AlloyFacts{Alloy::magnesium,
               "magnesium",
               {1200, 1200},
               "ABS Guidance Notes (2017), M1 and M2",
               {-1700, -1500},
               "ABS Guidance Notes (2017): M2 -1700 mV, M1 -1500 mV",
               1770,
               "magnesium alloy",
               2205,
               "transcribed; density from memory"},
};

} // namespace

std::span<const AlloyFacts> all_alloys() {
    return alloys;
}

const AlloyFacts& facts_of(Alloy alloy) {
    return alloys.at(static_cast<std::size_t>(alloy));
}

std::string_view name_of(Alloy alloy) {
    return facts_of(alloy).name;
}

Result<Alloy> alloy_named(std::string_view name) {
    const auto found = std::ranges::find(alloys, name, &AlloyFacts::name);
    if (found != alloys.end()) return found->alloy;
    std::vector<std::string_view> names;
    for (const AlloyFacts& each : alloys)
        names.push_back(each.name);
    return Error{ErrorCode::wrong_usage, fmt::format("no anode alloy is called \"{}\"", name), "",
                 fmt::format("Say one of {}", fmt::join(names, ", "))};
}

} // namespace quaycell

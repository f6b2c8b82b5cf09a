#include "dossier/record_comparison.h"

#include "wire/record.h"

#include <algorithm>
#include <cstring>
#include <fmt/format.h>
#include <utility>

namespace quaycell {

namespace {

using Place = std::pair<std::uint16_t, std::uint32_t>; ///< restart and number

Place place_of(const std::uint8_t* record) {
    const auto head = wire::from_bytes<wire::RecordHead>(record);
    return {head.boot, head.sequence};
}

std::string words_for(Place place) {
    return fmt::format("record {} of restart {}", place.second, place.first);
}

} // namespace

std::string first_difference_of_records(std::string_view stated,
                                        std::span<const RecordBytes> held) {
    const auto* next = reinterpret_cast<const std::uint8_t*>(stated.data());
    const auto* const end = next + stated.size();
    if (next == end) return "";
    const auto held_place = [](const RecordBytes& record) { return place_of(record.data()); };
    auto other = std::ranges::lower_bound(held, place_of(next), {}, held_place);
    for (; next != end; next += wire::record_size) {
        if (other != held.end() && std::memcmp(next, other->data(), wire::record_size) == 0) {
            ++other;
            continue;
        }
        if (other != held.end() && held_place(*other) < place_of(next))
            return words_for(held_place(*other)) + " is in the archive, and not here";
        return words_for(place_of(next)) + " is not in the archive as it is here";
    }
    return "";
}

} // namespace quaycell

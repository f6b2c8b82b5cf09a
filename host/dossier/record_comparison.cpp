#include "dossier/record_comparison.h"

#include "wire/record.h"

#include <cstring>
#include <fmt/format.h>
#include <utility>

namespace quaycell {

namespace {

constexpr std::size_t read_at_once = 8192 * wire::record_size;

using Place = std::pair<std::uint16_t, std::uint32_t>; ///< restart and number

Place place_of(const std::uint8_t* record) {
    const auto head = wire::from_bytes<wire::RecordHead>(record);
    return {head.boot, head.sequence};
}

std::string words_for(Place place) {
    return fmt::format("record {} of restart {}", place.second, place.first);
}

std::string not_held(std::string_view stated) {
    return words_for(place_of(reinterpret_cast<const std::uint8_t*>(stated.data()))) +
           " is not in the archive as it is here";
}

} // namespace

RecordComparison::RecordComparison(FileBytes stated) : stated_(std::move(stated)) {
    take_next();
}

void RecordComparison::take_next() {
    if (!rest_.empty()) rest_.remove_prefix(wire::record_size);
    if (!rest_.empty()) return;
    const auto read = stated_.next(read_at_once);
    if (read)
        rest_ = read->substr(0, read->size() - read->size() % wire::record_size);
    else
        failure_ = read.error();
}

void RecordComparison::see(std::span<const std::uint8_t> held) {
    for (; !held.empty() && !is_settled(); held = held.subspan(wire::record_size))
        compare(held.data());
}

void RecordComparison::compare(const std::uint8_t* held) {
    if (std::memcmp(rest_.data(), held, wire::record_size) == 0) {
        is_begun_ = true;
        take_next();
        return;
    }
    const Place place = place_of(held);
    if (place >= place_of(reinterpret_cast<const std::uint8_t*>(rest_.data())))
        difference_ = not_held(rest_);
    else if (is_begun_)
        difference_ = words_for(place) + " is in the archive, and not here";
}

Result<std::string> RecordComparison::difference() && {
    if (failure_) return *failure_;
    if (difference_.empty() && !rest_.empty()) difference_ = not_held(rest_);
    return std::move(difference_);
}

} // namespace quaycell

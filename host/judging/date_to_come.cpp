#include "judging/date_to_come.h"

#include <fmt/format.h>

namespace quaycell {

bool is_to_come(const WhenDone& when, Instant now) {
    return when.earliest > now + std::chrono::days{1};
}

std::optional<Error> date_to_come(const Vessel& vessel, Instant now, const std::string& file) {
    const auto complaint = [&](const std::optional<WhenDone>& when,
                               const std::string& what) -> std::optional<Error> {
        if (!when || !is_to_come(*when, now)) return std::nullopt;
        return Error{ErrorCode::wrong_input,
                     fmt::format("{}, {}, lies in the future", what, when->text), file,
                     "Put the date right, or this computer's clock."};
    };
    if (auto error = complaint(vessel.launched, "the launch")) return error;
    for (const AnodeFacts& anode : vessel.anodes)
        if (auto error = complaint(anode.fitted, "the fitting of anode \"" + anode.place + '"'))
            return error;
    return std::nullopt;
}

} // namespace quaycell

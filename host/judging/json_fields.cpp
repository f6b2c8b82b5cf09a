#include "judging/json_fields.h"

#include <boost/json.hpp>

namespace quaycell {

std::int64_t ms_of(Instant time) {
    return time.time_since_epoch().count();
}

Instant instant_of(const boost::json::value& ms) {
    return Instant(Milliseconds(ms.to_number<std::int64_t>()));
}

std::string text_of(const boost::json::value& text) {
    return std::string(text.as_string());
}

} // namespace quaycell

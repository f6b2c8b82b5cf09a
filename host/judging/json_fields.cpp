#include "judging/json_fields.h"

#include "base/known_time.h"

#include <boost/json.hpp>
#include <cmath>
#include <stdexcept>

namespace quaycell {

std::int64_t ms_of(Instant time) {
    return time.time_since_epoch().count();
}

Instant instant_of(const boost::json::value& ms) {
    const auto at = from_unix_ms(ms.to_number<std::int64_t>());
    if (!at) throw std::out_of_range(at.error().what);
    return *at;
}

double finite_of(const boost::json::value& number) {
    const auto value = number.to_number<double>();
    if (!std::isfinite(value)) throw std::out_of_range("a number is too large");
    return value;
}

std::string text_of(const boost::json::value& text) {
    return std::string(text.as_string());
}

} // namespace quaycell

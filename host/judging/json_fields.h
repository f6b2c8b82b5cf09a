// Fields of the JSON documents that the program reads again. Reading throws, as their library does,
// where a document holds something else.
#pragma once

#include "base/time.h"

#include <boost/json/fwd.hpp>
#include <string>

namespace quaycell {

/// An instant as milliseconds of UTC since 1970, and back: one that is_known_time().
std::int64_t ms_of(Instant time);
Instant instant_of(const boost::json::value& ms);

/// A number that is not infinite, as one with a large exponent is read.
double finite_of(const boost::json::value& number);

std::string text_of(const boost::json::value& text);

} // namespace quaycell

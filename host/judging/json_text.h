// JSON as a person and a program like to read it.
#pragma once

#include <boost/json/fwd.hpp>
#include <string>

namespace quaycell {

/// Indented by two, numbers in plain notation, keys in the order they were added. Ends in a
/// newline.
std::string to_document(const boost::json::value& value);

/// The same on one line. Ends in a newline.
std::string to_line(const boost::json::value& value);

/// `value` rounded to so many decimals, null where it is not a number.
boost::json::value rounded(double value, int decimals);

} // namespace quaycell

// A calibration for a person and for a program to read.
#pragma once

#include "cli/calibration_walk.h"

#include <boost/json/fwd.hpp>

namespace quaycell {

/// What the record holds, a line each, and whether it is due again.
std::string calibration_text(const wire::Calibration& calibration, Instant now);
boost::json::object calibration_json(const wire::Calibration& calibration, Instant now);

/// "2026-05-04, against INSTRUMENT, at one temperature; due again 2027-05-04".
std::string calibration_line(const wire::Calibration& calibration, Instant now);

/// The checks of a walk and what was left out.
std::string walked_text(const Walked& walked);
void add_walked(boost::json::object& document, const Walked& walked);

} // namespace quaycell

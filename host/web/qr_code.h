// An address as a QR code (ISO/IEC 18004) made of letters, for a telephone to read off a terminal.
#pragma once

#include "base/result.h"

#include <string>

namespace quaycell::web {

/// Two rows of modules a line, dark on light whatever the terminal's colours are: in half blocks
/// (U+2580) with the terminal's own black and white set, and a quiet zone of four modules. Error
/// (out_of_range): too long for a code.
Result<std::string> qr_code(const std::string& address);

} // namespace quaycell::web

#include "web/qr_code.h"

#include <memory>
#include <qrencode.h>

namespace quaycell::web {

namespace {

constexpr int quiet_zone = 4; // modules, ISO/IEC 18004 (from memory)

// ECMA-48 SGR: black or white ink (upper module) on black or white ground (lower module).
constexpr const char* ink[] = {"\x1b[97m", "\x1b[30m"};
constexpr const char* ground[] = {"\x1b[107m", "\x1b[40m"};
constexpr const char* upper_half = "\xe2\x96\x80";
constexpr const char* as_before = "\x1b[0m\n";

} // namespace

Result<std::string> qr_code(const std::string& address) {
    const std::unique_ptr<QRcode, decltype(&QRcode_free)> code(
        QRcode_encodeString8bit(address.c_str(), 0, QR_ECLEVEL_L), QRcode_free);
    if (!code) return Error{ErrorCode::out_of_range, "no QR code holds this address", address, ""};
    const auto dark = [&](int row, int column) {
        if (row < 0 || column < 0 || row >= code->width || column >= code->width) return 0;
        return code->data[row * code->width + column] & 1;
    };
    std::string text;
    for (int row = -quiet_zone; row < code->width + quiet_zone; row += 2) {
        for (int column = -quiet_zone; column < code->width + quiet_zone; ++column) {
            text += ink[dark(row, column)];
            text += ground[dark(row + 1, column)];
            text += upper_half;
        }
        text += as_before;
    }
    return text;
}

} // namespace quaycell::web

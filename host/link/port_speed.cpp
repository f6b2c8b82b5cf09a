#include "link/port_speed.h"

#include <algorithm>
#include <array>
#include <termios.h>

namespace quaycell {

bool set_port_speed(int descriptor, std::uint32_t baud) {
    struct Speed {
        std::uint32_t baud;
        speed_t code;
    };
    constexpr std::array<Speed, 4> known{
        {{115200, B115200}, {230400, B230400}, {460800, B460800}, {921600, B921600}}};
    const auto* const speed = std::ranges::find(known, baud, &Speed::baud);
    termios line{};
    if (speed == known.end() || tcgetattr(descriptor, &line) != 0) return false;
    if (cfsetspeed(&line, speed->code) != 0 || tcsetattr(descriptor, TCSANOW, &line) != 0)
        return false;
    // A driver may take the order and leave the speed as it was.
    return tcgetattr(descriptor, &line) == 0 && cfgetospeed(&line) == speed->code;
}

} // namespace quaycell

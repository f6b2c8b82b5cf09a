#include "link/port_error.h"

#include <cerrno>
#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("What keeps a port from opening is told apart") {
    CHECK(cannot_open("/dev/ttyUSB0", ENOENT).what == "there is no such port");
    // What an adapter leaves behind that is gone, or that nothing was ever plugged into.
    CHECK(cannot_open("/dev/ttyUSB0", ENXIO).what == "nothing is plugged in at this port");
    CHECK(cannot_open("/dev/ttyUSB0", ENODEV).code == ErrorCode::not_found);
    CHECK(cannot_open("/dev/ttyUSB0", EBUSY).code == ErrorCode::in_use);
    CHECK(cannot_open("/dev/ttyUSB0", ENOTTY).what == "this is not a serial port");
    const Error other = cannot_open("/dev/ttyUSB0", EIO);
    CHECK(other.code == ErrorCode::failed);
    CHECK(other.where == "/dev/ttyUSB0");
    CHECK_FALSE(other.remedy.empty());
}

TEST_CASE("A line that ends was unplugged, whatever the system calls it") {
    for (const int error_number : {0, EIO, ENXIO, ENODEV, EPIPE}) {
        const Error error = line_broke("/dev/ttyUSB0", error_number);
        CHECK(error.code == ErrorCode::unplugged);
        CHECK(error.what == "the logger was unplugged");
    }
    CHECK(line_broke("/dev/ttyUSB0", EINVAL).what.starts_with("the line broke"));
}

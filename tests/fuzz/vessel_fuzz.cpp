// Any text as a vessel file: a vessel or a complaint that names the place.
#include "fuzz/input.h"

#include "vessel/vessel.h"

using namespace quaycell;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t count) {
    const auto vessel = parse_vessel(fuzz::text_of(bytes, count), "tern.toml");
    if (vessel)
        fuzz::promise(!vessel->name.empty());
    else
        fuzz::promise(vessel.error().where.starts_with("tern.toml") &&
                      !vessel.error().what.empty());
    return 0;
}

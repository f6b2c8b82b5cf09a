// Any text as a table of criteria, and what can be read of it as the rules for a boat.
#include "fuzz/input.h"

#include "electrode/presets.h"
#include "protection/rules.h"

using namespace quaycell;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t count) {
    const auto criteria = parse_criteria(fuzz::text_of(bytes, count), "criteria.toml");
    if (!criteria) {
        fuzz::promise(criteria.error().where.starts_with("criteria.toml") &&
                      !criteria.error().what.empty());
        return 0;
    }
    for (const std::string& set : rule_sets_in(*criteria)) {
        for (const Hull hull : all_hulls())
            (void)prepare_rules(*criteria, {hull, {"copper-alloy"}, set}, Water{});
    }
    return 0;
}

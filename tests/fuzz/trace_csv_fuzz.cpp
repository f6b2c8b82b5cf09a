// Any text as a trace CSV. What is read and written is read back the same.
#include "fuzz/input.h"

#include "series/trace_csv.h"

#include <algorithm>

using namespace quaycell;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t count) {
    const auto trace = read_trace_csv(fuzz::text_of(bytes, count), "trace.csv");
    if (!trace) {
        fuzz::promise(trace.error().where.starts_with("trace.csv") && !trace.error().what.empty());
        return 0;
    }
    fuzz::promise(trace->potential_mv.size() == trace->time.size());
    fuzz::promise(std::ranges::adjacent_find(trace->time, std::greater_equal{}) ==
                  trace->time.end());
    const std::string once = write_trace_csv(*trace, {});
    const auto again = read_trace_csv(once, "again.csv");
    fuzz::promise(static_cast<bool>(again));
    fuzz::promise(again->time == trace->time && again->quality == trace->quality);
    fuzz::promise(write_trace_csv(*again, {}) == once);
    return 0;
}

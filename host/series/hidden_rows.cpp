#include "series/hidden_rows.h"

#include "series/trace.h"

#include <algorithm>

namespace quaycell {

std::vector<Rows> hidden_rows(const std::vector<bool>& shows_hull) {
    std::vector<Rows> hidden;
    for (std::size_t row = 0; row < shows_hull.size(); ++row) {
        if (shows_hull[row]) continue;
        if (hidden.empty() || hidden.back().end != row) hidden.push_back({row, row});
        ++hidden.back().end;
    }
    return hidden;
}

Column<double> without_hidden(const Column<ByConstants>& standard_mv, std::vector<Rows> hidden) {
    return {standard_mv.size(),
            [standard_mv, hidden = std::move(hidden)](std::size_t first, std::span<double> out) {
                const std::span<const ByConstants> values = standard_mv.from(first);
                for (std::size_t i = 0; i < out.size(); ++i)
                    out[i] = values[i].less_negative_mv();
                const std::size_t end = first + out.size();
                for (auto rows = std::ranges::upper_bound(hidden, first, {}, &Rows::end);
                     rows != hidden.end() && rows->first < end; ++rows)
                    for (std::size_t row = std::max(first, rows->first);
                         row < std::min(end, rows->end); ++row)
                        out[row - first] = missing_value;
            }};
}

} // namespace quaycell

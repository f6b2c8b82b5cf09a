// Made traces, drawn; and what every scene has to hold.
#pragma once

#include "chart/trace_chart.h"
#include "scene_text.h"

#include <cmath>
#include <doctest/doctest.h>

namespace quaycell::testing {

inline const Instant monday = parse_instant("2026-05-04T00:00:00Z").value();

inline Rules aluminium() {
    Criterion criterion;
    criterion.subject = "aluminium";
    criterion.source = "A table of limits";
    criterion.status = "from memory";
    criterion.protected_from_mv = -950;
    criterion.over_at_mv = -1100;
    Rules rules;
    rules.rules.push_back({criterion, {-950, -1100}, 0, true, true, false, false});
    return rules;
}

/// The potentials of a trace, taken for those on agcl/seawater.
inline JudgedTrace judged_as_it_is(const Trace& trace, const Rules& rules) {
    const std::vector<ByConstants> standard_mv(trace.potential_mv.begin(),
                                               trace.potential_mv.end());
    const std::vector<double> expanded(trace.time.size(), 10);
    return judge_trace(trace, rules, standard_mv, expanded);
}

/// A made-up tide about `middle_mv`.
inline Trace tide(std::size_t count, double interval_s, double middle_mv = -980) {
    Trace trace;
    for (std::size_t i = 0; i < count; ++i) {
        const double at_s = static_cast<double>(i) * interval_s;
        trace.time.push_back(monday + Milliseconds{static_cast<std::int64_t>(at_s * 1000)});
        trace.potential_mv.push_back(middle_mv + 25 * std::sin(at_s / 7000));
    }
    return trace;
}

inline const ChartFacts facts{"Hull potential",
                              "Tern",
                              "berth 14 (invented)",
                              "",
                              {"Measured against a cell on agcl/open, shown on agcl/seawater."}};

inline Scene scene_of(const Trace& trace, ChartOptions options = {},
                      const Rules& rules = aluminium()) {
    const JudgedTrace judged = judged_as_it_is(trace, rules);
    return draw_trace(trace, judged, bands_of(rules), facts, options, fake_text_width);
}

inline void check_texts(const Scene& scene) {
    const std::vector<Text> texts = texts_of(scene);
    for (std::size_t i = 0; i < texts.size(); ++i) {
        CAPTURE(texts[i].text);
        const Rectangle box = box_of(texts[i]);
        CHECK(box.left_mm >= 0);
        CHECK(box.top_mm >= 0);
        CHECK(box.right_mm() <= scene.width_mm);
        CHECK(box.bottom_mm() <= scene.height_mm);
        for (std::size_t j = i + 1; j < texts.size(); ++j) {
            CAPTURE(texts[j].text);
            CHECK_FALSE(overlap(box, box_of(texts[j])));
        }
    }
}

} // namespace quaycell::testing

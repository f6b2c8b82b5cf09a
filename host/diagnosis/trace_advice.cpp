#include "diagnosis/trace_advice.h"

#include "diagnosis/practice.h"

#include <algorithm>
#include <fmt/format.h>

namespace quaycell {

std::vector<std::string> trace_advice(const JudgedTrace& judged, const Judgement& judgement,
                                      Hull hull, const std::vector<std::string>& metals,
                                      const Water& water) {
    const bool swapped = std::ranges::any_of(judged.events, [](const Event& event) {
        return event.kind == EventKind::polarity_reversed;
    });
    if (!swapped) return advice_for(judgement, hull, metals, water);
    if (judged.overall == Verdict::no_verdict)
        return {
            "The leads of hull and cell are swapped: put each where it belongs. What is in an "
            "archive "
            "can be turned round (quaycell correct --swapped-leads), else record again; do nothing "
            "else because of these numbers."};
    std::vector<std::string> advice{
        "For a part of the time the leads of hull and cell were swapped, see the events: put each "
        "where it belongs before anything else. What follows is from the other readings."};
    std::ranges::move(advice_for(judgement, hull, metals, water), std::back_inserter(advice));
    return advice;
}

std::vector<std::string> trace_cautions(const JudgedTrace& judged, const Judgement& judgement,
                                        Hull hull, const std::vector<std::string>& metals,
                                        const Water& water) {
    std::vector<std::string> cautions = cautions_for(judgement, hull, metals, water);
    const double stop_mv = practice("ac-stop");
    if (judged.shore.ac_highest_mv > stop_mv)
        cautions.insert(
            cautions.begin(),
            fmt::format(
                "AC of up to {:.0f} mV rms was at the cell: mains current may be leaking into "
                "the water. Nobody in the water, and a licensed electrician before anything "
                "else (more than {:g} mV rms is our judgement; less says nothing of the "
                "water).",
                judged.shore.ac_highest_mv, stop_mv));
    return cautions;
}

} // namespace quaycell

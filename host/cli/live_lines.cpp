#include "cli/live_lines.h"

#include "diagnosis/survey_steps.h"
#include "judging/judgement_text.h"

#include <iostream>

namespace quaycell {

LiveLines::LiveLines(LiveFormat format, bool several_loggers)
    : format_(format), several_loggers_(several_loggers) {
    for (const StepWords& words : survey_step_words()) {
        if (words.step != SurveyStep::begin) continue;
        if (!words.what.empty()) std::cerr << words.what << '\n';
        if (!words.caution.empty()) std::cerr << "caution: " << words.caution << '\n';
    }
}

void LiveLines::show(const LiveView& view, const Boat& boat) {
    const std::scoped_lock lock(mutex_);
    tell_grounds(view, boat);
    tell_cautions(view);
    if (greeted_.insert(view.device).second) std::cout << live_greeting(format_, view);
    std::cout << live_text(format_, view, several_loggers_) << std::flush;
}

/// By what is judged, told once, as soon as a reading has settled: the boat is the same for all
/// loggers.
void LiveLines::tell_grounds(const LiveView& view, const Boat& boat) {
    if (told_grounds_ || has(view.latest.quality, Quality::unsettled)) return;
    std::cerr << criteria_text(view.latest.judgement, boat, {})
              << footing_text(view.latest.judgement, boat);
    told_grounds_ = true;
}

/// As soon as there are any, once more where what was perhaps so is certain, and anew where it had
/// turned out to be the hum of a lead.
void LiveLines::tell_cautions(const LiveView& view) {
    if (view.cautions.empty()) {
        cautioned_.erase({view.device, false});
        return;
    }
    if (!cautioned_.insert({view.device, view.ac.too_high}).second) return;
    for (const std::string& caution : view.cautions)
        std::cerr << "CAUTION: " << view.device << ": " << caution << '\n';
}

void LiveLines::say(const std::string& words) {
    const std::scoped_lock lock(mutex_);
    std::cerr << words << '\n';
}

bool LiveLines::is_there() const {
    return std::cout.good();
}

} // namespace quaycell

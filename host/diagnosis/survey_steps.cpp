#include "diagnosis/survey_steps.h"

#include <array>

namespace quaycell {

namespace {

constexpr std::string_view drowning = "electric shock drowning prevention material";
constexpr std::string_view book =
    "E. Sherman, Advanced Marine Electrics and Electronics Troubleshooting, ch. 11";

constexpr StepWords computer(SurveyStep step) {
    return {step, "",
            "Run this computer on its battery: one on the mains ties the hull to the shore's "
            "earth, and the readings with it.",
            "engineering judgement", "our judgement"};
}

constexpr std::array words{
    StepWords{SurveyStep::begin,
              "Begin with the usual dock connections in place. Hang the cell at about mid-draught, "
              "off the bottom, near the metal and away from anodes; hull's clip on the engine's "
              "negative terminal or the main bonding bus.",
              "Nobody is in the water while this lasts, and nobody goes in near a dock with power "
              "on it.",
              drowning, "read"},
    computer(SurveyStep::begin),
    StepWords{SurveyStep::begin, "",
              "Over the side: lifejacket on, and a second person there. Keep clips off starter "
              "and mains terminals.",
              "engineering judgement", "our judgement"},
    // What is done to the boat comes behind what to beware of while doing it.
    StepWords{SurveyStep::unplug, "",
              "Never lift, cut or bypass the protective earth: the whole cord comes out.",
              "boating magazine on failed isolators", "read; prohibition from memory"},
    computer(SurveyStep::unplug),
    StepWords{SurveyStep::unplug, "Switch the boat's loads off, then unplug the whole shore cord.",
              "", "boating magazine on failed isolators", "read"},
    StepWords{SurveyStep::plug_in, "",
              "Nobody in the water. Dry hands, dry plug, breaker off while plugging.",
              "safe practice ashore", "our judgement"},
    computer(SurveyStep::plug_in),
    StepWords{SurveyStep::plug_in, "Plug the shore cord in as it usually is.", "",
              "safe practice ashore", "our judgement"},
    StepWords{SurveyStep::disconnect_anodes, "",
              "Do not part the bonding itself, nor anything that carries the protective earth. "
              "Nobody goes into the water for an anode.",
              "survey practice", "our judgement"},
    StepWords{SurveyStep::disconnect_anodes,
              "Part the anodes' lead from the bonding, from inside the boat. What polarisation is "
              "left decays for hours: the shift grows meanwhile.",
              "", "survey practice", "our judgement"},
    StepWords{SurveyStep::connect_anodes, "Join the anodes to the bonding again.",
              "A boat left with its anodes disconnected corrodes.", "survey practice",
              "our judgement"},
    StepWords{SurveyStep::dock_earth, "",
              "A shock there can kill. Only somebody who knows the earth contact for certain does "
              "this; else leave it out and have an electrician do it.",
              book, "read"},
    StepWords{SurveyStep::dock_earth,
              "Positive lead on the EARTH contact of the pedestal's socket, the cell as it is.", "",
              book, "read"},
    StepWords{SurveyStep::compare_cell,
              "Hang the second cell beside the first in the same water and measure between them.",
              "", "survey practice", "from memory"},
    StepWords{SurveyStep::ac_seen, "Stop. Have a licensed electrician find the source.",
              "Nobody goes into the water, here or near by, and nobody jumps in to help. Keep "
              "hands off bare metal and off the clip.",
              drowning, "read; the level is our judgement"},
};

} // namespace

std::span<const StepWords> survey_step_words() {
    return words;
}

std::vector<std::string> words_at(SurveyStep step) {
    std::vector<std::string> texts;
    for (const StepWords& each : words) {
        if (each.step != step) continue;
        for (const std::string_view text : {each.what, each.caution})
            if (!text.empty()) texts.emplace_back(text);
    }
    return texts;
}

} // namespace quaycell

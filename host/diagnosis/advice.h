// What to do about a verdict, and what to beware of, in short plain sentences.
#pragma once

#include "protection/criterion.h"
#include "protection/judge.h"

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

/// What a sentence depends on.
struct Situation {
    Judgement judgement;
    Hull hull;
    std::vector<std::string> metals; ///< kinds of the bonded metals
    Range salinity_psu;
};

/// A sentence of the table: said where it applies.
struct Sentence {
    bool (*applies)(const Situation&);
    std::string_view text;
    std::string_view source;
    std::string_view status; ///< in words: "read", "common practice", "our judgement", ...
};

std::span<const Sentence> all_advice();
std::span<const Sentence> all_cautions();

/// What to do, the first thing first. Never more anode where over-protection or a conflict is the
/// matter. Empty where nothing needs doing, and for water out of range.
std::vector<std::string> advice_for(const Judgement& judgement, Hull hull,
                                    const std::vector<std::string>& metals, const Water& water);

/// What to beware of while doing it. Says of no water and no dock that it is free of danger.
std::vector<std::string> cautions_for(const Judgement& judgement, Hull hull,
                                      const std::vector<std::string>& metals, const Water& water);

} // namespace quaycell

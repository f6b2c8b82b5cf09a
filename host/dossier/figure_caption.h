// What stands below a figure of a trace, so that it can stand alone.
#pragma once

#include "base/zone.h"
#include "dossier/instrument_facts.h"
#include "evidence/manifest.h"

#include <string>
#include <vector>

namespace quaycell {

struct FigureCaption {
    /// Boat, place, period, scale, water, criterion and source, instrument, evidence number.
    std::string text;
    /// The same in full, with the notes of the criteria and every correction.
    std::string in_full;
};

/// The beginning of the digest of each file of readings, as the report lists them in full.
/// `files`: in the order of the origin's parts.
std::string evidence_words(const std::vector<ManifestLine>& files);

FigureCaption figure_caption(const TraceJudgement& judgement, const Zone& zone,
                             const InstrumentFacts& instrument,
                             const std::vector<ManifestLine>& files, double worst_share);

/// From when to when the readings go, by the clocks of the zone; empty where there are none.
std::string period_text(const Readings& trace, const Zone& zone);

} // namespace quaycell

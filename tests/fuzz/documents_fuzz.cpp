// Any text as each of the JSON documents that go with a report: what it says or a complaint, and
// nothing that cannot be reckoned with or drawn.
#include "fuzz/input.h"

#include "base/known_time.h"
#include "diagnosis/anode_words.h"
#include "dossier/made_with.h"
#include "dossier/trace_origin.h"
#include "judging/anode_document.h"
#include "judging/anode_log.h"
#include "judging/survey_document.h"
#include "judging/wear_figure.h"

using namespace quaycell;

namespace {

void promise_time(Instant at) {
    fuzz::promise(is_known_time(at));
}

double width_mm(std::string_view text, double size_mm, bool /*bold*/) {
    return static_cast<double>(text.size()) * size_mm / 2;
}

void use(const std::vector<LoggedAnode>& logged) {
    std::vector<FittedAnode> anodes;
    for (const auto& [boat, anode] : logged) {
        anodes.push_back(anode);
        if (const auto wear = wear_of(anode, usually_renewed_at_gone))
            (void)draw_wear(wear_figure(anode, *wear, usually_renewed_at_gone, anode.fitted), 160,
                            width_mm);
    }
    const auto plan = plan_anodes(
        anodes,
        {{Hull::steel, {}, {6, 18}}, std::nullopt, latest_instant, {}, usually_renewed_at_gone});
    if (!plan) return;
    for (const PlannedPurchase& each : purchases(*plan))
        fuzz::promise(!each.when.empty());
    (void)looks(*plan);
}

void read_anodes(std::string_view text) {
    const auto log = parse_anode_document(text, "anodes.json");
    if (!log) return;
    for (const AnodeEntryRow& row : log->entries) {
        promise_time(row.at);
        promise_time(row.written_at);
    }
    const std::string document = anode_document(*log);
    fuzz::promise(anode_document(parse_anode_document(document, "").value()) == document);
    (void)entries_of_boat(log->entries, log->boat);
    if (const auto logged = anodes_in(log->entries, "anodes.json")) use(*logged);
}

void read_survey(std::string_view text) {
    const auto kept = parse_survey_document(text, "survey.json");
    if (!kept) return;
    promise_time(kept->row.begun_at);
    for (const SurveyEntry& entry : kept->survey.entries)
        promise_time(entry.at);
}

void read_origin(std::string_view text) {
    const auto origin = parse_origin(text);
    if (!origin) return;
    for (const Note& note : origin->notes)
        promise_time(note.at);
    for (const CellCheckRow& check : origin->cell_checks)
        promise_time(check.at);
    const std::string document = origin_document(*origin);
    fuzz::promise(origin_document(parse_origin(document).value()) == document);
}

void read_made_with(std::string_view text) {
    const auto with = parse_made_with(text);
    if (!with) return;
    if (with->clock) promise_time(*with->clock);
    if (!with->zone.empty()) (void)to_words(latest_instant, Zone("Invented/Zone", with->zone));
    const std::string document = made_with_document(*with);
    fuzz::promise(made_with_document(parse_made_with(document).value()) == document);
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t count) {
    const std::string_view text = fuzz::text_of(bytes, count);
    read_anodes(text);
    read_survey(text);
    read_origin(text);
    read_made_with(text);
    return 0;
}

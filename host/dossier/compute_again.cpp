#include "dossier/compute_again.h"

#include "chart/text.h"
#include "dossier/report_making.h"

#include <algorithm>
#include <fmt/format.h>
#include <optional>

namespace quaycell {

namespace {

constexpr const char* pages_name = "the report's file";
constexpr std::size_t longest_shown = 100; ///< of a line that differs
constexpr std::size_t shown_before = 50;   ///< of these, before the first difference

/// Why a difference may be no change, where another version of the program made the report.
struct OtherVersion {
    std::string made_by; ///< empty: this one did

    bool is_other() const { return !made_by.empty(); }
    std::string words() const {
        return fmt::format("version {} made this report, and this is version {}", made_by,
                           program_version());
    }
};

OtherVersion version_of(const MadeWith& with) {
    return {with.program == program_version() ? "" : with.program};
}

Result<const Attachment*> file_of(const PdfEvidence& evidence, const char* name) {
    const Attachment* const file = named(evidence.attachments, name);
    if (file == nullptr) return Error{ErrorCode::damaged, "it is missing", name, ""};
    return file;
}

Result<MadeWith> stated_in(const PdfEvidence& evidence) {
    const auto file = file_of(evidence, options_name);
    if (!file) return file.error();
    return parse_made_with((*file)->bytes.at_hand());
}

/// What making a report computes; a report of a survey alone has no trace.
constexpr std::string_view computed_names[] = {options_name, trace_name, judgement_name,
                                               survey_judgement_name, anodes_judgement_name};

struct Again {
    MadeReport made;
    std::string bytes;
};

bool is_computed(std::string_view name) {
    return std::ranges::find(computed_names, name) != std::end(computed_names);
}

Result<Again> made_again(ReportFormat format, const PdfEvidence& evidence, const MadeWith& with) {
    auto options = parse_said_options(with.said, options_name);
    if (!options) return options.error();
    const auto origin_file = file_of(evidence, origin_name);
    if (!origin_file) return origin_file.error();
    auto origin = parse_origin((*origin_file)->bytes.at_hand());
    if (!origin) return origin.error();
    for (const auto& [name, given] : files_by_hand(*options))
        if (const Attachment* const file = named(evidence.attachments, name))
            *given = {name, file->bytes.at_hand()};
    // The list names them in the order in which they were attached; a PDF gives them by name.
    const auto manifest = file_of(evidence, manifest_name);
    if (!manifest) return manifest.error();
    const auto lines = parse_manifest((*manifest)->bytes.at_hand());
    if (!lines) return lines.error();
    ReportSources sources{std::move(*origin), {}, std::nullopt, with};
    for (const ManifestLine& line : *lines) {
        const Attachment* const file = named(evidence.attachments, line.name);
        if (file != nullptr && !is_computed(line.name))
            sources.files.push_back(described(line.name, file->bytes));
    }
    auto made = make_report(*options, format, sources);
    if (!made) return made.error();
    const Attachment* const signature = named(evidence.attachments, signature_name);
    auto report_again =
        packed(*made, format, signature == nullptr ? "" : signature->bytes.at_hand());
    if (!report_again) return report_again.error();
    return Again{std::move(*made), std::move(report_again->bytes)};
}

std::string_view next_line(std::string_view& text) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    std::string_view line = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    line.remove_prefix(std::min(line.find_first_not_of(" \t"), line.size()));
    return line.substr(0, line.find_last_not_of("\r,") + 1);
}

/// What stands about a place in a line, or nothing.
std::string about(std::string_view line, std::size_t place) {
    if (line.empty()) return "nothing";
    const std::size_t from = place > shown_before ? place - shown_before : 0;
    return (from == 0 ? "" : "...") + std::string(line.substr(from, longest_shown));
}

/// "line 7: the report states X, its attachments give Y"; empty where there is none.
std::string first_difference(std::string_view stated, std::string_view computed) {
    if (stated == computed) return "";
    for (std::size_t line = 1;; ++line) {
        const bool at_end = stated.empty() || computed.empty();
        const std::string_view ours = next_line(computed);
        const std::string_view theirs = next_line(stated);
        if (!at_end && ours == theirs) continue;
        const auto place =
            static_cast<std::size_t>(std::ranges::mismatch(theirs, ours).in1 - theirs.begin());
        return fmt::format("line {}: the report states {}, its attachments give {}", line,
                           about(theirs, place), about(ours, place));
    }
}

EvidenceFinding compared(const std::string& name, const PdfEvidence& evidence,
                         const MadeReport& made, const OtherVersion& version) {
    const std::string title = name + ", computed again";
    const Attachment* const stated = named(evidence.attachments, name);
    const Attachment* const computed = named(made.attachments, name);
    if (stated == nullptr) return {title, Agreement::differs, "is missing from the report"};
    if (computed == nullptr) return {title, Agreement::differs, "does not follow from its files"};
    const std::string difference =
        clean_text(first_difference(stated->bytes.at_hand(), computed->bytes.at_hand()));
    if (difference.empty())
        return {title, Agreement::agrees, "follows from the readings and the files"};
    if (version.is_other())
        return {title, Agreement::not_compared,
                fmt::format("it comes out otherwise here, and cannot be told from a change: {}, "
                            "which may compute otherwise. {}",
                            version.words(), difference)};
    return {title, Agreement::differs, difference};
}

EvidenceFinding compared_pages(const std::string& bytes, const Again& again, const MadeWith& with,
                               const OtherVersion& version) {
    if (bytes == again.bytes)
        return {pages_name, Agreement::agrees,
                "is what this program makes of the attachments, byte for byte"};
    if (version.is_other())
        return {pages_name, Agreement::not_compared,
                version.words() +
                    ", so that its pages cannot be compared byte for byte: read them beside a "
                    "report made from the attachments, or verify it with that version"};
    if (again.made.here.drawn_with != with.drawn_with)
        return {
            pages_name, Agreement::not_compared,
            "was drawn with other libraries or fonts than are here, so that its pages cannot be "
            "compared byte for byte: read them beside a report made from the attachments"};
    return {pages_name, Agreement::differs,
            "is not what this program makes of the attachments: its pages or its inside were "
            "changed"};
}

/// Local times come from tables, which are corrected several times a year.
std::optional<EvidenceFinding> compared_zone(const MadeReport& made, const MadeWith& with) {
    if (with.zone.empty() || are_same(with.zone, made.here.zone)) return std::nullopt;
    const std::string why =
        made.here.zone.empty()
            ? "the tables of this computer do not know the zone that the report shows times in"
            : fmt::format("the report reckons with {} changes of the clocks, the first stretch at "
                          "{}, the tables of this computer with {}, the first at {}",
                          with.zone.size() - 1, to_words(with.zone.front()),
                          made.here.zone.size() - 1, to_words(made.here.zone.front()));
    return EvidenceFinding{"time zone", Agreement::not_compared,
                           clean_text(why) + "; the files that go with the report are in UTC"};
}

} // namespace

std::vector<EvidenceFinding> compute_again(const std::string& bytes, const PdfEvidence& evidence) {
    const auto impossible = [](const Error& error, const OtherVersion& version) {
        const std::string words = "is not possible: " + clean_text(to_text(error));
        return std::vector<EvidenceFinding>{
            version.is_other()
                ? EvidenceFinding{"computing again", Agreement::not_compared,
                                  fmt::format("{} ({})", words, clean_text(version.words()))}
                : EvidenceFinding{"computing again", Agreement::differs, words}};
    };
    const auto with = stated_in(evidence);
    if (!with) return impossible(with.error(), {});
    const OtherVersion version = version_of(*with);
    const auto again = made_again(format_of_bytes(bytes), evidence, *with);
    if (!again) return impossible(again.error(), version);
    std::vector<EvidenceFinding> findings;
    for (const std::string_view name : computed_names)
        if (named(evidence.attachments, name) != nullptr ||
            named(again->made.attachments, name) != nullptr)
            findings.push_back(compared(std::string(name), evidence, again->made, version));
    if (auto zone = compared_zone(again->made, *with)) findings.push_back(std::move(*zone));
    findings.push_back(compared_pages(bytes, *again, *with, version));
    return findings;
}

} // namespace quaycell

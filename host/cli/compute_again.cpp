#include "cli/compute_again.h"

#include "chart/text.h"
#include "cli/files.h"
#include "cli/report_making.h"
#include "cli/temporary_folder.h"

#include <algorithm>
#include <array>
#include <boost/json.hpp>
#include <exception>
#include <fmt/format.h>

namespace quaycell {

namespace {

namespace json = boost::json;

constexpr const char* pages_name = "the report's file";
constexpr std::size_t longest_shown = 100; ///< of a line that differs
constexpr std::size_t shown_before = 50;   ///< of these, before the first difference

struct SaidOptions {
    ReportOptions options;
    std::string drawn_with;
};

Result<SaidOptions> options_in(const PdfEvidence& evidence) {
    const Attachment* const file = named(evidence.attachments, options_name);
    if (file == nullptr) return Error{ErrorCode::damaged, "it is missing", options_name, ""};
    try {
        const json::value document = json::parse(file->bytes);
        std::vector<std::string> said;
        for (const json::value& each : document.at("options").as_array())
            said.emplace_back(each.as_string());
        auto options = parse_said_options(said, options_name);
        if (!options) return options.error();
        return SaidOptions{std::move(*options), std::string(document.at("drawn_with").as_string())};
    } catch (const std::exception& error) { // how the library says that it is another document
        return Error{ErrorCode::wrong_input, error.what(), options_name, ""};
    }
}

/// The files that options name, put where they can be read.
Result<Done> lay_out(const std::vector<Attachment>& files, const TemporaryFolder& folder,
                     ReportOptions& options) {
    const std::array<std::pair<const char*, std::string*>, 3> wanted{
        {{vessel_name, &options.boat.vessel_file},
         {criteria_name, &options.boat.criteria_file},
         {budget_name, &options.boat.budget_file}}};
    for (const auto& [name, option] : wanted) {
        const Attachment* const file = named(files, name);
        if (file == nullptr) continue;
        *option = (folder.path() / name).string();
        if (const auto written = write_file(*option, file->bytes); !written) return written;
    }
    return Done{};
}

struct Again {
    MadeReport made;
    std::string bytes;
    std::string drawn_with; ///< that the report names
};

Result<Again> made_again(ReportFormat format, const PdfEvidence& evidence,
                         const TemporaryFolder& folder) {
    auto said = options_in(evidence);
    if (!said) return said.error();
    const Attachment* const origin_file = named(evidence.attachments, origin_name);
    if (origin_file == nullptr) return Error{ErrorCode::damaged, "it is missing", origin_name, ""};
    auto origin = parse_origin(origin_file->bytes);
    if (!origin) return origin.error();
    if (const auto done = lay_out(evidence.attachments, folder, said->options); !done)
        return done.error();
    // The list names them in the order in which they were attached; a PDF gives them by name.
    const Attachment* const manifest = named(evidence.attachments, manifest_name);
    const auto lines = parse_manifest(manifest->bytes);
    if (!lines) return lines.error();
    ReportSources sources{std::move(*origin), {}};
    for (const ManifestLine& line : *lines) {
        const Attachment* const file = named(evidence.attachments, line.name);
        if (file != nullptr && line.name != trace_name && line.name != judgement_name)
            sources.files.push_back(described(line.name, file->bytes));
    }
    auto made = make_report(said->options, format, sources);
    if (!made) return made.error();
    const Attachment* const signature = named(evidence.attachments, signature_name);
    auto report_again = packed(*made, format, signature == nullptr ? "" : signature->bytes);
    if (!report_again) return report_again.error();
    return Again{std::move(*made), std::move(report_again->bytes), std::move(said->drawn_with)};
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
                         const MadeReport& made) {
    const std::string title = name + ", computed again";
    const Attachment* const stated = named(evidence.attachments, name);
    const Attachment* const computed = named(made.attachments, name);
    if (stated == nullptr) return {title, Agreement::differs, "is missing from the report"};
    const std::string difference = first_difference(stated->bytes, computed->bytes);
    if (!difference.empty()) return {title, Agreement::differs, clean_text(difference)};
    return {title, Agreement::agrees, "follows from the readings and the files"};
}

EvidenceFinding compared_pages(const std::string& bytes, const Again& again) {
    if (bytes == again.bytes)
        return {pages_name, Agreement::agrees,
                "is what this program makes of the attachments, byte for byte"};
    const auto drawn_here = drawing_fingerprint();
    if (drawn_here && *drawn_here != again.drawn_with)
        return {
            pages_name, Agreement::not_compared,
            "was drawn with other libraries or fonts than are here, so that its pages cannot be "
            "compared byte for byte: read them beside a report made from the attachments"};
    return {pages_name, Agreement::differs,
            "is not what this program makes of the attachments: its pages or its inside were "
            "changed, or another version of the program made them"};
}

} // namespace

Result<std::vector<EvidenceFinding>> compute_again(const std::string& bytes,
                                                   const PdfEvidence& evidence) {
    const auto folder = TemporaryFolder::make();
    if (!folder) return folder.error();
    const auto again = made_again(format_of_bytes(bytes), evidence, *folder);
    if (!again)
        return std::vector<EvidenceFinding>{
            {"computing again", Agreement::differs,
             "is not possible: " + clean_text(to_text(again.error()))}};
    return std::vector<EvidenceFinding>{compared(trace_name, evidence, again->made),
                                        compared(judgement_name, evidence, again->made),
                                        compared_pages(bytes, *again)};
}

} // namespace quaycell

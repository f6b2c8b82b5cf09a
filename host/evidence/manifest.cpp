#include "evidence/manifest.h"

#include "evidence/sha256.h"

#include <algorithm>
#include <fmt/format.h>

namespace quaycell {

namespace {

constexpr std::size_t digest_digits = 64;
constexpr std::string_view between = "  ";

Error no_manifest(std::size_t line) {
    return {ErrorCode::wrong_input, "the list of the attachments is not as this program writes it",
            fmt::format("{}, line {}", manifest_name, line),
            "It was changed, or another program made it."};
}

/// A folder would lead out of the report's; a control character could make a terminal show
/// anything.
bool is_plain_name(std::string_view name) {
    return std::ranges::none_of(
        name, [](unsigned char byte) { return byte == '/' || byte < 0x20 || byte == 0x7F; });
}

bool is_digest(std::string_view text) {
    return text.size() == digest_digits &&
           text.find_first_not_of("0123456789abcdef") == std::string_view::npos;
}

} // namespace

const Attachment* named(std::span<const Attachment> attachments, std::string_view name) {
    const auto found = std::ranges::find(attachments, name, &Attachment::name);
    return found == attachments.end() ? nullptr : &*found;
}

std::string manifest_of(std::span<const Attachment> attachments) {
    std::string text;
    for (const Attachment& each : attachments)
        text += fmt::format("{}{}{}\n", each.bytes.sha256(), between, each.name);
    return text;
}

Result<std::vector<ManifestLine>> parse_manifest(std::string_view text) {
    std::vector<ManifestLine> lines;
    while (!text.empty()) {
        const std::size_t end = text.find('\n');
        const std::string_view line = text.substr(0, end);
        const std::size_t name_at = digest_digits + between.size();
        if (end == std::string_view::npos || line.size() <= name_at ||
            !is_digest(line.substr(0, digest_digits)) ||
            line.substr(digest_digits, between.size()) != between)
            return no_manifest(lines.size() + 1);
        const std::string_view name = line.substr(name_at);
        if (!is_plain_name(name) ||
            std::ranges::find(lines, name, &ManifestLine::name) != lines.end())
            return no_manifest(lines.size() + 1);
        lines.push_back({std::string(line.substr(0, digest_digits)), std::string(name)});
        text.remove_prefix(end + 1);
    }
    return lines;
}

std::string evidence_number(std::string_view manifest) {
    return sha256_hex(manifest);
}

} // namespace quaycell

// Any text as a request: method, target, one header a line, body. Without the tokens nothing is
// answered but with a refusal, and no target means anything but a path of the page.
#include "fuzz/input.h"

#include "web/site.h"

#include <algorithm>

using namespace quaycell;
using namespace quaycell::web;

namespace {

constexpr const char* own_address = "127.0.0.1:8640";

std::string next_line(std::string_view& text) {
    const auto end = std::min(text.find('\n'), text.size());
    std::string line(text.substr(0, end));
    text.remove_prefix(std::min(end + 1, text.size()));
    return line;
}

Request request_from(std::string_view text) {
    Request request{next_line(text), next_line(text), {}, "", own_address};
    for (std::string line = next_line(text); !line.empty(); line = next_line(text)) {
        const auto colon = std::min(line.find(": "), line.size());
        request.headers.push_back(
            {line.substr(0, colon), line.substr(std::min(colon + 2, line.size()))});
    }
    request.body = text;
    return request;
}

bool holds(const Request& request, std::string_view value) {
    return std::ranges::any_of(request.headers,
                               [&](const Header& header) { return header.value == value; });
}

/// A host's name means the same in capitals (RFC 9110, 4.2.3).
bool holds_own_name(const Request& request) {
    const auto small = [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; };
    return std::ranges::any_of(request.headers, [&](const Header& header) {
        return std::ranges::equal(header.value, std::string_view("localhost:8640"), {}, small);
    });
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t count) {
    const Site site(
        {"reader", "changer"}, page_files(),
        {{"/api/read", {false, [](const Asked&) { return words(Status::ok, "read"); }}},
         {"/api/change", {true, [](const Asked&) { return words(Status::ok, "changed"); }}}},
        [](const Error&) {});
    const Request request = request_from(fuzz::text_of(bytes, count));
    for (const bool upgrades : {false, true}) {
        const Answer answer = site.answer(request, upgrades);
        const auto* response = std::get_if<Response>(&answer);
        if (response != nullptr && response->status != Status::ok) continue;
        fuzz::promise(request.target.starts_with("/reader/"));
        fuzz::promise(holds(request, own_address) || holds_own_name(request));
        if (const auto* work = std::get_if<Work>(&answer))
            if ((*work)().body == "changed\n")
                fuzz::promise(request.method == "POST" && holds(request, "changer"));
    }
    const auto target = parse_target(request.target);
    if (target)
        fuzz::promise(target->path.find("..") == std::string::npos &&
                      target->path.find("//") == std::string::npos &&
                      target->path.find('\\') == std::string::npos);
    return 0;
}

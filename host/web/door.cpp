#include "web/door.h"

#include <algorithm>
#include <optional>

namespace quaycell::web {

namespace {

char small(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

bool same_name(std::string_view a, std::string_view b) {
    return std::ranges::equal(a, b, {}, small, small);
}

struct Found {
    std::optional<std::string> value;
    bool repeated = false;
};

Found header(const Request& request, std::string_view name) {
    Found found;
    for (const Header& each : request.headers) {
        if (!same_name(each.name, name)) continue;
        found.repeated = found.value.has_value();
        found.value = each.value;
        if (found.repeated) break;
    }
    return found;
}

/// This computer's own address is also called localhost where it is the loopback's. The port of
/// HTTP is left out by browsers (RFC 9110, 4.2.1 and 7.2).
bool is_own(std::string_view host, std::string_view own) {
    const bool loopback = own.starts_with("127.0.0.1:") || own.starts_with("[::1]:");
    const std::string_view port = own.substr(own.rfind(':'));
    const std::string_view address = own.substr(0, own.rfind(':'));
    for (const std::string_view behind : {port, std::string_view()}) {
        if (behind.empty() && port != ":80") break;
        if (host == std::string(address).append(behind)) return true;
        if (loopback && same_name(host, std::string("localhost").append(behind))) return true;
    }
    return false;
}

/// The path behind "/TOKEN".
std::optional<std::string> behind_token(const std::string& path, const std::string& token) {
    const auto slash = path.find('/', 1);
    if (slash == std::string::npos) return std::nullopt;
    if (!same_secret(std::string_view(path).substr(1, slash - 1), token)) return std::nullopt;
    return path.substr(slash);
}

} // namespace

std::variant<Asked, Response> let_in(const Request& request, const Tokens& tokens) {
    const Found host = header(request, "Host");
    if (!host.value || host.repeated || !is_own(*host.value, request.own_address))
        return words(Status::misdirected, "Open the address that quaycell serve has printed, with "
                                          "the numbers of this computer and not a name.");
    const Found origin = header(request, "Origin");
    if (origin.repeated || (origin.value && *origin.value != "http://" + *host.value))
        return words(Status::forbidden, "Another page has no business here.");
    auto target = parse_target(request.target);
    if (!target) return words(Status::bad_request, "There is no such address.");
    auto path = behind_token(target->path, tokens.read);
    if (!path)
        return words(Status::not_found,
                     "There is nothing here. Open the whole address that quaycell serve has "
                     "printed; each start makes a new one.");
    Asked asked{std::move(*path), std::move(target->query)};
    if (request.method == "GET" || request.method == "HEAD") return asked;
    if (request.method != "POST")
        return words(Status::method_not_allowed, "Only GET, HEAD and POST are understood.");
    const Found key = header(request, key_header);
    if (!origin.value || !key.value || key.repeated || !same_secret(*key.value, tokens.change))
        return words(Status::forbidden,
                     "This needs the second address that quaycell serve has printed, the one that "
                     "may change things.");
    asked.changes = true;
    asked.body = request.body;
    return asked;
}

} // namespace quaycell::web

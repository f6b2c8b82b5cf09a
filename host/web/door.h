// Who is let in. Every request passes here before anything else looks at it.
#pragma once

#include "web/message.h"
#include "web/target.h"
#include "web/tokens.h"

#include <variant>

namespace quaycell::web {

/// The header in which the page sends the second token.
inline constexpr const char* key_header = "X-Quaycell-Key";

/// A request that may be answered.
struct Asked {
    std::string path; ///< without the token: "/", "/api/week"
    Query query;
    bool changes = false; ///< POST: it brought the second token
    std::string body{};
};

/// What is asked, or why the request is turned away. In this order: a Host that is not the address
/// it came in by, so that no name of somebody else's can point here (DNS rebinding); an Origin that
/// is another page's; a target that is none; a wrong first token; another method than GET, HEAD and
/// POST; a POST that does not say its origin, or comes without the second token.
std::variant<Asked, Response> let_in(const Request& request, const Tokens& tokens);

} // namespace quaycell::web

#include "web/message.h"

namespace quaycell::web {

Response words(Status status, std::string sentence) {
    return {status, "text/plain; charset=utf-8", std::move(sentence) + '\n'};
}

const std::vector<Header>& headers_of_every_answer() {
    static const std::vector<Header> headers{
        // Content Security Policy Level 3: everything is forbidden that is not named.
        {"Content-Security-Policy",
         "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; "
         "connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"},
        {"X-Content-Type-Options", "nosniff"},
        {"Referrer-Policy", "no-referrer"},
        {"Cache-Control", "no-store"},
        {"Cross-Origin-Resource-Policy", "same-origin"},
        {"Cross-Origin-Opener-Policy", "same-origin"},
    };
    return headers;
}

} // namespace quaycell::web

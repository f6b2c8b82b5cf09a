// A request and its answer as plain values, so that who is let in, and what is answered, can be
// decided and tested without a network.
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace quaycell::web {

struct Header {
    std::string name;
    std::string value;
};

struct Request {
    std::string method;
    std::string target; ///< path and query, as sent
    std::vector<Header> headers;
    std::string body;
    /// The address and port of this computer by which the request came in, "192.168.1.20:8640".
    std::string own_address;
};

/// Status codes of RFC 9110.
enum class Status : unsigned {
    ok = 200,
    bad_request = 400,
    forbidden = 403,
    not_found = 404,
    method_not_allowed = 405,
    conflict = 409,
    misdirected = 421,
    too_many_requests = 429,
    failed = 500,
    unavailable = 503,
};

struct Response {
    Status status = Status::ok;
    std::string content_type;
    std::string body;
    std::string file_name{}; ///< under which a browser is to save it; empty: it is shown
};

/// A sentence for a person.
Response words(Status status, std::string sentence);

/// What goes with every answer: no script, picture or frame but the program's own, nothing guessed,
/// nothing kept, no address given away.
const std::vector<Header>& headers_of_every_answer();

} // namespace quaycell::web

#include "web/door.h"

#include <doctest/doctest.h>

using namespace quaycell::web;

namespace {

const Tokens tokens{"reading-token", "changing-token"};

Request get(std::string target, std::vector<Header> headers = {{"Host", "192.168.1.20:8640"}}) {
    return {"GET", std::move(target), std::move(headers), "", "192.168.1.20:8640"};
}

Request post(std::vector<Header> more) {
    Request request = get("/reading-token/api/report?deployment=1");
    request.method = "POST";
    request.headers.insert(request.headers.end(), more.begin(), more.end());
    return request;
}

/// 200 where it is let in.
unsigned status_of(const Request& request) {
    const auto entered = let_in(request, tokens);
    const auto* refusal = std::get_if<Response>(&entered);
    return refusal == nullptr ? 200 : static_cast<unsigned>(refusal->status);
}

const Header own_origin{"Origin", "http://192.168.1.20:8640"};
const Header right_key{"x-quaycell-key", "changing-token"};

} // namespace

TEST_CASE("the right address is let in, and what follows stays of it") {
    const auto entered = let_in(get("/reading-token/api/week?deployment=2"), tokens);
    REQUIRE(std::holds_alternative<Asked>(entered));
    const Asked& asked = std::get<Asked>(entered);
    CHECK(asked.path == "/api/week");
    CHECK(asked.query == Query{{"deployment", "2"}});
    CHECK_FALSE(asked.changes);
}

TEST_CASE("another name for this computer is turned away: somebody may have made it point here") {
    for (const char* host :
         {"evil.example", "evil.example:8640", "192.168.1.20", "192.168.1.20:80", "localhost:8640",
          "192.168.1.20:8640.evil.example", "192.168.1.20:8640 ", "", "127.0.0.1:8640",
          "user@192.168.1.20:8640", "[::ffff:192.168.1.20]:8640"}) {
        CAPTURE(host);
        CHECK(status_of(get("/reading-token/", {{"Host", host}})) == 421);
    }
    CHECK(status_of(get("/reading-token/", {})) == 421);
    CHECK(status_of(get("/reading-token/",
                        {{"Host", "192.168.1.20:8640"}, {"host", "192.168.1.20:8640"}})) == 421);
}

TEST_CASE("on the loopback this computer is also called localhost") {
    Request request = get("/reading-token/", {{"Host", "localhost:8640"}});
    request.own_address = "127.0.0.1:8640";
    CHECK(status_of(request) == 200);
    request.headers = {{"Host", "LocalHost:8640"}};
    CHECK(status_of(request) == 200);
    request.headers = {{"Host", "localhost:8641"}};
    CHECK(status_of(request) == 421);
    request.headers = {{"Host", "localhost.evil.example:8640"}};
    CHECK(status_of(request) == 421);
    request.own_address = "[::1]:8640";
    request.headers = {{"Host", "[::1]:8640"}};
    CHECK(status_of(request) == 200);
}

TEST_CASE("at the port of HTTP a browser leaves the port out, and elsewhere it may not") {
    Request request = get("/reading-token/", {{"Host", "192.168.1.20"}});
    CHECK(status_of(request) == 421);
    request.own_address = "192.168.1.20:80";
    CHECK(status_of(request) == 200);
    request.headers.push_back({"Origin", "http://192.168.1.20"});
    CHECK(status_of(request) == 200);
    request.headers = {{"Host", "192.168.1.20:80"}};
    CHECK(status_of(request) == 200);
    for (const char* host : {"localhost", "192.168.1.2", "192.168.1.20:8080", "192.168.1.20."}) {
        request.headers = {{"Host", host}};
        CHECK(status_of(request) == 421);
    }
    request.own_address = "[::1]:80";
    for (const char* host : {"[::1]", "localhost"}) {
        request.headers = {{"Host", host}};
        CHECK(status_of(request) == 200);
    }
}

TEST_CASE("a page of another origin is turned away, reading or not") {
    const Header host{"Host", "192.168.1.20:8640"};
    for (const char* origin : {"http://evil.example", "null", "https://192.168.1.20:8640", "",
                               "http://192.168.1.20", "http://192.168.1.20:8640.evil.example"}) {
        CAPTURE(origin);
        CHECK(status_of(get("/reading-token/", {host, {"Origin", origin}})) == 403);
        CHECK(status_of(post({{"Origin", origin}, right_key})) == 403);
    }
    CHECK(status_of(get("/reading-token/", {host, own_origin})) == 200);
    CHECK(status_of(get("/reading-token/", {host, own_origin, own_origin})) == 403);
}

TEST_CASE("without the first token there is nothing, whatever is there") {
    for (const char* target :
         {"/", "/live.js", "/api/boats", "/reading-token", "/reading-toke/", "/reading-tokenx/",
          "/READING-TOKEN/", "/changing-token/", "/x/reading-token/", "/?token=reading-token"}) {
        CAPTURE(target);
        CHECK(status_of(get(target)) == 404);
    }
    CHECK(status_of(get("//reading-token/")) == 400);
    CHECK(status_of(get("/reading-token/../x")) == 400);
}

TEST_CASE("changing needs the second token and a page of this origin") {
    CHECK(status_of(post({own_origin, right_key})) == 200);
    CHECK(status_of(post({own_origin})) == 403);
    CHECK(status_of(post({right_key})) == 403);
    CHECK(status_of(post({own_origin, {key_header, "reading-token"}})) == 403);
    CHECK(status_of(post({own_origin, {key_header, ""}})) == 403);
    CHECK(status_of(post({own_origin, right_key, right_key})) == 403);
    Request wrong_first = post({own_origin, right_key});
    wrong_first.target = "/other/api/report";
    CHECK(status_of(wrong_first) == 404);
}

TEST_CASE("the second token reads nothing in the place of the first") {
    CHECK(status_of(get("/changing-token/")) == 404);
}

TEST_CASE("other methods are not understood") {
    for (const char* method :
         {"PUT", "DELETE", "OPTIONS", "TRACE", "CONNECT", "PATCH", "get", "", "GET "}) {
        CAPTURE(method);
        Request request = get("/reading-token/");
        request.method = method;
        CHECK(status_of(request) == 405);
    }
}

#include "web/site.h"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <random>
#include <set>
#include <stdexcept>

using namespace quaycell::web;

namespace {

void tell_nobody(const quaycell::Error&) {}

Site made_site(std::function<void(const quaycell::Error&)> on_fault = tell_nobody) {
    return {{"reader", "changer"},
            page_files(),
            {{"/api/read",
              {false, [](const Asked& asked) { return words(Status::ok, asked.query.at("a")); }}},
             {"/api/broken",
              {false, [](const Asked&) -> Response { throw std::runtime_error("/home/secret"); }}},
             {"/api/change", {true, [](const Asked&) { return words(Status::ok, "changed"); }}}},
            std::move(on_fault)};
}

Request request(std::string method, std::string target) {
    Request made{std::move(method),
                 std::move(target),
                 {{"Host", "127.0.0.1:1"}, {"Origin", "http://127.0.0.1:1"}},
                 "",
                 "127.0.0.1:1"};
    if (made.method == "POST") made.headers.push_back({key_header, "changer"});
    return made;
}

Response response_to(const Request& asked, const Site& site = made_site()) {
    Answer answer = site.answer(asked, false);
    if (auto* work = std::get_if<Work>(&answer)) return (*work)();
    return std::get<Response>(answer);
}

unsigned status_of(const Request& asked) {
    return static_cast<unsigned>(response_to(asked).status);
}

} // namespace

TEST_CASE("what is computed is computed later, from what was asked") {
    const Response response = response_to(request("GET", "/reader/api/read?a=7"));
    CHECK(response.status == Status::ok);
    CHECK(response.body == "7\n");
}

TEST_CASE("what changes things is not to be had by GET, nor what is read by POST") {
    CHECK(status_of(request("GET", "/reader/api/change")) == 405);
    CHECK(status_of(request("POST", "/reader/api/change")) == 200);
    CHECK(status_of(request("POST", "/reader/api/read?a=1")) == 405);
    CHECK(status_of(request("POST", "/reader/")) == 405);
}

TEST_CASE("a fault of the program's own is told without details, and ends nothing else") {
    const Response response = response_to(request("GET", "/reader/api/broken"));
    CHECK(response.status == Status::failed);
    CHECK(response.content_type.starts_with("text/plain"));
    CHECK(response.body.find("terminal") != std::string::npos);
    CHECK(response.body.find("secret") == std::string::npos);
}

TEST_CASE("whoever serves is told cause, place and remedy of a fault, and no token") {
    std::vector<quaycell::Error> told;
    const Site site = made_site([&](const quaycell::Error& fault) { told.push_back(fault); });
    CHECK(response_to(request("GET", "/reader/api/read?a=7"), site).status == Status::ok);
    CHECK(told.empty());
    response_to(request("GET", "/reader/api/broken"), site);
    REQUIRE(told.size() == 1);
    CHECK(told[0].what.find("/home/secret") != std::string::npos);
    CHECK(told[0].where == "/api/broken");
    CHECK_FALSE(told[0].remedy.empty());
    CHECK(to_text(told[0]).find("reader") == std::string::npos);
}

TEST_CASE("a page is served from the program") {
    const Response response = response_to(request("GET", "/reader/week"));
    CHECK(response.status == Status::ok);
    CHECK(response.content_type == "text/html; charset=utf-8");
    CHECK(response.body.starts_with("<!doctype html>"));
}

TEST_CASE("there is nothing but the pages") {
    for (const char* target : {"/reader/page/live.html", "/reader/etc/passwd", "/reader/live.js/",
                               "/reader/api", "/reader/api/read/x", "/reader/frame.html"}) {
        CAPTURE(target);
        CHECK(status_of(request("GET", target)) == 404);
    }
}

TEST_CASE("only live readings are a WebSocket, and with the first token") {
    const Site site = made_site();
    CHECK(std::holds_alternative<OpenLive>(site.answer(request("GET", "/reader/api/live"), true)));
    CHECK(std::holds_alternative<Response>(site.answer(request("GET", "/x/api/live"), true)));
    CHECK(std::holds_alternative<Response>(site.answer(request("GET", "/reader/"), true)));
    CHECK(std::holds_alternative<Response>(
        site.answer(request("GET", "/reader/api/read?a=1"), true)));
    CHECK(status_of(request("GET", "/reader/api/live")) == 400);
    CHECK(std::holds_alternative<Response>(site.answer(request("POST", "/reader/api/live"), true)));
    Request elsewhere = request("GET", "/reader/api/live");
    elsewhere.headers[1].value = "http://evil.example";
    CHECK(std::get<Response>(site.answer(elsewhere, true)).status == Status::forbidden);
}

TEST_CASE("the pages hold no script, style or address of others inside") {
    for (const PageFile& file : page_files()) {
        CAPTURE(file.path);
        for (const char* foreign : {"<script>", "<style", "style=\"", "onclick", "https://",
                                    "innerHTML", "document.write", "eval("})
            CHECK(file.bytes.find(foreign) == std::string_view::npos);
    }
}

TEST_CASE("every file that a page names is there") {
    std::set<std::string_view> paths;
    for (const PageFile& file : page_files())
        paths.insert(file.path);
    for (const PageFile& file : page_files()) {
        for (const std::string_view mark : {"src=\"", "href=\"", " from \"./"}) {
            for (auto at = file.bytes.find(mark); at != std::string_view::npos;
                 at = file.bytes.find(mark, at + 1)) {
                const auto begin = at + mark.size();
                const auto name = file.bytes.substr(begin, file.bytes.find('"', begin) - begin);
                if (name.starts_with('#') || name.starts_with("data:")) continue;
                const std::string path = name == "./" ? "/" : '/' + std::string(name);
                CAPTURE(path);
                CHECK(paths.contains(path));
            }
        }
    }
    CHECK(paths.size() == page_files().size());
}

TEST_CASE("all pages together weigh less than 150 KB") {
    std::size_t bytes = 0;
    for (const PageFile& file : page_files())
        bytes += file.bytes.size();
    CHECK(bytes < 150'000);
}

TEST_CASE("of any bytes as a request none is let in that lacks the token") {
    std::mt19937 random(8);
    const Site site = made_site();
    const std::string letters = "/.%?&=abcX\\:\0\r\n\xff reader";
    for (int i = 0; i < 20'000; ++i) {
        const auto text = [&](std::size_t most) {
            std::string made;
            for (std::size_t n = random() % most; n > 0; --n)
                made += letters[random() % letters.size()];
            return made;
        };
        Request made{i % 3 == 0 ? "POST" : "GET", '/' + text(40), {}, text(10), "127.0.0.1:1"};
        made.headers.push_back({"Host", i % 2 == 0 ? "127.0.0.1:1" : text(12)});
        for (std::size_t n = random() % 3; n > 0; --n)
            made.headers.push_back({text(8), text(8)});
        const Answer answer = site.answer(made, i % 5 == 0);
        REQUIRE(std::holds_alternative<Response>(answer));
        const auto status = static_cast<unsigned>(std::get<Response>(answer).status);
        REQUIRE(status >= 400);
    }
}

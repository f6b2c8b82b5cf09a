#include "web/message.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell::web;

TEST_CASE("every answer forbids what the page does not need") {
    const auto& headers = headers_of_every_answer();
    const auto value = [&](std::string_view name) {
        const auto found = std::ranges::find(headers, name, &Header::name);
        REQUIRE(found != headers.end());
        return found->value;
    };
    const std::string policy = value("Content-Security-Policy");
    CHECK(policy.starts_with("default-src 'none';"));
    CHECK(policy.find("unsafe") == std::string::npos);
    CHECK(policy.find('*') == std::string::npos);
    CHECK(policy.find("frame-ancestors 'none'") != std::string::npos);
    CHECK(value("X-Content-Type-Options") == "nosniff");
    CHECK(value("Referrer-Policy") == "no-referrer");
    CHECK(value("Cache-Control") == "no-store");
}

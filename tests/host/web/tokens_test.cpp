#include "web/tokens.h"

#include <doctest/doctest.h>
#include <set>

using namespace quaycell::web;

TEST_CASE("tokens are 128 bits in letters that an address can hold, and never the same") {
    std::set<std::string> seen;
    for (int i = 0; i < 1000; ++i) {
        const Tokens tokens = new_tokens();
        for (const std::string& token : {tokens.read, tokens.change}) {
            // ceil(128 / 6) letters of base64url, RFC 4648 section 5
            CHECK(token.size() == 22);
            CHECK(token.find_first_not_of("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
                                          "0123456789-_") == std::string::npos);
            seen.insert(token);
        }
    }
    CHECK(seen.size() == 2000);
}

TEST_CASE("a secret is the same only whole") {
    CHECK(same_secret("abc", "abc"));
    CHECK_FALSE(same_secret("abd", "abc"));
    CHECK_FALSE(same_secret("ab", "abc"));
    CHECK_FALSE(same_secret("abcd", "abc"));
    CHECK_FALSE(same_secret("", "abc"));
    CHECK_FALSE(same_secret("ABC", "abc"));
}

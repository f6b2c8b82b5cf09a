#include "evidence/sha256.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("published digests: FIPS 180-4's examples, NIST's test vectors (from memory)") {
    CHECK(sha256_hex("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    CHECK(sha256_hex("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    CHECK(sha256_hex("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") ==
          "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    CHECK(sha256_hex(std::string(1'000'000, 'a')) ==
          "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST_CASE("a zero inside is a byte like any other") {
    CHECK(sha256_hex(std::string_view("a\0b", 3)) != sha256_hex("a"));
}

TEST_CASE("bytes that come in pieces have the digest of the whole") {
    Sha256 sum;
    for (const char* piece : {"abcdbcdecdefdefgefghfghighij", "", "hijkijkljklmklmnlmnomnopnopq"})
        sum.add(piece);
    CHECK(sum.hex() == "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
}

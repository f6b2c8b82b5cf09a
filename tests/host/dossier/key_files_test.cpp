#include "../judging/a_folder.h"
#include "dossier/key_files.h"
#include "judging/files.h"

#include <doctest/doctest.h>
#include <sys/stat.h>

using namespace quaycell;
using test::AFolder;
namespace fs = std::filesystem;

TEST_CASE("a pair of keys is read back, the secret one by its owner alone") {
    const AFolder folder("key_files_test-");
    const auto made = make_key_files(folder.at("ann.key"));
    REQUIRE(made);
    CHECK(fs::status(folder.at("ann.key")).permissions() ==
          (fs::perms::owner_read | fs::perms::owner_write));
    const auto secret = read_secret_key(folder.at("ann.key"));
    REQUIRE(secret);
    CHECK(public_key_of(*secret) == *made);
    CHECK(read_public_key(folder.at("ann.key.pub")).value() == *made);
}

TEST_CASE("no key is ever written over, and half a pair is not left") {
    const AFolder folder("key_files_test-");
    REQUIRE(write_file(folder.at("ann.key"), "mine"));
    const auto refused = make_key_files(folder.at("ann.key"));
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == ErrorCode::refused);
    CHECK(read_file(folder.at("ann.key")).value() == "mine");
    CHECK_FALSE(fs::exists(folder.at("ann.key.pub")));
    REQUIRE(write_file(folder.at("ben.key.pub"), "mine"));
    CHECK(make_key_files(folder.at("ben.key")).error().code == ErrorCode::refused);
    CHECK_FALSE(fs::exists(folder.at("ben.key")));
    const auto nowhere = make_key_files(folder.at("none/x.key"));
    CHECK(nowhere.error().code == ErrorCode::not_found);
    CHECK(nowhere.error().what.find("cannot write") == 0);
    CHECK_FALSE(nowhere.error().remedy.empty());
}

TEST_CASE("a secret key that others may read is refused with what to do") {
    const AFolder folder("key_files_test-");
    REQUIRE(make_key_files(folder.at("ann.key")));
    REQUIRE(::chmod(folder.at("ann.key").c_str(), 0640) == 0);
    const auto refused = read_secret_key(folder.at("ann.key"));
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == ErrorCode::refused);
    CHECK(refused.error().remedy == "Run: chmod 600 " + folder.at("ann.key"));
}

TEST_CASE("the other key of the pair is named as such") {
    const AFolder folder("key_files_test-");
    REQUIRE(make_key_files(folder.at("ann.key")));
    REQUIRE(::chmod(folder.at("ann.key.pub").c_str(), 0600) == 0);
    const auto no_secret = read_secret_key(folder.at("ann.key.pub"));
    REQUIRE_FALSE(no_secret);
    CHECK(no_secret.error().what.find("public key of a pair") != std::string::npos);
    const auto no_public = read_public_key(folder.at("ann.key"));
    REQUIRE_FALSE(no_public);
    CHECK(no_public.error().what.find("secret key of a pair") != std::string::npos);
    CHECK(no_public.error().remedy.find(".pub") != std::string::npos);
}

TEST_CASE(
    "what is no key file is told apart: nothing, a folder, a pipe, another text, a long one") {
    const AFolder folder("key_files_test-");
    CHECK(read_secret_key(folder.at("none")).error().code == ErrorCode::not_found);
    CHECK(read_public_key(folder.at("none")).error().code == ErrorCode::not_found);
    CHECK(read_secret_key(folder.at("")).error().code == ErrorCode::wrong_input);
    REQUIRE(::mkfifo(folder.at("pipe").c_str(), 0600) == 0);
    CHECK(read_secret_key(folder.at("pipe")).error().code == ErrorCode::wrong_input);
    for (const std::string& bytes : {std::string("no key"), std::string(1'000'000, 'x')}) {
        REQUIRE(write_file(folder.at("other"), bytes));
        REQUIRE(::chmod(folder.at("other").c_str(), 0600) == 0);
        CHECK(read_secret_key(folder.at("other")).error().code == ErrorCode::wrong_input);
    }
}

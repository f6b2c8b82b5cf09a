#include "evidence/manifest.h"

#include "evidence/sha256.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

const std::string abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

} // namespace

TEST_CASE("the list is what sha256sum reads") {
    const std::vector<Attachment> attachments{{"trace.csv", "text/csv", "", "abc"}};
    CHECK(manifest_of(attachments) == abc + "  trace.csv\n");
}

TEST_CASE("what is written is read again") {
    const auto lines = parse_manifest(abc + "  trace.csv\n" + abc + "  records.bin\n");
    REQUIRE(lines);
    REQUIRE(lines->size() == 2);
    CHECK((*lines)[1].name == "records.bin");
    CHECK((*lines)[1].sha256 == abc);
    CHECK(parse_manifest("")->empty());
}

TEST_CASE("anything else is no list, and its line is named") {
    for (const std::string& text :
         {abc + " trace.csv\n", abc + "  trace.csv", abc.substr(1) + "  trace.csv\n", abc + "  \n",
          std::string(64, 'A') + "  trace.csv\n", abc + "  a\n" + abc + "  a\n",
          abc + "  ../trace.csv\n", abc + "  \x1b[2J\n"}) {
        CAPTURE(text);
        const auto lines = parse_manifest(text);
        REQUIRE_FALSE(lines);
        CHECK(lines.error().code == ErrorCode::wrong_input);
        CHECK(lines.error().where.find("line") != std::string::npos);
    }
}

TEST_CASE("one number stands for all of them") {
    CHECK(evidence_number("abc") == abc);
}

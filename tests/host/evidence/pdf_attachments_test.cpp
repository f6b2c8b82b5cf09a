#include "evidence/pdf_attachments.h"

#include "a_pdf.h"

#include <doctest/doctest.h>

using namespace quaycell;
using quaycell::testing::a_pdf;

namespace {

const std::vector<Attachment> attachments{
    {"records.bin", "application/octet-stream", "The records", std::string("\0\xff\n)", 4)},
    {"trace.csv", "text/csv", "The trace", "time,potential_mv\r\n"}};

} // namespace

TEST_CASE("what is attached comes out again, byte for byte, with the list beside it") {
    const auto pdf = with_evidence(a_pdf(), attachments, manifest_of(attachments));
    REQUIRE(pdf);
    const auto evidence = evidence_in(*pdf, "report.pdf");
    REQUIRE(evidence);
    REQUIRE(evidence->attachments.size() == 3);
    CHECK(evidence->attachments[0].name == manifest_name);
    CHECK(evidence->attachments[0].bytes.at_hand() == manifest_of(attachments));
    for (std::size_t i = 0; i < attachments.size(); ++i) {
        CHECK(evidence->attachments[i + 1].name == attachments[i].name);
        CHECK(evidence->attachments[i + 1].bytes.at_hand() == attachments[i].bytes.at_hand());
        CHECK(evidence->attachments[i + 1].description == attachments[i].description);
        CHECK(evidence->attachments[i + 1].media_type == attachments[i].media_type);
    }
    CHECK(evidence->stated_number == evidence_number(manifest_of(attachments)));
}

TEST_CASE("the same input gives the same bytes") {
    CHECK(with_evidence(a_pdf(), attachments, manifest_of(attachments)).value() ==
          with_evidence(a_pdf(), attachments, manifest_of(attachments)).value());
}

TEST_CASE("a PDF of another program carries nothing") {
    const auto evidence = evidence_in(a_pdf(), "other.pdf");
    REQUIRE(evidence);
    CHECK(evidence->attachments.empty());
    CHECK_FALSE(evidence->stated_number);
}

TEST_CASE("what is no PDF is refused with its name") {
    for (const std::string& bytes :
         {std::string(), std::string("a text"), a_pdf().substr(0, 100)}) {
        const auto evidence = evidence_in(bytes, "x.pdf");
        REQUIRE_FALSE(evidence);
        CHECK(evidence.error().code == ErrorCode::wrong_input);
        CHECK(evidence.error().where == "x.pdf");
    }
}

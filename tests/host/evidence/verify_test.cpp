#include "evidence/verify.h"

#include "a_pdf.h"

#include <doctest/doctest.h>
#include <random>

using namespace quaycell;
using quaycell::testing::a_pdf;

namespace {

PdfEvidence sound() {
    std::string records;
    for (int i = 0; i < 5000; ++i)
        records += static_cast<char>(i * 37 % 251);
    const std::vector<Attachment> attachments{
        {"records.bin", "application/octet-stream", "", records},
        {"trace.csv", "text/csv", "", "time,potential_mv\r\n2026-05-04T06:00:00Z,-870\r\n"}};
    return evidence_in(with_evidence(a_pdf(), attachments, manifest_of(attachments)).value(),
                       "report.pdf")
        .value();
}

bool finds_something_wrong(const PdfEvidence& evidence) {
    const auto verification = verify_evidence(evidence, "report.pdf");
    return !verification || verification->overall() == Agreement::differs;
}

} // namespace

TEST_CASE("what nobody touched agrees, and the number is told") {
    const auto verification = verify_evidence(sound(), "report.pdf");
    REQUIRE(verification);
    CHECK(verification->overall() == Agreement::agrees);
    CHECK(verification->findings.size() == 3);
    CHECK(verification->number == sound().stated_number);
}

TEST_CASE("every one of 1,000 changed bytes is found, and the attachment that it is in is named") {
    const PdfEvidence untouched = sound();
    std::mt19937 random(7);
    for (int i = 0; i < 1000; ++i) {
        PdfEvidence changed = untouched;
        Attachment& attachment = changed.attachments[random() % changed.attachments.size()];
        std::string bytes = attachment.bytes.at_hand();
        char& byte = bytes[random() % bytes.size()];
        byte = static_cast<char>(byte ^ (1U << (random() % 8)));
        attachment.bytes = std::move(bytes);
        CAPTURE(attachment.name);
        REQUIRE(finds_something_wrong(changed));
        const auto verification = verify_evidence(changed, "report.pdf");
        if (!verification) {
            CHECK(attachment.name == manifest_name);
            continue;
        }
        for (const EvidenceFinding& finding : verification->findings)
            if (finding.name == attachment.name) CHECK(finding.agreement == Agreement::differs);
    }
}

TEST_CASE("an attachment taken away, put in, or another list is found") {
    PdfEvidence fewer = sound();
    fewer.attachments.pop_back();
    CHECK(finds_something_wrong(fewer));
    PdfEvidence more = sound();
    more.attachments.push_back({"other.csv", "text/csv", "", "x"});
    CHECK(finds_something_wrong(more));
    PdfEvidence unnumbered = sound();
    unnumbered.stated_number.reset();
    CHECK(finds_something_wrong(unnumbered));
}

TEST_CASE("a PDF without evidence cannot be verified, and is told so") {
    const auto verification = verify_evidence({}, "other.pdf");
    REQUIRE_FALSE(verification);
    CHECK(verification.error().what == "this PDF carries no evidence");
}

#include "evidence/signed_list.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

struct Signed {
    SecretKey key = new_secret_key();
    PdfEvidence evidence;

    Signed() {
        const std::vector<Attachment> files{{"trace.csv", "", "", "time\r\n"},
                                            {signer_name, "", "", to_pem(public_key_of(key))}};
        const std::string manifest = manifest_of(files);
        evidence.attachments = files;
        evidence.attachments.push_back({manifest_name, "", "", manifest});
        evidence.attachments.push_back({signature_name, "", "", signature_of(manifest, key)});
    }

    FileBytes& bytes(const char* name) {
        for (Attachment& each : evidence.attachments)
            if (each.name == name) return each.bytes;
        throw std::logic_error("no such file");
    }
    void change(const char* name, std::size_t at) {
        std::string changed = bytes(name).at_hand();
        changed[at] ^= 1;
        bytes(name) = std::move(changed);
    }
    void remove(const char* name) {
        std::erase_if(evidence.attachments,
                      [&](const Attachment& each) { return each.name == name; });
    }
    Agreement agreement(const std::optional<PublicKey>& wanted = std::nullopt) const {
        const auto finding = signature_finding(evidence, wanted);
        REQUIRE(finding);
        CHECK(finding->name == signature_name);
        return finding->agreement;
    }
};

} // namespace

TEST_CASE(
    "a signed list agrees with the key that signed it, and with none that was not asked for") {
    const Signed report;
    CHECK(report.agreement() == Agreement::agrees);
    CHECK(report.agreement(public_key_of(report.key)) == Agreement::agrees);
    CHECK(signature_finding(report.evidence, {})
              ->words.find(fingerprint(public_key_of(report.key))) != std::string::npos);
}

TEST_CASE("another key, another list, another signature: each is found") {
    Signed report;
    CHECK(report.agreement(public_key_of(new_secret_key())) == Agreement::differs);
    report.change(manifest_name, 0);
    CHECK(report.agreement() == Agreement::differs);
    report = Signed();
    report.change(signature_name, 63);
    CHECK(report.agreement() == Agreement::differs);
    report = Signed();
    report.bytes(signer_name) = to_pem(public_key_of(new_secret_key()));
    CHECK(report.agreement() == Agreement::differs);
    report = Signed();
    report.bytes(signer_name) = "a key";
    CHECK(report.agreement() == Agreement::differs);
}

TEST_CASE("a signature that was taken away is missed") {
    Signed report;
    report.remove(signature_name);
    CHECK(report.agreement() == Agreement::differs);
    report.remove(signer_name);
    CHECK(report.agreement(public_key_of(report.key)) == Agreement::differs);
    CHECK_FALSE(signature_finding(report.evidence, {}));
    report = Signed();
    report.remove(signer_name);
    CHECK(report.agreement() == Agreement::differs);
}

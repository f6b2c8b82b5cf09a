#include "evidence/pdf_attachments.h"

// clang cannot read qpdf's JSON.hh as C++20 (a vector of a class within that class); to the rest of
// qpdf its name is enough.
#define JSON_HH
class JSON;

#include <exception>
#include <qpdf/Pl_Flate.hh>
#include <qpdf/QPDF.hh>
#include <qpdf/QPDFEFStreamObjectHelper.hh>
#include <qpdf/QPDFEmbeddedFileDocumentHelper.hh>
#include <qpdf/QPDFFileSpecObjectHelper.hh>
#include <qpdf/QPDFWriter.hh>

namespace quaycell {

namespace {

/// Of zlib's nine. The default, 6, takes three times as long for records and CSV and saves a tenth.
constexpr int compression_level = 1;

constexpr const char* number_key = "/QuaycellEvidence";

void attach(QPDF& pdf, const Attachment& attachment) {
    auto stream = QPDFEFStreamObjectHelper::createEFStream(pdf, attachment.bytes.at_hand());
    stream.setSubtype(attachment.media_type);
    auto file = QPDFFileSpecObjectHelper::createFileSpec(pdf, attachment.name, stream);
    file.setDescription(attachment.description);
    QPDFEmbeddedFileDocumentHelper(pdf).replaceEmbeddedFile(attachment.name, file);
}

/// A file that is damaged must not be mended on the quiet: its evidence is what counts.
void open(QPDF& pdf, const std::string& bytes) {
    pdf.setSuppressWarnings(true);
    pdf.setAttemptRecovery(false);
    pdf.processMemoryFile("report", bytes.data(), bytes.size());
}

} // namespace

Result<std::string> with_evidence(const std::string& bytes, std::span<const Attachment> attachments,
                                  const std::string& manifest) {
    try {
        QPDF pdf;
        open(pdf, bytes);
        for (const Attachment& each : attachments)
            attach(pdf, each);
        attach(pdf, {manifest_name, "text/plain", "SHA-256 of the other attachments", manifest});
        pdf.getTrailer().getKey("/Info").replaceKey(
            number_key, QPDFObjectHandle::newString(evidence_number(manifest)));
        Pl_Flate::setCompressionLevel(compression_level);
        QPDFWriter writer(pdf);
        writer.setOutputMemory();
        writer.setDeterministicID(true);
        writer.write();
        const auto written = writer.getBufferSharedPointer();
        return std::string(reinterpret_cast<const char*>(written->getBuffer()), written->getSize());
    } catch (const std::exception& error) {
        return Error{ErrorCode::failed,
                     std::string("the attachments cannot be put into the PDF: ") + error.what(), "",
                     ""};
    }
}

Result<PdfEvidence> evidence_in(const std::string& bytes, const std::string& where) {
    try {
        QPDF pdf;
        open(pdf, bytes);
        PdfEvidence evidence;
        for (const auto& [name, file] : QPDFEmbeddedFileDocumentHelper(pdf).getEmbeddedFiles()) {
            QPDFEFStreamObjectHelper stream(file->getEmbeddedFileStream());
            const auto data = stream.getObjectHandle().getStreamData(qpdf_dl_all);
            evidence.attachments.push_back(
                {name, stream.getSubtype(), file->getDescription(),
                 std::string(reinterpret_cast<const char*>(data->getBuffer()), data->getSize())});
        }
        QPDFObjectHandle info = pdf.getTrailer().getKey("/Info");
        if (info.isDictionary() && info.getKey(number_key).isString())
            evidence.stated_number = info.getKey(number_key).getStringValue();
        return evidence;
    } catch (const std::exception& error) {
        return Error{ErrorCode::wrong_input,
                     std::string("this is no PDF, or a damaged one: ") + error.what(), where,
                     "Ask for the file once more, as it was sent first."};
    }
}

} // namespace quaycell

#include "evidence/companions.h"

#include <algorithm>
#include <numeric>

namespace quaycell {

namespace {

std::uint64_t size_of(const std::vector<Attachment>& attachments) {
    return std::accumulate(
        attachments.begin(), attachments.end(), std::uint64_t{0},
        [](std::uint64_t sum, const Attachment& each) { return sum + each.bytes.size(); });
}

} // namespace

Carried carried(std::vector<Attachment> attachments, std::size_t most_bytes) {
    Carried carried{std::move(attachments), {}};
    while (size_of(carried.inside) > most_bytes) {
        const auto largest = std::ranges::max_element(
            carried.inside, {}, [](const Attachment& each) { return each.bytes.size(); });
        carried.beside.push_back(std::move(*largest));
        carried.inside.erase(largest);
    }
    return carried;
}

std::string evidence_folder(std::string_view report) {
    return std::string(report) + "-evidence";
}

std::string former_evidence_folder(std::string_view report) {
    return std::string(report.substr(0, report.rfind('.'))) + "-evidence";
}

} // namespace quaycell

#include "series/deployments.h"

#include "base/record_check.h"

namespace quaycell {

namespace {

using wire::RecordKind;

wire::RecordHead head_of(const std::uint8_t* record) {
    return wire::from_bytes<wire::RecordHead>(record);
}

/// The bytes of the readings that the records begin with.
std::size_t readings_at_front(std::span<const std::uint8_t> records) {
    std::size_t size = 0;
    while (size < records.size() && static_cast<RecordKind>(records[size]) == RecordKind::reading)
        size += wire::record_size;
    return size;
}

} // namespace

DeploymentFinder::DeploymentFinder(MakeBytesTaker make_taker)
    : make_taker_(std::move(make_taker)), taker_(make_taker_ ? make_taker_() : nullptr) {}

void DeploymentFinder::add(std::span<const std::uint8_t> records) {
    while (!records.empty()) {
        const std::size_t size = header_ ? 0 : readings_at_front(records);
        if (size == 0) {
            add_one(records.data());
            records = records.subspan(wire::record_size);
            continue;
        }
        take(count_, records.first(size));
        count_ += size / wire::record_size;
        records = records.subspan(size);
    }
}

void DeploymentFinder::add_one(const std::uint8_t* record) {
    const std::size_t at = count_++;
    const auto kind = static_cast<RecordKind>(record[0]);
    const bool arms = kind == RecordKind::arm;
    if (header_ && !arms) {
        take(at - 1, *header_);
        header_.reset();
    }
    if (kind == RecordKind::sector_header) {
        std::copy_n(record, wire::record_size, header_.emplace().begin());
        return;
    }
    if (arms) begin(at, record);
    take(at, {record, wire::record_size});
}

void DeploymentFinder::begin(std::size_t at, const std::uint8_t* arm) {
    close();
    open_ = {};
    // Arming opens a new sector: its header, just before the Arm record, belongs with it.
    open_.first = header_ ? at - 1 : at;
    open_.first_record = head_of(header_ ? header_->data() : arm);
    open_.interval_s = wire::from_bytes<wire::Arm>(arm).interval_s;
    is_armed_ = true;
    began_.reset();
    began_at_ = header_ ? 1 : 0;
    recording_ = std::make_shared<Recording>();
    taker_ = make_taker_ ? make_taker_() : nullptr;
    if (header_) keep(*header_);
    header_.reset();
}

/// One record, or readings.
void DeploymentFinder::take(std::size_t at, std::span<const std::uint8_t> records) {
    const std::size_t count = records.size() / wire::record_size;
    const wire::RecordHead head = head_of(records.data());
    keep(records);
    if (!began_) {
        began_ = head;
        if (!is_armed_) {
            open_.first = at;
            open_.first_record = head;
        }
    }
    open_.count = at + count - open_.first;
    open_.last_record = head_of(records.data() + records.size() - wire::record_size);
    const auto kind = static_cast<RecordKind>(head.kind);
    if (kind == RecordKind::reading) open_.readings += count;
    if (kind == RecordKind::sector_header && !is_armed_)
        open_.interval_s = wire::from_bytes<wire::SectorHeader>(records.data()).interval_s;
}

void DeploymentFinder::keep(std::span<const std::uint8_t> records) {
    recording_->add(records);
    if (taker_) taker_->take(records);
}

void DeploymentFinder::close() {
    if (!is_armed_ && open_.readings == 0) return;
    open_.number = static_cast<std::uint32_t>(found_.size() + 1);
    if (const auto stretches = recording_->times().stretches())
        open_.armed_at = stretch_of(*stretches, began_at_).time_of(*began_).time;
    found_.push_back(open_);
}

std::vector<Deployment> DeploymentFinder::found() && {
    if (header_) take(count_ - 1, *header_);
    close();
    if (!found_.empty()) {
        recording_->finish();
        found_.back().recording = std::move(recording_);
        found_.back().taker = std::move(taker_);
    }
    return std::move(found_);
}

std::vector<Deployment> deployments_of(std::span<const RecordBytes> records) {
    DeploymentFinder finder;
    for (const RecordBytes& record : records)
        if (is_whole_record(record.data()))
            finder.add(record);
        else
            finder.pass_over();
    return std::move(finder).found();
}

} // namespace quaycell

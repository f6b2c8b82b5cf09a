// Which of a logger's records belong together.
#pragma once

#include "base/bytes_taker.h"
#include "series/recording.h"

#include <optional>
#include <span>

namespace quaycell {

/// One arming of a logger until the next. `first` and `count` are places in the records given.
struct Deployment {
    std::uint32_t number = 0; ///< counts from 1
    std::size_t first = 0;
    std::size_t count = 0;
    std::size_t readings = 0;
    /// The time of its first record where the Arm record is lost; none when no record knows any.
    std::optional<Instant> armed_at;
    std::uint16_t interval_s = 0; ///< 0 when neither Arm record nor sector header tells it
    wire::RecordHead first_record{};
    wire::RecordHead last_record{};
    /// Of the newest one, since it has been read anyway.
    std::shared_ptr<const Recording> recording = nullptr;
    /// Who was given its records, likewise.
    std::shared_ptr<BytesTaker> taker = nullptr;

    /// Every number from the first to the last has its record.
    bool is_gapless() const { return count == last_record.sequence - first_record.sequence + 1; }
};

/// Finds the deployments in one logger's records, which come one after another. Readings before the
/// first Arm record (a ring has overwritten it) are a deployment too.
class DeploymentFinder {
  public:
    /// `make_taker`: of who is given the records of each deployment.
    explicit DeploymentFinder(MakeBytesTaker make_taker = nullptr);

    /// Whole ones, one behind another, by boot and sequence.
    void add(std::span<const std::uint8_t> records);

    /// One that is not whole; it has its place all the same.
    void pass_over() { ++count_; }

    /// Once all are added.
    std::vector<Deployment> found() &&;

  private:
    void add_one(const std::uint8_t* record);
    void begin(std::size_t at, const std::uint8_t* arm);
    void take(std::size_t at, std::span<const std::uint8_t> records);
    void keep(std::span<const std::uint8_t> records);
    void close();

    MakeBytesTaker make_taker_;
    std::shared_ptr<BytesTaker> taker_; ///< of the open one
    std::vector<Deployment> found_;
    Deployment open_; ///< first, what comes before any Arm record
    bool is_armed_ = false;
    std::shared_ptr<Recording> recording_ = std::make_shared<Recording>();
    std::optional<wire::RecordHead> began_; ///< its first record, from the Arm record on
    std::size_t began_at_ = 0;              ///< the place of that one in the recording
    std::optional<RecordBytes>
        header_; ///< the last record, as long as nobody knows where it belongs
    std::size_t count_ = 0;
};

/// The same of records that are all there.
std::vector<Deployment> deployments_of(std::span<const RecordBytes> records);

} // namespace quaycell

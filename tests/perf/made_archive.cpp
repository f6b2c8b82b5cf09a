// Writes an archive with the records of one logger, of made weeks one after another: as many days
// as asked, at any interval. tests/perf/year.py measures with it.
//
// usage: made_archive FILE DAYS [INTERVAL_S [SEED]]
#include "../host/series/records.h"
#include "../weeks/made_week.h"
#include "archive/archive.h"

#include <cmath>
#include <cstdlib>
#include <fmt/format.h>

using namespace quaycell;
using namespace quaycell::testing;

namespace {

constexpr std::uint32_t device = 0x5ca1e;
constexpr std::int64_t start_unix_s = 1'735'689'600; // 2025-01-01
constexpr double lsb_mv = circuit.converter_lsb_nv * 1e-6;
constexpr int seconds_in_a_day = 86'400;
/// Written at once: one transaction.
constexpr std::size_t batch = std::size_t{1} << 19U;
constexpr std::uint32_t ac_every_s = 10, look_every_s = 600, check_every_s = 3600;
constexpr std::uint8_t good_look = 52; // about 9 kohm in this circuit

class Logger {
  public:
    Logger(Archive& archive, std::uint32_t interval_s)
        : archive_(archive), interval_s_(interval_s) {}

    void begin() {
        put(boot(0, start_unix_s, 1));
        put(arm(0, 0, start_unix_s));
    }

    void take(double potential_mv, double ac_mv, std::uint32_t at_s) {
        if (at_s >= next_check_s_) {
            wire::Check zero = check(0, at_s, 3, 4 * 16384, 4);
            zero.unix_s = static_cast<std::uint32_t>(start_unix_s + at_s);
            put(zero);
            next_check_s_ = at_s + check_every_s;
        }
        wire::Reading record =
            reading(0, at_s, static_cast<std::int16_t>(std::lround(-potential_mv / lsb_mv)));
        if (interval_s_ >= ac_every_s || at_s % ac_every_s == 0)
            record.ac_a = static_cast<std::uint16_t>(
                std::min(65000.0, ac_mv / (circuit.ac_nv_per_code * 1e-6)));
        const double year = 2 * M_PI * at_s / (365.0 * seconds_in_a_day);
        const double day = 2 * M_PI * at_s / seconds_in_a_day;
        record.water = static_cast<std::uint16_t>(
            std::lround(10'000 + 700 * std::cos(year) + 60 * std::cos(day)) + at_s / 7 % 3);
        record.battery = static_cast<std::uint16_t>(15'000 - at_s / 40'000 + at_s / 11 % 2);
        if (at_s >= next_look_s_) {
            record.source_a = good_look;
            next_look_s_ = at_s + look_every_s;
        }
        record.flags = wire::flag_not_good_b; // there is no cell B
        put(record);
    }

    bool flush() {
        const auto added = archive_.add(device, waiting_);
        if (!added) fmt::print(stderr, "{}\n", added.error().what);
        waiting_.clear();
        return bool(added);
    }
    std::uint32_t count() const { return sequence_; }

  private:
    template <typename Record>
    void put(Record record) {
        if (wire::is_sector_start(sequence_)) {
            const std::uint32_t own = sequence_++;
            waiting_.push_back({own, bytes_of(sector_header(own, record.head.ticks_s))});
        }
        record.head.sequence = sequence_++;
        waiting_.push_back({record.head.sequence, bytes_of(record)});
        if (waiting_.size() >= batch && wire::is_sector_start(sequence_) && !flush()) std::exit(1);
    }

    Archive& archive_;
    std::uint32_t interval_s_;
    std::uint32_t sequence_ = 0;
    std::uint32_t next_check_s_ = 0, next_look_s_ = 0;
    std::vector<SequencedRecord> waiting_;
};

void write(Logger& logger, int days, int interval_s, std::uint64_t seed) {
    logger.begin();
    for (int week = 0; 7 * week < days; ++week) {
        const int length = std::min(7, days - 7 * week);
        const weeks::MadeTrace made = weeks::make_trace(
            {seed + static_cast<std::uint64_t>(week), length, week % 4 == 3, interval_s});
        const Trace& trace = made.trace;
        const Instant first = from_unix_s(1'777'874'400); // of every made week
        for (std::size_t i = 0; i < trace.time.size(); ++i) {
            const auto since = (trace.time[i] - first) / std::chrono::seconds{1};
            logger.take(trace.potential_mv[i], trace.ac_mv[i],
                        static_cast<std::uint32_t>(7LL * week * seconds_in_a_day + since));
        }
    }
}

} // namespace

int main(int argc, char** argv) {
    if (argc < 3 || std::atoi(argv[2]) < 1) {
        fmt::print(stderr, "usage: made_archive FILE DAYS [INTERVAL_S [SEED]]\n");
        return 2;
    }
    const int interval_s = argc > 3 ? std::max(1, std::atoi(argv[3])) : 1;
    auto archive = Archive::open(argv[1], OpenMode::write_create);
    if (!archive) {
        fmt::print(stderr, "{}: {}\n", argv[1], archive.error().what);
        return 1;
    }
    wire::HelloReply hello{};
    hello.device_id = device;
    wire::Calibration calibration{};
    calibration.unix_s = start_unix_s;
    calibration.reference_code_x16 = 16 * 16384;
    calibration.flags = wire::calibration_valid;
    const Instant start = from_unix_s(start_unix_s);
    Logger logger(*archive, static_cast<std::uint32_t>(interval_s));
    bool done = archive->put_logger(hello, circuit, start) &&
                archive->put_calibration(device, calibration, start);
    write(logger, std::atoi(argv[2]), interval_s,
          argc > 4 ? std::strtoull(argv[4], nullptr, 10) : 1);
    done = done && logger.flush() &&
           archive->put_collection({start, device, 0, logger.count(), logger.count(), 0, "made"});
    if (done) fmt::print("{} records\n", logger.count());
    return done ? 0 : 1;
}

// The real firmware on the simulated board, with the power cut at random instants. See --help.
#include "board_host.h"
#include "board_log.h"
#include "chance.h"
#include "failure.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

using namespace quaycell;
using namespace quaycell::powerloss;
using namespace std::chrono_literals;
using bench::Time;

namespace {

constexpr std::uint32_t sectors_to_wrap = 20;

/// What a life is made to do; all by chance.
struct Plan {
    enum class Aim : std::uint8_t { any_instant, starting, programming, erasing };
    Aim aim;
    unsigned operation; ///< the power goes in the so-manieth program or erase from now on
    Time delay;         ///< after that began, or after power-up
    bool watched;
    std::optional<wire::MessageType> order;
    Time order_at;
};

// Common times of the bench's flash, a little more: a cut may also come just after the end.
constexpr Time program_time = 800us, erase_time = 50ms;
constexpr Time longest_life = 6s;

Plan plan_of(std::uint64_t seed, std::uint64_t cut, bool recording, std::uint32_t worn) {
    const auto draw = [&](std::uint64_t what, std::uint64_t below) {
        return chance(chance(seed, cut), what) % below;
    };
    const auto time = [&](std::uint64_t what, Time below) {
        return Time{static_cast<Time::rep>(draw(what, static_cast<std::uint64_t>(below.count())))};
    };
    constexpr std::array orders{wire::MessageType::arm, wire::MessageType::stop,
                                wire::MessageType::forget};
    Plan plan{};
    plan.aim = static_cast<Plan::Aim>(draw(0, 4));
    plan.operation =
        static_cast<unsigned>(1 + draw(1, plan.aim == Plan::Aim::erasing ? 2 + worn : 8));
    constexpr std::array<Time, 4> spans{4s, 400ms, program_time, erase_time};
    plan.delay = time(2, spans[static_cast<std::size_t>(plan.aim)]);
    // A logger that has been stopped is armed again.
    if (!recording)
        plan.order = wire::MessageType::arm;
    else if (draw(3, 8) == 0)
        plan.order = orders[draw(4, orders.size())];
    plan.watched = plan.order || draw(5, 2) == 0;
    plan.order_at = 600ms + time(6, 1s);
    return plan;
}

struct Counts {
    std::uint64_t cuts = 0, programming = 0, erasing = 0, passing = 0, told = 0, orders = 0;
    double hours = 0;

    void add(const Counts& other) {
        cuts += other.cuts;
        programming += other.programming;
        erasing += other.erasing;
        passing += other.passing;
        told += other.told;
        orders += other.orders;
        hours += other.hours;
    }
};

/// So many sectors in a row, from the one on that the log comes to next; in which way, by chance.
bench::Scenario with_worn_sectors(bench::Scenario scenario, std::uint32_t worn,
                                  std::uint64_t seed) {
    using What = bench::WornSector::What;
    const std::uint32_t sectors = scenario.logger.flash_mb * 256;
    for (std::uint32_t i = 0; i < worn; ++i)
        scenario.worn_sectors.push_back(
            {chance(seed, 1000 + i) % 2 == 0 ? What::erase : What::program,
             (sectors - sectors_to_wrap + 1 + i) % sectors});
    return scenario;
}

/// A logger from a full ring on, through many cuts.
class Run {
  public:
    /// `worn`: at most so many sectors just ahead of the log; at least one when it is not 0.
    Run(const std::string& elf, const std::string& scenario, std::uint64_t seed, std::uint32_t worn)
        : worn_(worn == 0 ? 0 : 1 + static_cast<std::uint32_t>(chance(seed, 999) % worn)),
          board_(bench::read_firmware(elf),
                 with_worn_sectors(bench::read_scenario(scenario), worn_, seed)),
          seed_(seed) {
        const auto size = static_cast<std::uint32_t>(board_.flash().image().size());
        constexpr std::uint32_t slots = wire::slots_per_sector;
        const auto left = static_cast<std::uint32_t>(chance(seed, 998) % last_slots);
        auto ring = full_ring(size, sectors_to_wrap, worn_ == 0 ? slots / 2 : slots - left);
        if (worn_ != 0) soil_ahead(ring, sectors_to_wrap);
        board_.load_flash(ring);
    }

    void cut(std::uint64_t number) {
        const BoardLog start(board_.flash().image());
        const Plan plan = plan_of(seed_, number, start.recording().on, worn_);
        const std::uint64_t erases = board_.flash().erases();
        BoardHost host(board_);
        live(plan, host);
        host.listen();
        const BoardLog end(board_.flash().image());
        ++counts_.cuts;
        counts_.programming += plan.aim == Plan::Aim::programming;
        counts_.erasing += plan.aim == Plan::Aim::erasing;
        // More than the one ahead: it has found a worn sector, and is not yet behind it.
        counts_.passing += board_.flash().erases() > erases + 1 && !start.enters_sector(end);
        board_.cut_power();
        board_.set_host_present(false);
        const BoardLog found(board_.flash().image());
        judge(start, end, found, host);
    }

    void check_findings() const {
        const bench::Findings& findings = board_.findings();
        if (findings.count() != 0) throw Failure(findings.to_text());
    }

    Counts counts() const {
        Counts counts = counts_;
        counts.hours = std::chrono::duration<double>(board_.now()).count() / 3600;
        return counts;
    }

  private:
    /// From power-up to the instant of the cut.
    void live(const Plan& plan, BoardHost& host) {
        const Time power_up = board_.now();
        if (plan.watched) {
            board_.set_host_present(true);
            board_.run_for(400ms);
            host.watch();
        }
        if (plan.order) {
            board_.run_until(power_up + plan.order_at);
            host.listen();
            host.order(*plan.order, BoardLog(board_.flash().image()).next());
        }
        switch (plan.aim) {
        case Plan::Aim::any_instant:
            return board_.run_for(plan.delay);
        case Plan::Aim::starting:
            return board_.run_until(std::max(board_.now(), power_up) + plan.delay);
        case Plan::Aim::programming:
            return run_into([this] { return board_.flash().programs(); }, plan);
        case Plan::Aim::erasing:
            return run_into([this] { return board_.flash().erases(); }, plan);
        }
    }

    template <typename Count>
    void run_into(Count count, const Plan& plan) {
        constexpr Time step = 50us;
        const Time give_up = board_.now() + longest_life;
        for (unsigned i = 0; i < plan.operation; ++i)
            for (const auto before = count(); count() == before && board_.now() < give_up;)
                board_.run_for(step);
        board_.run_for(plan.delay);
    }

    void judge(const BoardLog& start, const BoardLog& end, const BoardLog& found,
               const BoardHost& host) {
        // Until the next one an order that was cut short may turn out either way.
        const bool order_given = host.ordered().has_value() || order_open_;
        order_open_ = order_given && !host.confirmed();
        hold_together(start, end, order_given, worn_);
        hold_together(end, found, order_given, worn_);
        if (const unsigned extra = new_records(end, found); extra > 1)
            throw Failure(fmt::format("{} records were in flight at once", extra));
        for (const auto& [sequence, reading] : host.told()) {
            if (wire::sequence_before(sequence, found.tail())) continue;
            ++counts_.told;
            if (memcmp(&reading, found.slot(sequence), sizeof reading) != 0)
                throw Failure(
                    fmt::format("reading {} was reported as recorded and is lost", sequence));
        }
        if (!host.confirmed()) return;
        ++counts_.orders;
        if (found.recording().on != (host.ordered() == wire::MessageType::arm))
            throw Failure("an order that was confirmed is forgotten");
    }

    static constexpr std::uint32_t last_slots = 24; ///< of a sector: some three restarts

    std::uint32_t worn_;
    bench::Board board_;
    std::uint64_t seed_;
    Counts counts_;
    bool order_open_ = false;
};

} // namespace

int main(int argc, char** argv) {
    CLI::App app{
        "Cuts the power of the real firmware on the simulated board, again and again, half "
        "of the times inside a program or an erase, and looks after each cut whether the "
        "flash holds what it held and what was told. A failure is printed as options that "
        "repeat it."};
    std::string elf = QUAYCELL_LOGGER_ELF, scenario = QUAYCELL_SCENARIO;
    std::uint64_t runs = 1, cuts = 50, seed = 1;
    std::uint32_t worn = 0;
    app.add_option("--runs", runs, "so many loggers, with one seed after the other");
    app.add_option("--cuts", cuts, "of each");
    app.add_option("--seed", seed, "of the first");
    app.add_option(
           "--worn", worn,
           "with 1 to so many worn sectors in a row just ahead, 8 at most; most of the first "
           "10 cuts fall near them")
        ->check(CLI::Range(0, int{wire::most_skipped}));
    app.add_option("--firmware", elf, "the ELF");
    app.add_option("--scenario", scenario, "the sea and the logger's setup");
    CLI11_PARSE(app, argc, argv);

    Counts all;
    std::uint64_t failures = 0;
    for (std::uint64_t at = seed; at < seed + runs; ++at) {
        std::uint64_t number = 0;
        try {
            Run run(elf, scenario, at, worn);
            while (number < cuts)
                run.cut(number++);
            run.check_findings();
            all.add(run.counts());
        } catch (const std::exception& failure) {
            ++failures;
            fmt::print("failed: --seed {} --cuts {} --worn {}\n        {}\n", at, number, worn,
                       failure.what());
            std::fflush(stdout);
        }
    }
    fmt::print(
        "{} cuts in {:.1f} simulated hours, {} aimed at programs, {} at erases, {} in the middle "
        "of passing over worn sectors; {} readings reported as recorded, {} confirmed orders, "
        "all held; {} runs failed\n",
        all.cuts, all.hours, all.programming, all.erasing, all.passing, all.told, all.orders,
        failures);
    return failures == 0 ? 0 : 1;
}

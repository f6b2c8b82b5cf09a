#include "runner.h"

#include "chance.h"
#include "failure.h"
#include "life.h"
#include "tears.h"

namespace quaycell::powerloss {

namespace {

/// Flash and promises at one instant: all that outlives the power.
struct World {
    Cells cells;
    Journal journal;
};

// Most operations are readings in the middle of a sector, each much like the last.
bool is_reading(const Operation& operation) {
    return !operation.erase &&
           operation.data[0] == static_cast<std::uint8_t>(wire::RecordKind::reading);
}

std::uint32_t number_of(const Bytes& record) {
    return wire::from_bytes<wire::RecordHead>(record.data()).sequence;
}

class Runner {
  public:
    Runner(const Workload& workload, const std::optional<Worn>& worn, const Choice& choice,
           const Failed& failed)
        : workload_(workload), worn_(worn), choice_(choice), failed_(failed) {}

    Tally run() {
        World world{{}, Journal(prepared_standing(workload_))};
        for (const Operation& program : prepared_slots(workload_)) {
            world.journal.issue(program);
            world.cells.program(program);
            world.journal.promise(program.data);
        }
        if (worn_) {
            world.cells.wear_out(*worn_);
            world.journal.wear_out(*worn_);
        }
        unsigned at = 0;
        const auto cut_here = [&](const Operation& operation) {
            cut_first(world, operation, at++);
        };
        try {
            lead_through(world, cut_here);
        } catch (const Failure& failure) {
            report({std::string(workload_.name), worn_, {at, {Tear::Kind::before}}, {}, {}, 0},
                   std::string("without any cut: ") + failure.what());
        }
        tally_.operations = at;
        return tally_;
    }

  private:
    void lead_through(World& world, const Flash::Observer& observer) {
        std::optional<Life> life;
        life.emplace(world.cells, world.journal, observer);
        for (const Step& step : workload_.steps) {
            if (step.kind == Step::Kind::restart)
                life.emplace(world.cells, world.journal, observer);
            for (unsigned i = 0; i < step.times; ++i)
                life->perform(step);
            life->check();
        }
    }

    void cut_first(const World& world, const Operation& operation, unsigned at) {
        const auto try_case = [&](const SeededTear& tear, std::optional<std::uint32_t> lost) {
            const Case candidate{
                std::string(workload_.name), worn_, {at, tear.tear}, lost, {}, tear.seed};
            if (!enough_ && chosen(candidate, operation)) recover(world, operation, candidate);
        };
        for (const SeededTear& tear : all_tears(operation.erase))
            try_case(tear, std::nullopt);
        for (const SeededTear& tear : tears_with_loss(operation.erase))
            for (std::uint32_t sector = 0; sector < sectors; ++sector)
                if (sector != operation.sector()) try_case(tear, sector);
    }

    bool chosen(const Case& candidate, const Operation& operation) {
        if (choice_.only) {
            Case first = *choice_.only;
            first.second.reset();
            return candidate == first;
        }
        std::uint64_t one_of = choice_.one_of;
        if (worn_)
            one_of = is_reading(operation) ? one_of * worn_one_of : 2 * one_of - 1;
        else if (!is_reading(operation))
            one_of = one_of / 10 + 1;
        return chance(1, ++drawn_) % one_of == 0;
    }

    static World after(World world, const Operation& operation, const PowerCut& cut,
                       std::uint64_t seed) {
        const Tear::Kind kind = cut.tear.kind;
        if (kind == Tear::Kind::before)
            world.journal.cut();
        else
            world.journal.tear(operation,
                               kind == Tear::Kind::unstable || kind == Tear::Kind::last_bit);
        world.cells.tear(operation, cut.tear, seed);
        return world;
    }

    /// One in 65,536 torn records is whole by its checksum. Under its own number no log could tell.
    bool fits_by_chance(World& world, const Operation& operation) {
        if (operation.erase) return false;
        Bytes left;
        world.cells.read(operation.address, left.data(), wire::record_size);
        if (left == operation.data || !wire::is_valid_record(left.data()) ||
            number_of(left) != number_of(operation.data))
            return false;
        ++tally_.fitting_by_chance;
        return true;
    }

    /// The first restart: what it finds, what it writes, and every cut of that.
    void recover(const World& before, const Operation& operation, const Case& first) {
        World world = after(before, operation, first.first, first.seed);
        if (fits_by_chance(world, operation)) return;
        if (first.lost) {
            world.cells.lose(*first.lost, first.seed);
            world.journal.lose(*first.lost);
        }
        unsigned at = 0;
        const auto cut_again = [&](const Operation& next) {
            for (const Tear tear : second_tears(next.erase)) {
                Case both = first;
                both.second = PowerCut{at, tear};
                if (enough_ || (choice_.only && *choice_.only != both)) continue;
                World torn = after(world, next, *both.second, both.seed);
                if (fits_by_chance(torn, next)) continue;
                judge(both, [&] { live_on(torn); });
            }
            ++at;
        };
        const bool counts = !choice_.only || *choice_.only == first;
        const auto restart = [&] {
            {
                Life life(world.cells, world.journal, cut_again);
                life.check();
                life.perform({Step::Kind::boot});
                life.perform({Step::Kind::reading});
                life.perform({Step::Kind::reading});
                life.check();
            }
            live_on(world);
        };
        if (counts)
            judge(first, restart);
        else
            quietly(restart);
    }

    /// Restarts without a further cut: on over the next border, and into a new deployment.
    static void live_on(World world) {
        {
            Life life(world.cells, world.journal);
            life.check();
            life.perform({Step::Kind::boot});
            life.cross_a_border();
            life.check();
        }
        Life life(world.cells, world.journal);
        life.check();
        life.perform({Step::Kind::arm_overwrite_oldest});
        life.perform({Step::Kind::reading});
        life.check();
    }

    template <typename Lives>
    void judge(const Case& tried, Lives lives) {
        ++tally_.cases;
        try {
            lives();
        } catch (const Failure& failure) {
            report(tried, failure.what());
        }
    }

    template <typename Lives>
    static void quietly(Lives lives) {
        try {
            lives();
        } catch (const Failure&) {
            // Another case than the one that is asked for.
        }
    }

    void report(const Case& tried, const std::string& why) {
        ++tally_.failures;
        if (!failed_(tried.to_text(), why)) enough_ = true;
    }

    static constexpr std::uint64_t worn_one_of = 16; ///< of readings, for each of the 16 worn ones

    const Workload& workload_;
    const std::optional<Worn> worn_;
    const Choice& choice_;
    const Failed& failed_;
    Tally tally_;
    std::uint64_t drawn_ = 0;
    bool enough_ = false;
};

} // namespace

Tally run(const Workload& workload, const std::optional<Worn>& worn, const Choice& choice,
          const Failed& failed) {
    return Runner(workload, worn, choice, failed).run();
}

} // namespace quaycell::powerloss

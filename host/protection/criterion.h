// What published standards say about the potential at which a hull or a metal is protected.
#pragma once

#include "base/result.h"
#include "electrode/scale.h"

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

enum class Hull { steel, aluminium, wood, grp, grp_aluminium_drive };

std::string_view name_of(Hull hull); ///< "grp-aluminium-drive"
std::span<const Hull> all_hulls();

/// The hull of that name, or an error (wrong_usage) that lists the valid names.
Result<Hull> hull_named(std::string_view name);

enum class Metal {
    mild_steel,
    high_strength_steel,
    stainless_austenitic,
    stainless_high_alloy,
    stainless_duplex,
    copper_alloy,
    copper_alloy_aluminium,
    nickel_copper,
    aluminium_alloy,
};

std::string_view name_of(Metal metal); ///< "stainless-duplex"
std::span<const Metal> all_metals();

/// The metal of that name, or an error (wrong_usage) that lists the valid names.
Result<Metal> metal_named(std::string_view name);

/// What the metal lies in. Mud without oxygen lets bacteria attack steel, which then needs more.
enum class Oxygen { aerobic, anaerobic, any };

std::string_view name_of(Oxygen oxygen); ///< "anaerobic"
Result<Oxygen> oxygen_named(std::string_view name);

/// The metal that a hull is made of, or that its drive is; none of wood and plastic.
std::optional<Metal> metal_of(Hull hull);

enum class CriterionKind {
    absolute, ///< a band of potentials
    shift,    ///< so much more negative than the free potential: needs a baseline
    target,   ///< what an impressed-current system is set to
    limit,    ///< only the negative end
};

std::string_view name_of(CriterionKind kind);
Result<CriterionKind> criterion_kind_named(std::string_view name);

/// One row of the table.
struct Criterion {
    std::string id;
    std::string subject; ///< name of a hull or of a metal; "any" for a shift
    CriterionKind kind = CriterionKind::absolute;
    std::optional<double> protected_from_mv; ///< least negative end; of a shift, the change, [mV]
    std::optional<double> over_at_mv;        ///< most negative end; absent: none published, [mV]
    std::optional<Scale> scale;              ///< absent for a shift: a difference has no scale
    double salinity_min_psu = 0;
    double salinity_max_psu = 0;
    Oxygen oxygen = Oxygen::any;
    std::string over_reason; ///< what happens beyond over_at_mv; may be empty
    std::string source;
    std::string edition; ///< may be empty
    std::string clause;  ///< may be empty
    std::string status;  ///< in words: "read", "transcribed", "from memory"
    std::string note;    ///< may be empty
    std::string
        rule_set; ///< issuer and edition: "small-craft", "ships"; empty for shifts and background
    bool background = false; ///< weak authority, shown and never judged by
};

/// Reads a table of criteria. An unknown or missing key, a wrong type or an impossible value is an
/// error (wrong_input) whose place is "WHERE:line" and whose cause names table and key.
Result<std::vector<Criterion>> parse_criteria(std::string_view toml, std::string_view where);

/// The table that comes with the program.
const std::vector<Criterion>& built_in_criteria();

/// The table with a user's rows: those with a known id take the place of that row, others are
/// added. Two rows that would judge the same subject at once contradict each other and are an error
/// (wrong_input) that names both.
Result<std::vector<Criterion>> with_own_criteria(std::vector<Criterion> criteria,
                                                 std::vector<Criterion> own,
                                                 std::string_view where);

} // namespace quaycell

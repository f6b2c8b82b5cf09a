// The resistance between an anode and the water round it, by its form: the table of DNV-RP-B401
// (numbering of 2005 and 2010, T10-7; transcribed; later editions not compared).
#pragma once

#include "base/result.h"

#include <optional>
#include <string_view>

namespace quaycell {

enum class Mounting {
    stand_off, ///< a bar held away from the metal
    flush,     ///< a plate or bar against the metal
    bracelet,  ///< round a shaft, a strut or a pipe
};

/// "stand-off"; an unknown name is an error (wrong_usage) that lists those there are.
std::string_view name_of(Mounting mounting);
Result<Mounting> mounting_named(std::string_view name);

/// The formula that a form of anode is computed by.
enum class ResistanceForm {
    long_stand_off,  ///< Dwight: rho/(2 pi L) (ln(4L/r) - 1), L >= 4r
    short_stand_off, ///< Dwight, modified
    long_flush,      ///< Lloyd: rho/(2S), S = (L + width)/2, L >= 4 widths and 4 thicknesses
    short_flush,     ///< McCoy: 0.315 rho / sqrt(A)
    bracelet,        ///< McCoy, of the outer face
};

/// "long flush (Lloyd)"
std::string_view name_of(ResistanceForm form);

/// Outer measures, [m], all above zero.
struct AnodeShape {
    Mounting mounting;
    double length_m;
    double width_m; ///< of a bracelet its girth
    /// Without it a stand-off anode is a round bar of that width, and the sides of a plate do not
    /// count.
    std::optional<double> thickness_m = {};
};

ResistanceForm form_of(const AnodeShape& shape);

/// Of a bar of any section the radius of the round one of the same girth, [m].
double equivalent_radius_m(const AnodeShape& shape);

/// To remote water, [ohm]; `resistivity_ohm_m` above zero. A stand-off anode hangs 0.3 m from the
/// metal at least.
double resistance_ohm(const AnodeShape& shape, double resistivity_ohm_m);

/// What an anode is like when its usable part is gone: `spent_mass_kg` of metal, the length a tenth
/// shorter; a stand-off anode round, a long flush one half round (DNV-RP-B401 section 7.9, from
/// memory; the length reproduces a worked example of a ship, transcribed, of unnamed source). What
/// is short, flush or a bracelet keeps its face.
AnodeShape spent_shape(const AnodeShape& fresh, double spent_mass_kg, double density_kg_m3);

} // namespace quaycell

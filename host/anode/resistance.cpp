#include "anode/resistance.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <numbers>

namespace quaycell {

namespace {

using std::numbers::pi;

constexpr std::array<std::string_view, 3> mountings{"stand-off", "flush", "bracelet"};
constexpr std::array<std::string_view, 5> forms{
    "long stand-off (Dwight)", "short stand-off (Dwight, modified)", "long flush (Lloyd)",
    "short flush (McCoy)", "bracelet (McCoy)"};

/// From which ratio of length to radius, to width and to thickness on an anode counts as long.
constexpr double long_from = 4;
constexpr double mccoy = 0.315;
constexpr double length_left_when_spent = 0.9;

double long_bar_ohm(double rho, double length_m, double radius_m) {
    return rho / (2 * pi * length_m) * (std::log(4 * length_m / radius_m) - 1);
}

double short_bar_ohm(double rho, double length_m, double radius_m) {
    const double half = radius_m / (2 * length_m);
    const double slant = std::hypot(1.0, half);
    return rho / (2 * pi * length_m) *
           (std::log(2 * length_m / radius_m * (1 + slant)) + half - slant);
}

/// Of the face and the sides that the water touches.
double face_m2(const AnodeShape& shape) {
    const double face = shape.length_m * shape.width_m;
    if (shape.mounting == Mounting::bracelet) return face;
    return face + 2 * shape.thickness_m.value_or(0) * (shape.length_m + shape.width_m);
}

} // namespace

std::string_view name_of(Mounting mounting) {
    return mountings.at(static_cast<std::size_t>(mounting));
}

Result<Mounting> mounting_named(std::string_view name) {
    const auto found = std::ranges::find(mountings, name);
    if (found != mountings.end()) return static_cast<Mounting>(found - mountings.begin());
    return Error{ErrorCode::wrong_usage, fmt::format("no anode has the shape \"{}\"", name), "",
                 fmt::format("Say one of {}", fmt::join(mountings, ", "))};
}

std::string_view name_of(ResistanceForm form) {
    return forms.at(static_cast<std::size_t>(form));
}

ResistanceForm form_of(const AnodeShape& shape) {
    if (shape.mounting == Mounting::bracelet) return ResistanceForm::bracelet;
    if (shape.mounting == Mounting::stand_off)
        return shape.length_m >= long_from * equivalent_radius_m(shape)
                   ? ResistanceForm::long_stand_off
                   : ResistanceForm::short_stand_off;
    const double widest_m = std::max(shape.width_m, shape.thickness_m.value_or(0));
    // 0.4 m by 0.1 m is long, whatever 4 times 0.1 is in binary.
    constexpr double rounding = 1 + 1e-12;
    return shape.length_m * rounding >= long_from * widest_m ? ResistanceForm::long_flush
                                                             : ResistanceForm::short_flush;
}

double equivalent_radius_m(const AnodeShape& shape) {
    if (!shape.thickness_m) return shape.width_m / 2;
    return 2 * (shape.width_m + *shape.thickness_m) / (2 * pi);
}

double resistance_ohm(const AnodeShape& shape, double resistivity_ohm_m) {
    switch (form_of(shape)) {
    case ResistanceForm::long_stand_off:
        return long_bar_ohm(resistivity_ohm_m, shape.length_m, equivalent_radius_m(shape));
    case ResistanceForm::short_stand_off:
        return short_bar_ohm(resistivity_ohm_m, shape.length_m, equivalent_radius_m(shape));
    case ResistanceForm::long_flush:
        return resistivity_ohm_m / (shape.length_m + shape.width_m);
    case ResistanceForm::short_flush:
    case ResistanceForm::bracelet:
        return mccoy * resistivity_ohm_m / std::sqrt(face_m2(shape));
    }
    return 0;
}

AnodeShape spent_shape(const AnodeShape& fresh, double spent_mass_kg, double density_kg_m3) {
    const double length_m = fresh.length_m * length_left_when_spent;
    const double section_m2 = spent_mass_kg / density_kg_m3 / length_m;
    switch (form_of(fresh)) {
    case ResistanceForm::long_stand_off:
    case ResistanceForm::short_stand_off:
        return {Mounting::stand_off, length_m, 2 * std::sqrt(section_m2 / pi)};
    case ResistanceForm::long_flush:
        return {Mounting::flush, length_m, 2 * std::sqrt(2 * section_m2 / pi)};
    case ResistanceForm::short_flush:
    case ResistanceForm::bracelet:
        break;
    }
    return fresh;
}

} // namespace quaycell

// Drawing a scene with Cairo and Pango, for the renderers that do.
#pragma once

#include "chart/scene.h"

#include <cairo.h>
#include <memory>
#include <string>

namespace quaycell::cairo {

constexpr double mm_per_inch = 25.4;

template <auto Release>
struct Releaser {
    template <typename T>
    void operator()(T* held) const {
        Release(held);
    }
};
using Surface = std::unique_ptr<cairo_surface_t, Releaser<cairo_surface_destroy>>;
using Context = std::unique_ptr<cairo_t, Releaser<cairo_destroy>>;

/// Draws all of it; the context's unit is the millimetre.
void draw(cairo_t* context, const Scene& scene);

/// A cairo_write_func_t that appends to the std::string at `bytes`.
cairo_status_t append(void* bytes, const unsigned char* data, unsigned int count);

} // namespace quaycell::cairo

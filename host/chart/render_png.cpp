#include "chart/render_png.h"

#include "chart/cairo_drawing.h"

#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

constexpr double most_pixels = 100e6;

} // namespace

Result<std::string> render_png(const Scene& scene, double dpi) {
    const double pixels_per_mm = dpi / cairo::mm_per_inch;
    const double width = std::round(scene.width_mm * pixels_per_mm);
    const double height = std::round(scene.height_mm * pixels_per_mm);
    if (!(dpi >= 36 && dpi <= 1200) ||
        !(width >= 1 && height >= 1 && width * height <= most_pixels))
        return Error{
            ErrorCode::out_of_range,
            fmt::format("a picture of {:.0f} by {:.0f} mm at {:.0f} dots per inch cannot be "
                        "drawn",
                        scene.width_mm, scene.height_mm, dpi),
            "", "Ask for 36 to 1200 dots per inch and at most 100 million pixels."};
    const cairo::Surface surface(cairo_image_surface_create(
        CAIRO_FORMAT_RGB24, static_cast<int>(width), static_cast<int>(height)));
    const cairo::Context context(cairo_create(surface.get()));
    cairo_set_source_rgb(context.get(), 1, 1, 1);
    cairo_paint(context.get());
    cairo_scale(context.get(), pixels_per_mm, pixels_per_mm);
    cairo::draw(context.get(), scene);

    std::string bytes;
    const cairo_status_t written =
        cairo_surface_write_to_png_stream(surface.get(), cairo::append, &bytes);
    if (written != CAIRO_STATUS_SUCCESS)
        return Error{
            ErrorCode::failed,
            fmt::format("the picture cannot be drawn: {}", cairo_status_to_string(written)), "",
            "Ask for fewer dots per inch, or for SVG."};
    return bytes;
}

} // namespace quaycell

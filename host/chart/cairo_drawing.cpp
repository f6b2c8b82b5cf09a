#include "chart/cairo_drawing.h"

#include "chart/text.h"
#include "chart/text_width.h"

#include <pango/pangocairo.h>

namespace quaycell {

namespace {

using cairo::Context;
using cairo::Releaser;
using cairo::Surface;

constexpr const char* font_family = "DejaVu Sans,Verdana,Arial,sans-serif";

using Layout = std::unique_ptr<PangoLayout, Releaser<g_object_unref>>;
using Font = std::unique_ptr<PangoFontDescription, Releaser<pango_font_description_free>>;

/// Pango sizes are in 1/1024 of a unit; a font of a millimetre would be hinted to nothing, so text
/// is laid out large and scaled down.
constexpr double layout_scale = 100;

Layout layout_of(cairo_t* context, std::string_view text, double size_mm, bool bold) {
    Layout layout(pango_cairo_create_layout(context));
    const Font font(pango_font_description_from_string(font_family));
    pango_font_description_set_absolute_size(font.get(), size_mm * layout_scale * PANGO_SCALE);
    pango_font_description_set_weight(font.get(), bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_layout_set_font_description(layout.get(), font.get());
    const std::string clean = clean_text(text);
    pango_layout_set_text(layout.get(), clean.data(), static_cast<int>(clean.size()));
    pango_layout_set_single_paragraph_mode(layout.get(), TRUE);
    return layout;
}

double width_mm_of(PangoLayout* layout) {
    PangoRectangle logical;
    pango_layout_get_extents(layout, nullptr, &logical);
    return static_cast<double>(logical.width) / PANGO_SCALE / layout_scale;
}

class Painter {
  public:
    explicit Painter(cairo_t* context) : context_(context) {}

    void operator()(const Lines& lines) const {
        pick(lines.colour, lines.opacity);
        cairo_set_line_width(context_, lines.width_mm);
        cairo_set_dash(context_, &lines.dash_mm, lines.dash_mm > 0 ? 1 : 0, 0);
        for (const std::vector<Point>& line : lines.lines) {
            cairo_new_sub_path(context_);
            for (const Point& point : line)
                cairo_line_to(context_, point.x_mm, point.y_mm);
            if (line.size() == 1) cairo_close_path(context_); // drawn as a dot by its round ends
        }
        cairo_stroke(context_);
    }

    void operator()(const Area& area) const {
        pick(area.colour, area.opacity);
        const Rectangle& place = area.place;
        cairo_rectangle(context_, place.left_mm, place.top_mm, place.width_mm, place.height_mm);
        cairo_fill(context_);
    }

    void operator()(const Polygon& polygon) const {
        pick(polygon.colour, polygon.opacity);
        for (const Point& point : polygon.corners)
            cairo_line_to(context_, point.x_mm, point.y_mm);
        cairo_fill(context_);
    }

    void operator()(const Text& text) const {
        const Layout layout = layout_of(context_, text.text, text.size_mm, text.bold);
        const double width = width_mm_of(layout.get());
        const double share = text.anchor == Anchor::start ? 0
                             : text.anchor == Anchor::end ? 1
                                                          : 0.5;
        const double baseline = static_cast<double>(pango_layout_get_baseline(layout.get())) /
                                PANGO_SCALE / layout_scale;
        pick(text.colour, 1);
        cairo_save(context_);
        cairo_translate(context_, text.at.x_mm - share * width, text.at.y_mm - baseline);
        cairo_scale(context_, 1 / layout_scale, 1 / layout_scale);
        pango_cairo_show_layout(context_, layout.get());
        cairo_restore(context_);
        cairo_new_path(context_);
    }

  private:
    void pick(Colour colour, double opacity) const {
        cairo_set_source_rgba(context_, colour.red / 255.0, colour.green / 255.0,
                              colour.blue / 255.0, opacity);
    }

    cairo_t* context_;
};

} // namespace

void cairo::draw(cairo_t* context, const Scene& scene) {
    cairo_set_line_cap(context, CAIRO_LINE_CAP_ROUND);
    cairo_set_line_join(context, CAIRO_LINE_JOIN_ROUND);
    const Painter painter(context);
    for (const Group& group : scene.groups)
        for (const Item& item : group.items)
            std::visit(painter, item);
}

cairo_status_t cairo::append(void* bytes, const unsigned char* data, unsigned int count) {
    static_cast<std::string*>(bytes)->append(reinterpret_cast<const char*>(data), count);
    return CAIRO_STATUS_SUCCESS;
}

TextWidth drawn_text_width() {
    const std::shared_ptr<cairo_surface_t> surface(
        cairo_image_surface_create(CAIRO_FORMAT_A8, 1, 1), cairo_surface_destroy);
    const std::shared_ptr<cairo_t> context(cairo_create(surface.get()), cairo_destroy);
    return [surface, context](std::string_view text, double size_mm, bool bold) {
        return width_mm_of(layout_of(context.get(), text, size_mm, bold).get());
    };
}

} // namespace quaycell

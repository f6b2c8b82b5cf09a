#include "chart/render_pdf.h"

#include "chart/cairo_drawing.h"
#include "chart/text.h"

#include <cairo-pdf.h>
#include <fmt/format.h>

namespace quaycell {

namespace {

constexpr double points_per_inch = 72;
constexpr double points_per_mm = points_per_inch / cairo::mm_per_inch;

} // namespace

Result<std::string> render_pdf(std::span<const Scene> pages, const PdfFacts& facts) {
    std::string bytes;
    const cairo::Surface surface(cairo_pdf_surface_create_for_stream(
        cairo::append, &bytes, points_per_inch, points_per_inch));
    const auto tell = [&surface](cairo_pdf_metadata_t what, const std::string& text) {
        cairo_pdf_surface_set_metadata(surface.get(), what, clean_text(text).c_str());
    };
    tell(CAIRO_PDF_METADATA_TITLE, facts.title);
    tell(CAIRO_PDF_METADATA_SUBJECT, facts.subject);
    tell(CAIRO_PDF_METADATA_CREATOR, "quaycell");
    tell(CAIRO_PDF_METADATA_CREATE_DATE,
         to_text(std::chrono::floor<std::chrono::seconds>(facts.dated)));
    const cairo::Context context(cairo_create(surface.get()));
    for (const Scene& page : pages) {
        cairo_pdf_surface_set_size(surface.get(), page.width_mm * points_per_mm,
                                   page.height_mm * points_per_mm);
        cairo_save(context.get());
        cairo_scale(context.get(), points_per_mm, points_per_mm);
        cairo::draw(context.get(), page);
        cairo_restore(context.get());
        cairo_show_page(context.get());
    }
    cairo_surface_finish(surface.get());
    const cairo_status_t status = cairo_surface_status(surface.get());
    if (status != CAIRO_STATUS_SUCCESS)
        return Error{ErrorCode::failed,
                     fmt::format("the PDF cannot be made: {}", cairo_status_to_string(status)), "",
                     "Close other programs, or make it of a shorter time."};
    return bytes;
}

} // namespace quaycell

#include "chart/render_svg.h"

#include "chart/markup.h"

#include <array>
#include <fmt/format.h>
#include <iterator>

namespace quaycell {

namespace {

/// The font that widths were measured with, then others that nearly every machine has.
constexpr std::string_view font_family = "DejaVu Sans, Verdana, Arial, sans-serif";

/// To 0.01 mm, without needless zeros.
void append_number(std::string& out, double value) {
    std::array<char, 48> digits;
    const auto written = fmt::format_to_n(digits.data(), digits.size(), "{:.2f}", value);
    std::string_view text(digits.data(), written.size);
    text = text.substr(0, text.find_last_not_of('0') + 1);
    if (text.ends_with('.')) text.remove_suffix(1);
    out += text == "-0" ? "0" : text;
}

void append_attribute(std::string& out, std::string_view name, double value) {
    out += fmt::format(" {}=\"", name);
    append_number(out, value);
    out += '"';
}

std::string hex(Colour colour) {
    return fmt::format("#{:02x}{:02x}{:02x}", colour.red, colour.green, colour.blue);
}

void append_points(std::string& out, const std::vector<Point>& points) {
    char command = 'M';
    for (const Point& point : points) {
        out += command;
        append_number(out, point.x_mm);
        out += ' ';
        append_number(out, point.y_mm);
        command = 'L';
    }
    if (points.size() == 1) out += "h0"; // drawn as a dot by its round ends
}

class ItemWriter {
  public:
    explicit ItemWriter(std::string& out) : out_(out) {}

    void operator()(const Lines& lines) {
        if (lines.lines.empty()) return;
        out_ += fmt::format("<path fill=\"none\" stroke=\"{}\" stroke-linecap=\"round\" "
                            "stroke-linejoin=\"round\"",
                            hex(lines.colour));
        append_attribute(out_, "stroke-width", lines.width_mm);
        if (lines.opacity < 1) append_attribute(out_, "stroke-opacity", lines.opacity);
        if (lines.dash_mm > 0) append_attribute(out_, "stroke-dasharray", lines.dash_mm);
        out_ += " d=\"";
        for (const std::vector<Point>& line : lines.lines)
            append_points(out_, line);
        out_ += "\"/>\n";
    }

    void operator()(const Area& area) {
        out_ += fmt::format("<rect fill=\"{}\"", hex(area.colour));
        if (area.opacity < 1) append_attribute(out_, "fill-opacity", area.opacity);
        append_attribute(out_, "x", area.place.left_mm);
        append_attribute(out_, "y", area.place.top_mm);
        append_attribute(out_, "width", area.place.width_mm);
        append_attribute(out_, "height", area.place.height_mm);
        out_ += "/>\n";
    }

    void operator()(const Polygon& polygon) {
        out_ += fmt::format("<path fill=\"{}\"", hex(polygon.colour));
        if (polygon.opacity < 1) append_attribute(out_, "fill-opacity", polygon.opacity);
        out_ += " d=\"";
        append_points(out_, polygon.corners);
        out_ += "Z\"/>\n";
    }

    void operator()(const Text& text) {
        constexpr std::array<const char*, 3> anchors{"start", "middle", "end"};
        out_ += fmt::format("<text fill=\"{}\"", hex(text.colour));
        append_attribute(out_, "x", text.at.x_mm);
        append_attribute(out_, "y", text.at.y_mm);
        append_attribute(out_, "font-size", text.size_mm);
        if (text.anchor != Anchor::start)
            out_ +=
                fmt::format(" text-anchor=\"{}\"", anchors[static_cast<std::size_t>(text.anchor)]);
        if (text.bold) out_ += " font-weight=\"bold\"";
        out_ += '>' + escaped_markup(text.text) + "</text>\n";
    }

  private:
    std::string& out_;
};

} // namespace

std::string render_svg(const Scene& scene) {
    return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n" + svg_element(scene, "");
}

std::string svg_element(const Scene& scene, const std::string& id) {
    std::string out = fmt::format("<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" "
                                  "aria-labelledby=\"{0}title {0}description\"",
                                  id);
    out += " width=\"";
    append_number(out, scene.width_mm);
    out += "mm\" height=\"";
    append_number(out, scene.height_mm);
    out += "mm\" viewBox=\"0 0 ";
    append_number(out, scene.width_mm);
    out += ' ';
    append_number(out, scene.height_mm);
    out += fmt::format("\" font-family=\"{}\">\n", font_family);
    out +=
        fmt::format("<title id=\"{0}title\">{1}</title>\n<desc id=\"{0}description\">{2}</desc>\n",
                    id, escaped_markup(scene.title), escaped_markup(scene.description));
    out += "<rect fill=\"#ffffff\" width=\"100%\" height=\"100%\"/>\n";
    ItemWriter writer(out);
    for (const Group& group : scene.groups) {
        out += "<g>\n";
        if (!group.title.empty())
            out += fmt::format("<title>{}</title>\n", escaped_markup(group.title));
        for (const Item& item : group.items)
            std::visit(writer, item);
        out += "</g>\n";
    }
    return out + "</svg>\n";
}

} // namespace quaycell

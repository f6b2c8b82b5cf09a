#include "chart/trace_parts.h"

#include "chart/style.h"
#include "chart/text.h"
#include "chart/text_block.h"

#include <algorithm>

namespace quaycell {

namespace {

constexpr double swatch_width_mm = 1.6;
constexpr double between_labels_mm = 1.2;
constexpr double label_hatch_mm = 0.9;

/// The text of one label and where its band is.
struct Label {
    const ChartBand* band;
    double band_top_mm;
    double band_bottom_mm;
    std::vector<std::string> lines; ///< name, limits, source; the first stands out
    double top_mm = 0;

    double height_mm() const {
        return static_cast<double>(lines.size()) * small_size_mm * line_height;
    }
    double bottom_mm() const { return top_mm + height_mm(); }
};

std::vector<Label> labels_of(const Plot& plot, double width_mm, const std::vector<ChartBand>& bands,
                             const TextWidth& text_width) {
    std::vector<Label> labels;
    std::vector<std::string> told; // a source that several bands share is told once
    // The band that everybody looks for tells its source first.
    for (const ChartBand& band : bands)
        if (band.verdict == Verdict::protected_) told.push_back(band.source);
    for (const ChartBand& band : bands) {
        const double top = plot.y_mm(std::min(band.from_mv, plot.high));
        const double bottom = plot.y_mm(std::max(band.to_mv, plot.low));
        if (bottom <= top) continue;
        Label label{&band, top, bottom, {}};
        const auto add = [&](const std::string& text) {
            for (std::string& line : wrapped(clean_text(text), width_mm, small_size_mm, text_width))
                label.lines.push_back(std::move(line));
        };
        label.lines.push_back(
            shortened(clean_text(band.label), width_mm, small_size_mm, true, text_width));
        add(limits_text(band));
        const bool is_told = std::find(told.begin(), told.end(), band.source) != told.end();
        if (band.verdict == Verdict::protected_ || !is_told) add(band.source);
        told.push_back(band.source);
        labels.push_back(std::move(label));
    }
    return labels;
}

/// Each label beside the middle of its band, moved as far as the others make it.
void place_labels(std::vector<Label>& labels, const Rectangle& place) {
    double free_from = place.top_mm;
    for (Label& label : labels) {
        const double middle = (label.band_top_mm + label.band_bottom_mm) / 2;
        label.top_mm = std::max(free_from, middle - label.height_mm() / 2);
        free_from = label.bottom_mm() + between_labels_mm;
    }
    double free_to = place.bottom_mm();
    for (auto label = labels.rbegin(); label != labels.rend(); ++label) {
        label->top_mm = std::min(label->top_mm, free_to - label->height_mm());
        free_to = label->top_mm - between_labels_mm;
    }
}

} // namespace

Group draw_band_labels(const Plot& plot, const Rectangle& place,
                       const std::vector<ChartBand>& bands, const TextWidth& text_width) {
    Group group{"Names of the bands", {}};
    const double text_left = place.left_mm + swatch_width_mm + 1.2;
    std::vector<Label> labels = labels_of(plot, place.right_mm() - text_left, bands, text_width);
    place_labels(labels, place);
    for (const Label& label : labels) {
        const VerdictStyle style = style_of(label.band->verdict);
        // A key in the colour and hatch of the band, joined to its edge of the plot.
        const Rectangle swatch{place.left_mm, label.top_mm, swatch_width_mm, label.height_mm()};
        for (Item& item : hatched(swatch, style.colour, style.hatch, label_hatch_mm))
            group.items.emplace_back(std::move(item));
        const double from = std::clamp(label.top_mm + label.height_mm() / 2, label.band_top_mm,
                                       label.band_bottom_mm);
        group.items.emplace_back(line(
            {{plot.place.right_mm(), from}, {place.left_mm, label.top_mm + label.height_mm() / 2}},
            frame_colour, hair_mm));
        TextBlock text({text_left, label.top_mm}, place.right_mm() - text_left, text_width);
        for (std::size_t i = 0; i < label.lines.size(); ++i)
            text.add_line(label.lines[i], small_size_mm, i == 0, ink);
        for (Item& item : text.take().items)
            group.items.emplace_back(std::move(item));
    }
    return group;
}

} // namespace quaycell

#include "chart/trace_parts.h"

#include "chart/style.h"
#include "chart/text.h"
#include "chart/text_block.h"

#include <algorithm>
#include <array>

namespace quaycell {

namespace {

constexpr double swatch_width_mm = 1.6;
constexpr double between_labels_mm = 1.2;
constexpr double label_hatch_mm = 0.9;

/// How much the labels tell; less where room is short.
enum class Detail { names, limits, undecided, sources };
constexpr std::array<Detail, 4> from_most{Detail::sources, Detail::undecided, Detail::limits,
                                          Detail::names};

/// The text of one label and where its band is.
struct Label {
    const ChartBand* band;
    double band_top_mm;
    double band_bottom_mm;
    std::vector<std::string> name; ///< stands out
    std::vector<std::string> rest;
    double top_mm = 0;

    double height_mm() const {
        return static_cast<double>(name.size() + rest.size()) * small_size_mm * line_height;
    }
    double middle_mm() const { return top_mm + height_mm() / 2; }
    double bottom_mm() const { return top_mm + height_mm(); }
};

std::vector<Label> labels_of(const Plot& plot, double width_mm, const std::vector<ChartBand>& bands,
                             Detail detail, const TextWidth& text_width) {
    const auto lines = [&](const std::string& text, bool bold) {
        return wrapped(clean_text(text), width_mm, small_size_mm, bold, text_width);
    };
    std::vector<std::string> told; // a source that several bands share is told once
    // The band that everybody looks for tells its own.
    for (const ChartBand& band : bands)
        if (band.verdict == Verdict::protected_) told.push_back(band.source);

    std::vector<Label> labels;
    for (const ChartBand& band : bands) {
        const std::optional<Rectangle> place = visible(plot, band);
        const bool is_told = std::find(told.begin(), told.end(), band.source) != told.end();
        const bool is_zone = band.zone;
        if (!place || (is_zone && (is_told || detail < Detail::undecided))) continue;
        told.push_back(band.source);
        Label label{&band, place->top_mm, place->bottom_mm(), lines(band.label, true), {}};
        if (detail >= Detail::limits) label.rest = lines(limits_text(band), false);
        if (is_zone ||
            (detail >= Detail::sources && (band.verdict == Verdict::protected_ || !is_told)))
            for (std::string& line : lines(band.source, false))
                label.rest.push_back(std::move(line));
        labels.push_back(std::move(label));
    }
    std::sort(labels.begin(), labels.end(), [](const Label& a, const Label& b) {
        return a.band_top_mm + a.band_bottom_mm < b.band_top_mm + b.band_bottom_mm;
    });
    return labels;
}

double height_mm(const std::vector<Label>& labels) {
    double sum = 0;
    for (const Label& label : labels)
        sum += label.height_mm() + between_labels_mm;
    return sum - between_labels_mm;
}

/// As much as has room in `place`.
std::vector<Label> fitting_labels(const Plot& plot, const Rectangle& place, double width_mm,
                                  const std::vector<ChartBand>& bands,
                                  const TextWidth& text_width) {
    std::vector<Label> labels;
    for (const Detail detail : from_most) {
        labels = labels_of(plot, width_mm, bands, detail, text_width);
        if (height_mm(labels) <= place.height_mm) break;
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
    const double text_width_mm = place.right_mm() - text_left;
    std::vector<Label> labels = fitting_labels(plot, place, text_width_mm, bands, text_width);
    place_labels(labels, place);
    for (const Label& label : labels) {
        const VerdictStyle style = style_of(label.band->verdict);
        // A key in the colour and hatch of the band, joined to its edge of the plot.
        const Rectangle swatch{place.left_mm, label.top_mm, swatch_width_mm, label.height_mm()};
        for (Item& item : hatched(swatch, style.colour, style.hatch, label_hatch_mm))
            group.items.push_back(std::move(item));
        const double at_band =
            std::clamp(label.middle_mm(), label.band_top_mm, label.band_bottom_mm);
        group.items.emplace_back(
            line({{plot.place.right_mm(), at_band}, {place.left_mm, label.middle_mm()}},
                 frame_colour, hair_mm));
        TextBlock text({text_left, label.top_mm}, text_width_mm, text_width);
        for (const std::string& name : label.name)
            text.add_line(name, small_size_mm, true, ink);
        for (const std::string& rest : label.rest)
            text.add_line(rest, small_size_mm, false, ink);
        for (Item& item : text.take().items)
            group.items.push_back(std::move(item));
    }
    return group;
}

} // namespace quaycell

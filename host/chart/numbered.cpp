#include "chart/numbered.h"

#include "chart/style.h"

#include <algorithm>
#include <fmt/format.h>

namespace quaycell {

std::vector<std::string> event_numbers(const std::vector<Event>& events,
                                       const Column<Instant>& readings) {
    std::vector<std::string> numbers(events.size());
    if (readings.empty()) return numbers;
    const Instant first = readings.front();
    const Instant last = readings.back();
    std::size_t next = 1;
    for (std::size_t i = 0; i < events.size(); ++i)
        if (events[i].time >= first && events[i].time <= last) numbers[i] = std::to_string(next++);
    return numbers;
}

std::vector<NumberedSpell> numbered_spells(const JudgedTrace& judged) {
    std::vector<NumberedSpell> found;
    for (const Spell& spell : judged.spells)
        if (spell.verdict != Verdict::protected_)
            found.push_back({fmt::format("S{}", found.size() + 1), spell});
    return found;
}

namespace {

constexpr double apart_mm = 0.8;

/// The numbers of `first` to `last`, centred over them.
struct Label {
    std::size_t first;
    std::size_t last;
    std::string text;
    double left_mm;
    double right_mm;
};

class Row {
  public:
    Row(std::span<const Numbered> marks, double left_mm, double right_mm,
        const TextWidth& text_width)
        : marks_(marks), left_mm_(left_mm), right_mm_(right_mm), text_width_(text_width) {
        for (std::size_t i = 0; i < marks.size(); ++i)
            add(i);
        for (std::size_t i = 0; i < labels_.size(); ++i)
            add_words(i);
    }

    const std::vector<Label>& labels() const { return labels_; }

  private:
    Label label_of(std::size_t first, std::size_t last, std::string text) const {
        const double width = text_width_(text, small_size_mm, false);
        const double centre = (marks_[first].x_mm + marks_[last].x_mm) / 2;
        const double left = std::max(std::min(centre - width / 2, right_mm_ - width), left_mm_);
        return {first, last, std::move(text), left, left + width};
    }

    void add(std::size_t i) {
        Label label = label_of(i, i, marks_[i].number);
        while (!labels_.empty() && label.left_mm < labels_.back().right_mm + apart_mm) {
            const std::size_t first = labels_.back().first;
            labels_.pop_back();
            label = label_of(first, i,
                             fmt::format("{}\u2013{}", marks_[first].number, marks_[i].number));
        }
        labels_.push_back(std::move(label));
    }

    void add_words(std::size_t i) {
        const Label& label = labels_[i];
        if (label.first != label.last || marks_[label.first].words.empty()) return;
        Label longer = label_of(label.first, label.first,
                                marks_[label.first].number + ' ' + marks_[label.first].words);
        const bool touches_before =
            i > 0 && longer.left_mm < labels_[i - 1].right_mm + 2 * apart_mm;
        const bool touches_next =
            i + 1 < labels_.size() && longer.right_mm > labels_[i + 1].left_mm - 2 * apart_mm;
        if (!touches_before && !touches_next && longer.right_mm <= right_mm_)
            labels_[i] = std::move(longer);
    }

    std::span<const Numbered> marks_;
    double left_mm_;
    double right_mm_;
    const TextWidth& text_width_;
    std::vector<Label> labels_;
};

} // namespace

std::vector<Text> number_labels(std::span<const Numbered> marks, double baseline_mm, double left_mm,
                                double right_mm, const TextWidth& text_width) {
    std::vector<Text> texts;
    const Row row(marks, left_mm, right_mm, text_width);
    for (const Label& label : row.labels())
        texts.push_back(
            {{label.left_mm, baseline_mm}, label.text, small_size_mm, Anchor::start, false, ink});
    return texts;
}

} // namespace quaycell

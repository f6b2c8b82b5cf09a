#include "report/pages.h"

#include "chart/style.h"
#include "chart/text.h"
#include "report/pieces.h"

#include <algorithm>
#include <fmt/format.h>

namespace quaycell {

namespace {

constexpr double side_margin_mm = 20; // enough to punch and bind
constexpr double top_margin_mm = 22;
constexpr double bottom_margin_mm = 22;
constexpr double running_size_mm = 2.6;
constexpr double after_figure_mm = 4; ///< at the head of a page

Text running(Point at, const std::string& text, double width_mm, Anchor anchor,
             const TextWidth& text_width) {
    return {at,
            shortened(clean_text(text), width_mm, running_size_mm, false, text_width),
            running_size_mm,
            anchor,
            false,
            faint_ink};
}

/// What stands on every page.
Group frame_of(const Document& document, const PageSize& size, std::size_t page, std::size_t pages,
               const TextWidth& text_width) {
    const double left = side_margin_mm;
    const double right = size.width_mm - side_margin_mm;
    const double foot = size.height_mm - bottom_margin_mm + 8;
    const double half = size.text_width_mm() / 2 - 2;
    Group group{"Running head and foot", {}};
    if (page > 1) {
        group.items.emplace_back(
            running({left, top_margin_mm - 8}, document.title, half, Anchor::start, text_width));
        group.items.emplace_back(
            running({right, top_margin_mm - 8}, document.subtitle, half, Anchor::end, text_width));
    }
    group.items.emplace_back(line({{left, foot - 4}, {right, foot - 4}}, frame_colour, thin_mm));
    group.items.emplace_back(
        running({left, foot}, document.footing, 1.6 * half, Anchor::start, text_width));
    group.items.emplace_back(running({right, foot}, fmt::format("Page {} of {}", page, pages), half,
                                     Anchor::end, text_width));
    return group;
}

/// Pieces onto pages, one after the other; a figure that has no room is put at the head of the next
/// page, and what follows it goes on before it.
class Filler {
  public:
    Filler(const std::vector<Piece>& pieces, double height_mm)
        : pieces_(pieces), height_mm_(height_mm) {
        pages_.push_back({"Text", {}});
    }

    std::vector<Group> fill() {
        for (std::size_t i = 0; i < pieces_.size(); ++i) {
            if (pieces_[i].picture) {
                if (waiting_.empty() && has_room_for_figure(i))
                    put(pieces_[i]);
                else
                    waiting_.push_back(i);
                continue;
            }
            const bool only_space = pieces_[i].items.empty();
            if (only_space && (!fits(i) || at_mm_ == 0)) continue;
            while (!fits(i) && at_mm_ > 0) {
                const bool with_figures = !waiting_.empty();
                turn(i);
                if (!with_figures) break; // no page has more room
            }
            put(pieces_[i]);
        }
        while (!waiting_.empty())
            begin_page();
        return std::move(pages_);
    }

  private:
    bool has_room_for_figure(std::size_t i) const {
        return at_mm_ == 0 || at_mm_ + pieces_[i].least_height_mm() <= height_mm_;
    }

    bool fits(std::size_t i) const { return at_mm_ + needed_mm(i) <= height_mm_; }

    /// With whatever must not be parted from it, where a page holds that.
    double needed_mm(std::size_t first) const {
        double needed = pieces_[first].height_mm;
        for (std::size_t i = first; pieces_[i].keeps_with_next && i + 1 < pieces_.size();) {
            ++i;
            const double with_it = needed + pieces_[i].least_height_mm();
            if (pieces_[i].picture && (!waiting_.empty() || at_mm_ + with_it > height_mm_))
                i = after_figure(i); // which waits for the next page
            if (i == pieces_.size()) break;
            needed += pieces_[i].least_height_mm();
        }
        return needed <= height_mm_ ? needed : pieces_[first].height_mm;
    }

    /// The next piece that is neither figure nor space.
    std::size_t after_figure(std::size_t i) const {
        while (i < pieces_.size() && (pieces_[i].picture || pieces_[i].items.empty()))
            ++i;
        return i;
    }

    void turn(std::size_t next) {
        begin_page();
        if (pieces_[next].head) put(pieces_[*pieces_[next].head]);
    }

    /// With as many of the figures that wait as it holds, one at least.
    void begin_page() {
        if (at_mm_ > 0) pages_.push_back({"Text", {}});
        at_mm_ = 0;
        while (!waiting_.empty() && has_room_for_figure(waiting_.front())) {
            put(pieces_[waiting_.front()]);
            at_mm_ += after_figure_mm;
            waiting_.erase(waiting_.begin());
        }
    }

    void put(const Piece& piece) {
        if (piece.picture) put(*piece.picture, height_mm_ - at_mm_ - piece.height_mm);
        for (const Item& item : piece.items)
            pages_.back().items.push_back(placed(item, 0, top_margin_mm + at_mm_));
        at_mm_ += piece.height_mm;
    }

    void put(const Picture& picture, double room_mm) {
        const double shrunk = std::min(1.0, room_mm / picture.height_mm);
        for (const Item& item : picture.items)
            pages_.back().items.push_back(
                placed(item, side_margin_mm, top_margin_mm + at_mm_, shrunk * picture.scale));
        at_mm_ += shrunk * picture.height_mm;
    }

    const std::vector<Piece>& pieces_;
    double height_mm_;
    double at_mm_ = 0;
    std::vector<Group> pages_;
    std::vector<std::size_t> waiting_; ///< figures
};

} // namespace

double PageSize::text_width_mm() const {
    return width_mm - 2 * side_margin_mm;
}

std::vector<Scene> set_pages(const Document& document, const PageSize& size,
                             const TextWidth& text_width) {
    const double height_mm = size.height_mm - top_margin_mm - bottom_margin_mm;
    const std::vector<Piece> pieces =
        pieces_of(document, {side_margin_mm, size.text_width_mm(), height_mm}, text_width);
    std::vector<Group> texts = Filler(pieces, height_mm).fill();
    std::vector<Scene> pages;
    for (std::size_t i = 0; i < texts.size(); ++i) {
        Scene page{size.width_mm, size.height_mm, clean_text(document.title), "", {}};
        page.groups.push_back(std::move(texts[i]));
        page.groups.push_back(frame_of(document, size, i + 1, texts.size(), text_width));
        pages.push_back(std::move(page));
    }
    return pages;
}

} // namespace quaycell

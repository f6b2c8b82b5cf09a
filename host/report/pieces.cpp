#include "report/pieces.h"

#include "chart/style.h"
#include "chart/text.h"
#include "report/table_columns.h"

#include <algorithm>
#include <iterator>

namespace quaycell {

namespace {

constexpr double title_mm = 6;
constexpr double subtitle_mm = 4;
constexpr double heading_mm = 4.2;
constexpr double body_mm = 3.1;
constexpr double table_mm = 2.7;
constexpr double leading = 1.4; ///< from line to line, of the text's size
constexpr double above_heading_mm = 5;
constexpr double between_blocks_mm = 2.2;
constexpr double row_gap_mm = 1.2;
constexpr double label_share = 0.32; ///< of the width, for the names of facts
constexpr double sign_above_mm = 13;
constexpr double sign_width_mm = 75;
constexpr double to_spare_mm = 0.01;  ///< so that what just fits does fit
constexpr double least_shrunk = 0.88; ///< of a picture: its smallest text still has 6 points
constexpr double kept_whole = 0.2;    ///< of the page: a table that is no higher is not parted
constexpr double voice_bar_mm = 0.8;
constexpr double voice_indent_mm = 3;

/// What marks a voice beside its text: a bar, and a word before it.
struct VoiceStyle {
    std::string_view word;
    std::optional<Colour> bar;
};
VoiceStyle style_of(Voice voice) {
    switch (voice) {
    case Voice::opinion:
        return {"", grey};
    case Voice::caution:
        return {"Caution: ", vermillion};
    case Voice::fact:
        break;
    }
    return {"", std::nullopt};
}

class PieceMaker {
  public:
    PieceMaker(const TextColumn& column, const TextWidth& text_width)
        : column_(column), text_width_(text_width) {}

    std::vector<Piece> take() { return std::move(pieces_); }

    void space(double height_mm, bool keeps_with_next = false) {
        pieces_.push_back({{}, height_mm, keeps_with_next, {}});
    }

    void begin_block() { block_ = pieces_.size(); }

    /// The end of the last block: its last line or row, which keeps to the one before it.
    void keep_end_with_next() {
        for (std::size_t i = pieces_.size(); i > block_; --i) {
            pieces_[i - 1].keeps_with_next = true;
            if (!pieces_[i - 1].items.empty()) break;
        }
    }

    /// A heading; it keeps with what follows.
    void heading(const std::string& text, double size_mm, double above_mm) {
        if (text.empty()) return;
        Piece piece{{}, above_mm, true, {}};
        for (const std::string& each :
             wrapped(clean_text(text), column_.width_mm, size_mm, true, text_width_))
            add_line(piece, column_.left_mm, each, size_mm, Anchor::start, true, ink);
        piece.height_mm += size_mm * 0.4;
        pieces_.push_back(std::move(piece));
    }

    void operator()(const Paragraph& paragraph) {
        const VoiceStyle style = style_of(paragraph.voice);
        const double indent_mm = style.bar ? voice_indent_mm : 0;
        const auto lines = wrapped(clean_text(std::string(style.word) + paragraph.text),
                                   column_.width_mm - indent_mm, body_mm, false, text_width_);
        const bool announces = paragraph.text.ends_with(':');
        for (std::size_t i = 0; i < lines.size(); ++i) {
            // No line of a paragraph stands alone at the foot or the head of a page.
            const bool first = i == 0 && lines.size() > 1;
            const bool last_but_one = i + 2 == lines.size();
            Piece piece{{}, 0, first || last_but_one || announces, {}};
            if (style.bar)
                piece.items.emplace_back(
                    Area{{column_.left_mm, 0, voice_bar_mm, body_mm * leading}, *style.bar});
            add_line(piece, column_.left_mm + indent_mm, lines[i], body_mm, Anchor::start, false,
                     ink);
            pieces_.push_back(std::move(piece));
        }
        space(between_blocks_mm, announces);
    }

    void operator()(const Facts& facts) {
        const std::size_t first = pieces_.size();
        const std::vector<TableColumn> columns{{"", label_share}, {"", 1 - label_share}};
        for (const Entry& entry : facts.entries) {
            const bool missing = entry.value.empty();
            add_row(columns, {entry.label, missing ? not_stated : entry.value}, body_mm, {}, false,
                    missing ? faint_ink : ink);
        }
        keep_together(first, 0);
        space(between_blocks_mm);
    }

    void operator()(const Table& table) {
        std::vector<std::string> heads;
        for (const TableColumn& column : table.columns)
            heads.push_back(column.heading);
        title_of(table);
        const std::vector<TableColumn> columns =
            fitted_columns(table, column_.width_mm, table_mm, text_width_);
        const std::size_t head = pieces_.size();
        add_row(columns, heads, table_mm, {}, true, ink);
        pieces_.back().keeps_with_next = true;
        rule(pieces_.back());
        const std::size_t first = pieces_.size();
        for (const auto& row : table.rows)
            add_row(columns, row, table_mm, head, false, ink);
        rule(pieces_.back());
        keep_together(first, kept_whole * column_.height_mm);
        space(between_blocks_mm);
    }

    void operator()(const Figure& figure) {
        const Scene& scene = figure.scene;
        const auto caption =
            wrapped(clean_text(figure.caption), column_.width_mm, table_mm, false, text_width_);
        const double caption_mm = static_cast<double>(caption.size()) * table_mm * leading;
        const double scale =
            std::min({1.0, column_.width_mm / scene.width_mm,
                      (column_.height_mm - caption_mm - to_spare_mm) / scene.height_mm});
        Piece piece;
        piece.picture = Picture{{}, scene.height_mm * scale, scale};
        for (const Group& group : scene.groups)
            std::ranges::copy(group.items, std::back_inserter(piece.picture->items));
        for (const std::string& each : caption)
            add_line(piece, column_.left_mm, each, table_mm, Anchor::start, false, ink);
        pieces_.push_back(std::move(piece));
        space(between_blocks_mm);
    }

    void operator()(const Signature& signature) {
        for (const std::string& each : signature.lines) {
            const bool last = &each == &signature.lines.back();
            Piece piece{{}, sign_above_mm, !last, {}};
            piece.items.emplace_back(line({{column_.left_mm, sign_above_mm - 1},
                                           {column_.left_mm + sign_width_mm, sign_above_mm - 1}},
                                          ink, thin_mm));
            add_line(piece, column_.left_mm,
                     shortened(clean_text(each), column_.width_mm, table_mm, false, text_width_),
                     table_mm, Anchor::start, false, faint_ink);
            pieces_.push_back(std::move(piece));
        }
    }

  private:
    static void add_line(Piece& piece, double x_mm, const std::string& text, double size_mm,
                         Anchor anchor, bool bold, Colour colour) {
        piece.height_mm += size_mm * leading;
        piece.items.emplace_back(
            Text{{x_mm, piece.height_mm - size_mm * 0.4}, text, size_mm, anchor, bold, colour});
    }

    /// Rows from `first` on: all of them up to a height, else none of them alone at the foot or the
    /// head of a page.
    void keep_together(std::size_t first, double whole_up_to_mm) {
        if (pieces_.size() < first + 2) return;
        double height_mm = 0;
        for (std::size_t i = first; i < pieces_.size(); ++i)
            height_mm += pieces_[i].height_mm;
        const bool whole = height_mm <= whole_up_to_mm;
        for (std::size_t i = first; i + 1 < pieces_.size(); ++i)
            pieces_[i].keeps_with_next = whole || i == first || i + 2 == pieces_.size();
    }

    /// Above the table, and not parted from it.
    void title_of(const Table& table) {
        if (table.title.empty()) return;
        Piece piece{{}, 0, true, {}};
        for (const std::string& each :
             wrapped(clean_text(table.title), column_.width_mm, table_mm, false, text_width_))
            add_line(piece, column_.left_mm, each, table_mm, Anchor::start, false, faint_ink);
        piece.height_mm += row_gap_mm;
        pieces_.push_back(std::move(piece));
    }

    /// A line under what the piece holds.
    void rule(Piece& piece) const {
        piece.items.emplace_back(
            line({{column_.left_mm, piece.height_mm - row_gap_mm / 2},
                  {column_.left_mm + column_.width_mm, piece.height_mm - row_gap_mm / 2}},
                 frame_colour, thin_mm));
    }

    /// One row, in several pieces only where no page holds it.
    void add_row(const std::vector<TableColumn>& columns, const std::vector<std::string>& cells,
                 double size_mm, std::optional<std::size_t> head, bool bold, Colour last_colour) {
        std::vector<std::vector<std::string>> lines;
        std::size_t most = 1;
        for (std::size_t c = 0; c < columns.size(); ++c) {
            lines.push_back(wrapped(clean_text(cells.at(c)),
                                    columns[c].share * column_.width_mm - cell_gap_mm, size_mm,
                                    bold, text_width_));
            most = std::max(most, lines.back().size());
        }
        const double head_mm = head ? pieces_[*head].height_mm : 0;
        const auto page_holds = static_cast<std::size_t>(
            (column_.height_mm - head_mm - row_gap_mm) / (size_mm * leading));
        for (std::size_t from = 0; from < most; from += page_holds) {
            const std::size_t to = std::min(most, from + page_holds);
            Piece piece{{}, 0, false, head};
            double left_mm = column_.left_mm;
            for (std::size_t c = 0; c < columns.size(); ++c) {
                Piece cell;
                const double width_mm = columns[c].share * column_.width_mm;
                const bool at_end = columns[c].anchor == Anchor::end;
                const Colour colour = c + 1 == columns.size() ? last_colour : ink;
                for (std::size_t i = from; i < std::min(to, lines[c].size()); ++i)
                    add_line(cell, at_end ? left_mm + width_mm - cell_gap_mm : left_mm, lines[c][i],
                             size_mm, columns[c].anchor, bold, colour);
                std::ranges::move(cell.items, std::back_inserter(piece.items));
                piece.height_mm = std::max(piece.height_mm, cell.height_mm);
                left_mm += width_mm;
            }
            piece.height_mm += row_gap_mm;
            pieces_.push_back(std::move(piece));
        }
    }

    TextColumn column_;
    const TextWidth& text_width_;
    std::vector<Piece> pieces_;
    std::size_t block_ = 0; ///< the piece that the last block begins with
};

} // namespace

double Picture::least_height_mm() const {
    return least_shrunk * height_mm;
}

std::vector<Piece> pieces_of(const Document& document, const TextColumn& column,
                             const TextWidth& text_width) {
    PieceMaker maker(column, text_width);
    maker.heading(document.title, title_mm, 0);
    maker.heading(document.subtitle, subtitle_mm, 0);
    for (const Section& section : document.sections) {
        const bool to_sign =
            !section.blocks.empty() && std::holds_alternative<Signature>(section.blocks.front());
        if (to_sign) maker.keep_end_with_next(); // nobody signs an empty page
        maker.heading(section.heading, heading_mm, above_heading_mm);
        for (const Block& block : section.blocks) {
            maker.begin_block();
            std::visit(maker, block);
        }
    }
    return maker.take();
}

} // namespace quaycell

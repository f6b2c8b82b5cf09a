#include "dossier/drawing_fingerprint.h"

#include "chart/render_pdf.h"
#include "chart/text.h"
#include "chart/text_width.h"
#include "evidence/pdf_attachments.h"
#include "evidence/sha256.h"
#include "report/pages.h"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <set>
#include <span>

namespace quaycell {

namespace {

constexpr unsigned char first_beyond_ascii = 0x80;

std::size_t length_at(std::string_view text, std::size_t at) {
    const auto lead = static_cast<unsigned char>(text[at]);
    const std::size_t length = lead < first_beyond_ascii ? 1
                               : lead < 0xE0             ? 2
                               : lead < 0xF0             ? 3
                                                         : 4;
    return std::min(length, text.size() - at);
}

/// Letters of Latin script are what they are beside any other, and so are signs: U+0250 is where
/// Latin letters end, U+2000 to U+2BFF are signs.
bool depends_on_neighbours(std::string_view character) {
    const bool is_latin = character.size() == 1 || character < "\u0250";
    const bool is_sign = character >= "\u2000" && character < "\u2C00";
    return !is_latin && !is_sign;
}

class Sample {
  public:
    void add(const std::string& raw) {
        const std::string text = clean_text(raw);
        std::string_view rest = text;
        while (!rest.empty()) {
            const std::size_t end = std::min(rest.find(' '), rest.size());
            add_word(rest.substr(0, end));
            rest.remove_prefix(std::min(end + 1, rest.size()));
        }
    }

    void add(const Scene& scene) {
        for (const Group& group : scene.groups)
            for (const Item& item : group.items)
                if (const auto* text = std::get_if<Text>(&item)) add(text->text);
    }

    void add(const Paragraph& paragraph) { add(paragraph.text); }
    void add(const Facts& facts) {
        for (const Entry& entry : facts.entries) {
            add(entry.label);
            add(entry.value);
        }
    }
    void add(const Table& table) {
        add(table.title);
        for (const TableColumn& column : table.columns)
            add(column.heading);
        for (const auto& row : table.rows)
            for (const std::string& cell : row)
                add(cell);
    }
    void add(const Figure& figure) {
        add(figure.scene);
        add(figure.caption);
    }
    void add(const Signature& signature) {
        for (const std::string& line : signature.lines)
            add(line);
    }

    std::vector<std::string> found() const { return {found_.begin(), found_.end()}; }

  private:
    void add_word(std::string_view word) {
        bool as_a_whole = false;
        for (std::size_t at = 0; at < word.size(); at += length_at(word, at)) {
            const std::string_view character = word.substr(at, length_at(word, at));
            if (character.size() == 1) continue;
            found_.emplace(character);
            as_a_whole = as_a_whole || depends_on_neighbours(character);
        }
        if (as_a_whole) found_.emplace(word);
    }

    std::set<std::string> found_; // in order, so that it is the same for the same
};

} // namespace

std::vector<std::string> font_sample(const Document& document) {
    Sample sample;
    for (const std::string* text : {&document.title, &document.subtitle, &document.footing})
        sample.add(*text);
    for (const Section& section : document.sections) {
        sample.add(section.heading);
        for (const Block& block : section.blocks)
            std::visit([&](const auto& each) { sample.add(each); }, block);
    }
    return sample.found();
}

Result<std::string> drawing_fingerprint(const std::vector<std::string>& sample) {
    const std::string latin = "The quick brown fox jumps over the lazy dog, 0123456789";
    Document document;
    document.title = "Sample";
    document.subtitle = "of what draws";
    document.sections.push_back({"A heading", {Paragraph{latin}}});
    constexpr std::size_t in_a_line = 20;
    for (std::size_t first = 0; first < sample.size(); first += in_a_line) {
        const std::string line =
            fmt::format("{}", fmt::join(std::span(sample).subspan(first).first(
                                            std::min(in_a_line, sample.size() - first)),
                                        " "));
        document.sections.push_back({line, {Paragraph{line}}});
    }
    const auto pdf = render_pdf(set_pages(document, a4, drawn_text_width()),
                                {document.title, document.subtitle, Instant{}});
    if (!pdf) return pdf;
    const auto whole = with_evidence(*pdf, {}, ""); // which makes the same bytes of the same pages
    if (!whole) return whole;
    return sha256_hex(*whole);
}

} // namespace quaycell

#include "report/html.h"

#include "chart/markup.h"
#include "chart/render_svg.h"

#include <fmt/format.h>

namespace quaycell {

namespace {

// Widths that read well on a phone and on paper; colours only where a word says the same.
constexpr std::string_view style = R"css(
body { font: 1rem/1.45 "DejaVu Sans", Verdana, Arial, sans-serif; color: #1a1a1a; background: #fff;
       max-width: 52rem; margin: 1.5rem auto; padding: 0 1rem; overflow-wrap: anywhere; }
h1 { font-size: 1.6rem; margin: 0; } h2 { font-size: 1.2rem; margin: 1.8rem 0 .5rem; }
header p { margin: .2rem 0 0; } td, th, dd, h1, header p, figcaption { unicode-bidi: isolate; }
dl { display: grid; grid-template-columns: minmax(8rem, 32%) 1fr; gap: .3rem 1rem; margin: 0 0 1rem; }
dt { color: #444; } dd { margin: 0; } .missing { color: #5a5a5a; font-style: italic; }
.table { overflow-x: auto; margin-bottom: 1rem; } table { border-collapse: collapse; width: 100%; font-size: .9rem; }
caption { text-align: left; color: #444; padding-bottom: .3rem; }
th, td { text-align: left; vertical-align: top; padding: .2rem .6rem .2rem 0; overflow-wrap: break-word; }
thead th { border-bottom: 1px solid #787878; } .end { text-align: right; } td.end, td.whole { white-space: nowrap; }
figure { margin: 1rem 0; } figure svg { width: 100%; height: auto; }
.opinion { border-left: 3px solid #6e6e6e; padding-left: .7rem; }
.caution { border-left: 3px solid #d55e00; padding-left: .7rem; }
.signature { margin-top: 3.5rem; border-top: 1px solid #1a1a1a; max-width: 20rem; color: #444; }
footer { margin-top: 2rem; border-top: 1px solid #787878; color: #444; font-size: .85rem; }
@page { margin: 18mm 20mm; @bottom-right { content: "Page " counter(page) " of " counter(pages);
  font: 8pt "DejaVu Sans", Verdana, Arial, sans-serif; color: #444; } }
@media print { body { max-width: none; margin: 0; font-size: 10pt; } h2 { break-after: avoid; }
  tr, figure, dt, dd, .signatures { break-inside: avoid; } p { orphans: 2; widows: 2; }
  footer { break-before: avoid; }
  .table { overflow: visible; } .short { break-inside: avoid; } }
)css";

constexpr std::string_view before_number = "<meta name=\"evidence-number\" content=\"";

class Writer {
  public:
    std::string take() { return std::move(out_); }

    void begin(const Document& document) {
        out_ += "<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n"
                "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
                "style-src 'unsafe-inline'\">\n";
        if (!document.evidence_number.empty())
            out_ += fmt::format("{}{}\">\n", before_number, document.evidence_number);
        out_ +=
            fmt::format("<title>{}: {}</title>\n<style>{}</style>\n</head>\n<body>\n",
                        escaped_markup(document.title), escaped_markup(document.subtitle), style);
        out_ += fmt::format("<header>\n<h1>{}</h1>\n<p>{}</p>\n</header>\n<main>\n",
                            escaped_markup(document.title), escaped_markup(document.subtitle));
    }

    void add(const Section& section) {
        out_ += fmt::format("<section>\n<h2>{}</h2>\n", escaped_markup(section.heading));
        for (const Block& block : section.blocks)
            std::visit(*this, block);
        out_ += "</section>\n";
    }

    void end(const Document& document) {
        out_ += fmt::format("</main>\n<footer><p>{}</p></footer>\n</body>\n</html>\n",
                            escaped_markup(document.footing));
    }

    void operator()(const Paragraph& paragraph) {
        const std::string text = escaped_markup(paragraph.text);
        switch (paragraph.voice) {
        case Voice::fact:
            out_ += fmt::format("<p>{}</p>\n", text);
            break;
        case Voice::opinion:
            out_ += fmt::format("<p class=\"opinion\">{}</p>\n", text);
            break;
        case Voice::caution:
            out_ += fmt::format("<p class=\"caution\"><strong>Caution:</strong> {}</p>\n", text);
        }
    }

    void operator()(const Facts& facts) {
        out_ += "<dl>\n";
        for (const Entry& entry : facts.entries)
            out_ += fmt::format("<dt>{}</dt>{}</dd>\n", escaped_markup(entry.label),
                                entry.value.empty()
                                    ? fmt::format("<dd class=\"missing\">{}", not_stated)
                                    : "<dd>" + escaped_markup(entry.value));
        out_ += "</dl>\n";
    }

    void operator()(const Table& table) {
        // On paper the rows of a short one stay together.
        constexpr std::size_t most_kept_together = 10;
        out_ += fmt::format("<div class=\"table{}\"><table>\n<caption>{}</caption>\n<thead><tr>",
                            table.rows.size() <= most_kept_together ? " short" : "",
                            escaped_markup(table.title));
        for (const TableColumn& column : table.columns)
            out_ += fmt::format("<th scope=\"col\"{}>{}</th>", placing(column),
                                escaped_markup(column.heading));
        out_ += "</tr></thead>\n<tbody>\n";
        for (const auto& row : table.rows) {
            out_ += "<tr>";
            for (std::size_t c = 0; c < table.columns.size(); ++c)
                out_ += fmt::format("<td{}>{}</td>", placing(table.columns[c], row.at(c)),
                                    escaped_markup(row.at(c)));
            out_ += "</tr>\n";
        }
        out_ += "</tbody>\n</table></div>\n";
    }

    void operator()(const Figure& figure) {
        const std::string svg = svg_element(figure.scene, fmt::format("figure-{}-", ++figures_));
        out_ += fmt::format("<figure>\n{}<figcaption>{}</figcaption>\n</figure>\n", svg,
                            escaped_markup(figure.caption));
    }

    void operator()(const Signature& signature) {
        out_ += "<div class=\"signatures\">\n";
        for (const std::string& each : signature.lines)
            out_ += fmt::format("<p class=\"signature\">{}</p>\n", escaped_markup(each));
        out_ += "</div>\n";
    }

  private:
    static std::string_view placing(const TableColumn& column) {
        return column.anchor == Anchor::end ? " class=\"end\"" : "";
    }

    /// A day, or another short word, is not parted at its hyphens.
    static std::string_view placing(const TableColumn& column, std::string_view cell) {
        constexpr std::size_t longest_whole = 12;
        const bool is_word = cell.size() <= longest_whole && cell.find(' ') == cell.npos;
        if (column.anchor == Anchor::start && is_word && cell.find('-') != cell.npos)
            return " class=\"whole\"";
        return placing(column);
    }

    std::string out_;
    int figures_ = 0;
};

} // namespace

std::string to_html(const Document& document) {
    Writer writer;
    writer.begin(document);
    for (const Section& section : document.sections)
        writer.add(section);
    writer.end(document);
    return writer.take();
}

std::optional<std::string> evidence_number_in_html(std::string_view html) {
    const std::size_t at = html.find(before_number);
    if (at == std::string_view::npos) return std::nullopt;
    const std::string_view rest = html.substr(at + before_number.size());
    return std::string(rest.substr(0, rest.find('"')));
}

} // namespace quaycell

// A PDF to attach things to: one empty page, written out by hand after ISO 32000-1.
#pragma once

#include <fmt/format.h>
#include <string>
#include <vector>

namespace quaycell::testing {

inline std::string a_pdf() {
    const std::vector<std::string> objects{
        "<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 200 200] >>", "<< /Title (A page) >>"};
    std::string pdf = "%PDF-1.5\n";
    std::string table = fmt::format("xref\n0 {}\n0000000000 65535 f \n", objects.size() + 1);
    for (std::size_t i = 0; i < objects.size(); ++i) {
        table += fmt::format("{:010} 00000 n \n", pdf.size());
        pdf += fmt::format("{} 0 obj\n{}\nendobj\n", i + 1, objects[i]);
    }
    const std::size_t table_at = pdf.size();
    return pdf + table +
           fmt::format("trailer\n<< /Size {} /Root 1 0 R /Info 4 0 R >>\nstartxref\n{}\n%%EOF\n",
                       objects.size() + 1, table_at);
}

} // namespace quaycell::testing

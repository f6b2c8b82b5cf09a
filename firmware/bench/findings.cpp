#include "bench/findings.h"

#include <fmt/format.h>

namespace quaycell::bench {

std::string Findings::to_text() const {
    std::string text;
    for (const Finding& finding : kept_)
        text += fmt::format("{:.6f} s: {}\n", std::chrono::duration<double>(finding.when).count(),
                            finding.what);
    if (count_ > kept_.size()) text += fmt::format("and {} more\n", count_ - kept_.size());
    return text;
}

} // namespace quaycell::bench

#include "web/site.h"

#include <algorithm>
#include <exception>
#include <fmt/format.h>

namespace quaycell::web {

namespace {

/// For whoever serves. The path follows the token, which it is not to give away.
Error fault_at(const std::string& path, const char* what) {
    return {ErrorCode::failed, fmt::format("the program failed, by a fault of its own: {}", what),
            path,
            "The rest of the page goes on. Should it happen again, do the same with the command of "
            "that name in a terminal, and report the fault with these words."};
}

} // namespace

Answer Site::answer(const Request& request, bool upgrades) const {
    auto entered = let_in(request, tokens_);
    if (auto* refusal = std::get_if<Response>(&entered)) return std::move(*refusal);
    Asked& asked = std::get<Asked>(entered);
    const auto wrong_method = [] {
        return words(Status::method_not_allowed, "This address is asked in another way.");
    };
    if (upgrades != (asked.path == live_path))
        return words(Status::bad_request,
                     "Live readings come by WebSocket, and nothing else does.");
    if (upgrades) {
        if (request.method == "GET") return OpenLive{};
        return wrong_method();
    }
    const auto route = routes_.find(asked.path);
    if (route != routes_.end()) {
        if (route->second.changes != asked.changes) return wrong_method();
        return Work([answer = route->second.answer, on_fault = on_fault_,
                     asked = std::move(asked)] {
            try {
                return answer(asked);
            } catch (const std::exception& fault) { // of ours: one page fails, and not all
                on_fault(fault_at(asked.path, fault.what()));
                return words(Status::failed,
                             "The program failed at this, by a fault of its own. The terminal that "
                             "serves this page tells what it was.");
            }
        });
    }
    const auto file = std::ranges::find(files_, asked.path, &PageFile::path);
    if (file == files_.end()) return words(Status::not_found, "There is no such page.");
    if (asked.changes) return wrong_method();
    return Response{Status::ok, std::string(file->content_type), std::string(file->bytes)};
}

} // namespace quaycell::web

#include "web/site.h"

#include <algorithm>
#include <exception>

namespace quaycell::web {

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
        return Work([answer = route->second.answer, asked = std::move(asked)] {
            try {
                return answer(asked);
            } catch (const std::exception&) { // a fault of ours: one page fails, and not all
                return words(Status::failed, "The program failed at this, by a fault of its own.");
            }
        });
    }
    const auto file = std::ranges::find(files_, asked.path, &PageFile::path);
    if (file == files_.end()) return words(Status::not_found, "There is no such page.");
    if (asked.changes) return wrong_method();
    return Response{Status::ok, std::string(file->content_type), std::string(file->bytes)};
}

} // namespace quaycell::web

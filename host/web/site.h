// What is found under which address.
#pragma once

#include "base/result.h"
#include "web/door.h"

#include <functional>
#include <map>
#include <span>
#include <variant>

namespace quaycell::web {

/// A file of the page, compiled into the program.
struct PageFile {
    std::string_view path; ///< "/live.js"
    std::string_view content_type;
    std::string_view bytes;
};

/// All there are; made from the folder page/ when the program is built.
std::span<const PageFile> page_files();

/// What takes a while and is done apart from the network.
using Work = std::function<Response()>;

/// The wish to be told every reading.
struct OpenLive {};

using Answer = std::variant<Response, OpenLive, Work>;

/// An address whose content is computed.
struct Route {
    bool changes; ///< asked by POST with the second token, and not by GET
    std::function<Response(const Asked&)> answer;
};

/// Where live readings come from, by WebSocket.
inline constexpr std::string_view live_path = "/api/live";

class Site {
  public:
    /// `on_fault` is told when a route has failed by an exception; any thread may call it.
    Site(Tokens tokens, std::span<const PageFile> files, std::map<std::string, Route> routes,
         std::function<void(const Error&)> on_fault)
        : tokens_(std::move(tokens)), files_(files), routes_(std::move(routes)),
          on_fault_(std::move(on_fault)) {}

    /// `upgrades`: the request asks for a WebSocket.
    Answer answer(const Request& request, bool upgrades) const;

  private:
    Tokens tokens_;
    std::span<const PageFile> files_;
    std::map<std::string, Route> routes_;
    std::function<void(const Error&)> on_fault_;
};

} // namespace quaycell::web

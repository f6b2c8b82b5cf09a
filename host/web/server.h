// The page over HTTP and WebSocket: sockets, and the bounds that keep them harmless. What is asked
// and answered is site.h's.
#pragma once

#include "base/result.h"
#include "web/live_feed.h"
#include "web/site.h"

#include <chrono>
#include <cstdint>
#include <functional>
#include <memory>
#include <string>

namespace quaycell::web {

/// Where to listen: an address of this computer and a port; 0.0.0.0 is all of its addresses, port 0
/// any that is free.
struct Place {
    std::string address = "127.0.0.1";
    std::uint16_t port = 8640; ///< assigned to nobody (IANA registry, from memory)
};

/// Of sizes in bytes, of numbers of connections, of waiting.
struct Bounds {
    std::uint32_t header_bytes = 8192;
    std::uint64_t body_bytes = 4096;
    std::size_t connections = 128;
    std::size_t connections_of_one_address = 48;
    std::size_t live_pages = 40;
    int waiting_work = 8;
    /// From the end of one request to the end of the next.
    std::chrono::seconds request{15};
    std::chrono::seconds answer{60};
    /// In which a page takes a reading. It has to answer a ping within three times that.
    std::chrono::seconds reading{10};
};

class Server {
  public:
    /// Errors: wrong_usage (no address, or not this computer's), in_use, no_permission, failed.
    static Result<Server> open(const Place& place, Site site, LiveFeed& feed,
                               const Bounds& bounds = {});
    Server(Server&&) noexcept;
    ~Server();

    std::uint16_t port() const;

    /// Serves until `stop`, which is asked several times a second.
    void run(const std::function<bool()>& stop);

  private:
    struct Parts;
    explicit Server(std::unique_ptr<Parts> parts);

    std::unique_ptr<Parts> parts_;
};

} // namespace quaycell::web

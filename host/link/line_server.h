// Lines of text served over TCP to any number of readers, none of whom can hold up the others or
// whoever has the lines.
#pragma once

#include "base/result.h"

#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <string_view>

namespace quaycell {

struct ServeAddress {
    std::string host = "127.0.0.1";
    std::uint16_t port = 0; ///< 0: any that is free
};

/// "[HOST:]PORT", an IPv6 address in brackets; without a host this computer alone can read. Error:
/// wrong_usage.
Result<ServeAddress> serve_address(std::string_view text);

class LineServer {
  public:
    /// Told from the server's own thread.
    using Say = std::function<void(const std::string& words)>;

    /// What a reader may be behind by, besides what the system holds for it: at a line a second
    /// minutes, and little memory for any number of readers.
    static constexpr std::size_t most_waiting_bytes = 64 * 1024;
    static constexpr std::size_t most_readers = 64;

    /// Listens. `say` hears of readers that were too slow, or too many. Errors: in_use,
    /// no_permission, not_found (no such host here).
    static Result<LineServer> open(const ServeAddress& address, Say say);

    ~LineServer();
    LineServer(LineServer&&) noexcept;
    LineServer& operator=(LineServer&&) = delete;

    /// To whoever reads now. Never waits for a reader. Whole lines.
    void publish(std::string lines);

    /// The same, and first of all to whoever comes later.
    void greet(std::string lines);

    std::uint16_t port() const;
    /// Whether others than this computer's own programs can read.
    bool is_public() const;

  private:
    class Impl;
    explicit LineServer(std::unique_ptr<Impl> impl);
    std::unique_ptr<Impl> impl_;
};

} // namespace quaycell

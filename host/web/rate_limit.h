// How often one address may ask.
#pragma once

#include <chrono>
#include <map>
#include <string>

namespace quaycell::web {

/// Each address has a store of requests that is used up by asking and fills again with time.
class RateLimit {
  public:
    using Clock = std::chrono::steady_clock;

    /// Twenty pages that open at once take some 160 requests.
    static constexpr double most = 300;
    static constexpr double again_per_s = 50;
    /// Kept at once; of more the one that has asked longest ago is forgotten.
    static constexpr std::size_t most_addresses = 1024;

    /// Whether this request may be answered.
    bool allows(const std::string& address, Clock::time_point now);

  private:
    struct Store {
        double left = most;
        Clock::time_point at;
    };

    std::map<std::string, Store> stores_;
};

} // namespace quaycell::web

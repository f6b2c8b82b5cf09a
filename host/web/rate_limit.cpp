#include "web/rate_limit.h"

#include <algorithm>

namespace quaycell::web {

bool RateLimit::allows(const std::string& address, Clock::time_point now) {
    if (stores_.size() >= most_addresses && !stores_.contains(address))
        stores_.erase(
            std::ranges::min_element(stores_, {}, [](const auto& each) { return each.second.at; }));
    Store& store = stores_.try_emplace(address, Store{most, now}).first->second;
    const double passed_s = std::chrono::duration<double>(now - store.at).count();
    store.left = std::min(most, store.left + passed_s * again_per_s);
    store.at = now;
    if (store.left < 1) return false;
    --store.left;
    return true;
}

} // namespace quaycell::web

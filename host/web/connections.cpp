#include "web/connections.h"

namespace quaycell::web {

bool Connections::take(const std::string& address) {
    if (all_ == most_) return false;
    const auto found = by_address_.find(address);
    if (found != by_address_.end() && found->second == most_of_one_) return false;
    ++by_address_[address];
    ++all_;
    return true;
}

void Connections::give_back(const std::string& address) {
    const auto found = by_address_.find(address);
    --all_;
    if (--found->second == 0) by_address_.erase(found);
}

} // namespace quaycell::web

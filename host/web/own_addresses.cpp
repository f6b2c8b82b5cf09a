#include "web/own_addresses.h"

#include <arpa/inet.h>
#include <array>
#include <cstring>
#include <ifaddrs.h>
#include <memory>
#include <net/if.h>
#include <netinet/in.h>

namespace quaycell::web {

std::vector<std::string> own_addresses() {
    ifaddrs* first = nullptr;
    if (getifaddrs(&first) != 0) return {};
    const std::unique_ptr<ifaddrs, decltype(&freeifaddrs)> all(first, freeifaddrs);
    std::vector<std::string> found;
    for (const ifaddrs* each = all.get(); each != nullptr; each = each->ifa_next) {
        if (each->ifa_addr == nullptr || each->ifa_addr->sa_family != AF_INET) continue;
        if ((each->ifa_flags & IFF_UP) == 0 || (each->ifa_flags & IFF_LOOPBACK) != 0) continue;
        sockaddr_in address{};
        std::memcpy(&address, each->ifa_addr, sizeof address);
        std::array<char, INET_ADDRSTRLEN> text{};
        if (inet_ntop(AF_INET, &address.sin_addr, text.data(), text.size()) != nullptr)
            found.emplace_back(text.data());
    }
    return found;
}

} // namespace quaycell::web

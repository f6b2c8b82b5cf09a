// The addresses by which others reach this computer.
#pragma once

#include <string>
#include <vector>

namespace quaycell::web {

/// IPv4, without the loopback; empty where it is on no network.
std::vector<std::string> own_addresses();

} // namespace quaycell::web

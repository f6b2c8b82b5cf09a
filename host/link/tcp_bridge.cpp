#include "link/tcp_bridge.h"

#include "link/asio_transport.h"

#include <boost/asio/connect.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <cerrno>
#include <charconv>
#include <cstring>
#include <fmt/format.h>
#include <optional>

namespace quaycell {

namespace {

namespace asio = boost::asio;
using asio::ip::tcp;

constexpr std::string_view scheme = "tcp://";
/// Longer than any network a logger is read over needs; a person still waits that long.
constexpr std::chrono::seconds connect_time{5};

struct Address {
    std::string host;
    std::string port;
};

/// The host may be a name, an IPv4 address or an IPv6 address in brackets.
std::optional<Address> parse_address(std::string_view name) {
    name.remove_prefix(scheme.size());
    const std::size_t colon = name.rfind(':');
    if (colon == std::string_view::npos) return std::nullopt;
    std::string_view host = name.substr(0, colon);
    const std::string_view port = name.substr(colon + 1);
    if (host.starts_with('[') && host.ends_with(']')) host = host.substr(1, host.size() - 2);
    std::uint16_t number = 0;
    const auto [end, wrong] = std::from_chars(port.data(), port.data() + port.size(), number);
    const bool whole = wrong == std::errc{} && end == port.data() + port.size();
    if (host.empty() || !whole || number == 0) return std::nullopt;
    return Address{std::string(host), std::string(port)};
}

Error no_such_host(const std::string& name, const Address& address,
                   const boost::system::error_code& code) {
    if (code == asio::error::host_not_found_try_again)
        return {ErrorCode::not_found,
                fmt::format("the network does not tell where \"{}\" is", address.host), name,
                "Check this computer's network connection, or give the number of the host in place "
                "of its name."};
    return {ErrorCode::not_found, fmt::format("there is no host \"{}\"", address.host), name,
            "Check how it is written, and that this computer is in the same network."};
}

Error cannot_connect(const std::string& name, const Address& address,
                     const boost::system::error_code& code) {
    if (code == asio::error::connection_refused)
        return {ErrorCode::refused,
                fmt::format("{} is there, but nothing listens at its port {}", address.host,
                            address.port),
                name,
                "Start the serial bridge there (raw TCP), or give the port that it listens at."};
    if (code == asio::error::timed_out || code == asio::error::would_block)
        return {ErrorCode::silent, fmt::format("{} does not answer", address.host), name,
                "Check that it is switched on and its network cable is in, and that no firewall "
                "keeps this computer out."};
    return {ErrorCode::failed, fmt::format("cannot connect to the bridge: {}", code.message()),
            name, "Check this computer's network connection."};
}

Error bridge_broke(const std::string& name, int error_number) {
    if (error_number == 0 || error_number == ECONNRESET || error_number == EPIPE)
        return {ErrorCode::unplugged, "the bridge hung up", name,
                "See that nobody else uses it and that its serial port is plugged in, and repeat "
                "the command; what has arrived is kept."};
    return {ErrorCode::unplugged,
            fmt::format("the network line broke: {}", std::strerror(error_number)), name,
            "Check the network and repeat the command; what has arrived is kept."};
}

} // namespace

bool is_tcp_bridge(std::string_view name) {
    return name.starts_with(scheme);
}

Result<std::unique_ptr<Transport>> open_tcp_bridge(const std::string& name) {
    const auto address = parse_address(name);
    if (!address)
        return Error{ErrorCode::wrong_usage, "this is not the address of a serial bridge", name,
                     "Write tcp://HOST:PORT, for instance tcp://192.168.1.20:4000."};
    auto context = std::make_unique<asio::io_context>(1);
    boost::system::error_code outcome;
    const auto endpoints = tcp::resolver(*context).resolve(address->host, address->port, outcome);
    if (outcome) return no_such_host(name, *address, outcome);
    tcp::socket socket(*context);
    outcome = asio::error::would_block;
    asio::async_connect(
        socket, endpoints,
        [&](const boost::system::error_code& code, const tcp::endpoint&) { outcome = code; });
    context->run_for(connect_time);
    if (outcome) {
        const Error error = cannot_connect(name, *address, outcome);
        socket.close(outcome);
        context->restart();
        context->run(); // the handler refers to what ends here
        return error;
    }
    socket.set_option(tcp::no_delay(true), outcome); // requests are short and waited for
    return std::unique_ptr<Transport>(std::make_unique<AsioTransport<tcp::socket>>(
        name, std::move(context), std::move(socket), bridge_broke));
}

} // namespace quaycell

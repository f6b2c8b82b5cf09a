#include "link/line_server.h"

#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/write.hpp>
#include <charconv>
#include <deque>
#include <fmt/format.h>
#include <set>
#include <thread>

namespace quaycell {

namespace asio = boost::asio;
using asio::ip::tcp;
using Code = boost::system::error_code;

namespace {

/// What the system is to hold for a reader, so that one who reads nothing is soon known for it.
constexpr int system_holds_bytes = 16 * 1024;

Error cannot_listen(const std::string& where, const Code& code) {
    if (code == asio::error::address_in_use)
        return {ErrorCode::in_use, "another program listens at this port", where,
                "End it, or name another port."};
    if (code == asio::error::access_denied)
        return {ErrorCode::no_permission, "this port is not for everybody", where,
                "Name one from 1024 on."};
    if (code.value() == EADDRNOTAVAIL)
        return {ErrorCode::not_found, "this computer has no such address", where,
                "Name one of its own (`ip address` lists them), or leave it out."};
    return {ErrorCode::failed, fmt::format("cannot listen: {}", code.message()), where,
            "Name another address or port."};
}

} // namespace

Result<ServeAddress> serve_address(std::string_view text) {
    ServeAddress address;
    std::string_view port = text;
    const std::size_t colon = text.rfind(':');
    bool known_host = true;
    if (colon != std::string_view::npos) {
        std::string_view host = text.substr(0, colon);
        port = text.substr(colon + 1);
        if (host.starts_with('[') && host.ends_with(']')) host = host.substr(1, host.size() - 2);
        known_host = !host.empty();
        address.host = host;
    }
    const auto [end, wrong] = std::from_chars(port.data(), port.data() + port.size(), address.port);
    if (!known_host || wrong != std::errc{} || end != port.data() + port.size())
        return Error{ErrorCode::wrong_usage, fmt::format("\"{}\" is no [HOST:]PORT", text), "",
                     "Write a port from 1024 to 65535, for instance 10110; with an address of this "
                     "computer before it (0.0.0.0:10110: all of them) the network can read, too."};
    return address;
}

/// Everything happens in its one thread, but for publish().
class LineServer::Impl {
  public:
    explicit Impl(Say say) : say_(std::move(say)), acceptor_(context_), pause_(context_) {}

    ~Impl() {
        context_.stop();
        if (thread_.joinable()) thread_.join();
    }
    Impl(const Impl&) = delete;
    Impl& operator=(const Impl&) = delete;

    Code listen(const tcp::endpoint& endpoint) {
        Code code;
        acceptor_.open(endpoint.protocol(), code);
        if (!code) acceptor_.set_option(tcp::acceptor::reuse_address(true), code);
        if (!code) acceptor_.bind(endpoint, code);
        if (!code) acceptor_.listen(asio::socket_base::max_listen_connections, code);
        if (code) return code;
        endpoint_ = acceptor_.local_endpoint();
        accept();
        thread_ = std::thread([this] { context_.run(); });
        return code;
    }

    void publish(std::string lines, bool to_all_later) {
        auto shared = std::make_shared<const std::string>(std::move(lines));
        asio::post(context_, [this, shared, to_all_later] {
            if (to_all_later) greeting_ += *shared;
            for (auto reader = readers_.begin(); reader != readers_.end();) {
                const auto next = std::next(reader);
                send(*reader, shared);
                reader = next;
            }
        });
    }

    const tcp::endpoint& endpoint() const { return endpoint_; }

  private:
    using Lines = std::shared_ptr<const std::string>;
    struct Reader {
        tcp::socket socket;
        std::string name;
        std::deque<Lines> waiting{}; ///< the first of them is on its way
        std::size_t waiting_bytes = 0;
        char ignored[256]{};
    };
    using ReaderPtr = std::shared_ptr<Reader>;

    void accept() {
        acceptor_.async_accept([this](const Code& code, tcp::socket socket) {
            if (code == asio::error::operation_aborted) return;
            if (code) { // the system is short of something: to try at once would only spin
                pause_.expires_after(std::chrono::seconds{1});
                pause_.async_wait([this](const Code&) { accept(); });
                return;
            }
            welcome(std::move(socket));
            accept();
        });
    }

    void welcome(tcp::socket socket) {
        Code code;
        const tcp::endpoint from = socket.remote_endpoint(code);
        if (code) return; // gone again
        const std::string name = fmt::format("{}:{}", from.address().to_string(), from.port());
        if (readers_.size() >= most_readers) {
            say_(fmt::format("{}: {} readers are served already, this one is not", name,
                             most_readers));
            return;
        }
        socket.set_option(asio::socket_base::send_buffer_size(system_holds_bytes), code);
        socket.set_option(tcp::no_delay(true), code);
        const auto reader = std::make_shared<Reader>(Reader{std::move(socket), name});
        readers_.insert(reader);
        listen_to(reader);
        if (!greeting_.empty()) send(reader, std::make_shared<const std::string>(greeting_));
    }

    /// Nothing that a reader says counts, but that it hangs up.
    void listen_to(const ReaderPtr& reader) {
        reader->socket.async_read_some(asio::buffer(reader->ignored),
                                       [this, reader](const Code& code, std::size_t) {
                                           if (code)
                                               drop(reader);
                                           else
                                               listen_to(reader);
                                       });
    }

    void send(const ReaderPtr& reader, const Lines& lines) {
        if (reader->waiting_bytes + lines->size() > most_waiting_bytes) {
            say_(fmt::format("{}: too slow, {} bytes behind; it is no longer served", reader->name,
                             reader->waiting_bytes));
            drop(reader);
            return;
        }
        reader->waiting_bytes += lines->size();
        reader->waiting.push_back(lines);
        if (reader->waiting.size() == 1) write_first(reader);
    }

    void write_first(const ReaderPtr& reader) {
        asio::async_write(reader->socket, asio::buffer(*reader->waiting.front()),
                          [this, reader](const Code& code, std::size_t) {
                              if (code) {
                                  drop(reader);
                                  return;
                              }
                              reader->waiting_bytes -= reader->waiting.front()->size();
                              reader->waiting.pop_front();
                              if (!reader->waiting.empty()) write_first(reader);
                          });
    }

    void drop(const ReaderPtr& reader) {
        Code ignored;
        reader->socket.close(ignored); // its handlers end with an error
        readers_.erase(reader);
    }

    std::string greeting_;
    Say say_;
    asio::io_context context_{1};
    tcp::acceptor acceptor_;
    asio::steady_timer pause_;
    tcp::endpoint endpoint_;
    std::set<ReaderPtr> readers_;
    std::thread thread_;
};

LineServer::LineServer(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
LineServer::~LineServer() = default;
LineServer::LineServer(LineServer&&) noexcept = default;

Result<LineServer> LineServer::open(const ServeAddress& address, Say say) {
    const std::string where = fmt::format("{}:{}", address.host, address.port);
    asio::io_context context(1);
    Code code;
    const auto found = tcp::resolver(context).resolve(address.host, std::to_string(address.port),
                                                      tcp::resolver::passive, code);
    if (code || found.empty())
        return Error{ErrorCode::not_found, fmt::format("there is no host \"{}\"", address.host),
                     where, "Give the number of an address of this computer."};
    auto impl = std::make_unique<Impl>(std::move(say));
    code = impl->listen(found.begin()->endpoint());
    if (code) return cannot_listen(where, code);
    return LineServer(std::move(impl));
}

void LineServer::publish(std::string lines) {
    impl_->publish(std::move(lines), false);
}

void LineServer::greet(std::string lines) {
    impl_->publish(std::move(lines), true);
}

std::uint16_t LineServer::port() const {
    return impl_->endpoint().port();
}

bool LineServer::is_public() const {
    return !impl_->endpoint().address().is_loopback();
}

} // namespace quaycell
